"""Problems of who may do what, of approvals and of repeated requests."""

from service.problem_kind import Kind

KINDS: tuple[Kind, ...] = (
    Kind(
        "login-needed",
        401,
        "Log in first",
        "This service has accounts, and the request does not say whose it is.",
        "POST /v1/session with name and password, or send 'Authorization: Bearer' with an API key or a token.",
    ),
    Kind(
        "wrong-login",
        401,
        "Name or secret is wrong",
        "No active account has this name with this password, or no key has this secret.",
        "Check the name; after several failures the account is locked for some minutes.",
    ),
    Kind(
        "login-expired",
        401,
        "The login has expired",
        "The session, the key or the token was good once; its time is over or it was withdrawn.",
        "Log in again, or ask POST /v1/token for a new token.",
    ),
    Kind(
        "only-this-machine",
        403,
        "Without accounts this service answers this machine only",
        "Nobody has an account here yet, and the request came from elsewhere.",
        "Make accounts with 'prepwright people add'.",
    ),
    Kind(
        "not-allowed",
        403,
        "Your role does not allow this",
        "The account or key that was used lacks the right this endpoint asks for.",
        "Ask somebody whose role has it; GET /v1/session lists your own rights.",
    ),
    Kind(
        "cross-site",
        403,
        "The request does not come from the page of this service",
        "A request with the session cookie must carry the X-CSRF-Token that the login gave.",
        "Send the csrf_token of GET /v1/session in the header X-CSRF-Token.",
    ),
    Kind(
        "too-many-requests",
        429,
        "Too many requests",
        "More requests came from one account or address than this service takes in a minute, or an account is locked.",
        "Wait as many seconds as the Retry-After header says.",
    ),
    Kind(
        "own-request",
        403,
        "Nobody decides about their own request",
        "The plan was asked for by the account that now tries to decide.",
        "Another person with the right 'approve' decides.",
    ),
    Kind(
        "not-approvable",
        409,
        "Nobody can allow this",
        "The plan was refused, or a danger that nobody may allow stands against it.",
        "Ask for what the reply names as the nearest thing that can be done.",
    ),
    Kind(
        "nothing-to-decide",
        409,
        "There is nothing to decide",
        "Only a held plan waits for a decision.",
        "GET /v1/approvals?state=waiting lists what waits.",
    ),
    Kind(
        "already-decided",
        409,
        "This was decided already",
        "The plan was approved or declined, or this person has approved it and a second person is needed.",
        "GET /v1/plans/{id} shows the decisions.",
    ),
    Kind(
        "in-flight",
        409,
        "The same request is being answered",
        "A request with this Idempotency-Key has not been answered yet.",
        "Wait a moment and send it again.",
    ),
    Kind(
        "key-reused",
        422,
        "This Idempotency-Key was used for another request",
        "The key belongs to a request with another body.",
        "Use a new key for each new request.",
    ),
)
