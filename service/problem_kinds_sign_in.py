"""Problems of signing in by an account that another service keeps."""

from service.problem_kind import Kind

KINDS: tuple[Kind, ...] = (
    Kind(
        "sign-in-failed",
        401,
        "The sign-in proves nothing",
        "The answer is late, was used before, does not belong to this browser, or is not signed for this service.",
        "Begin again, from the page or from the course.",
    ),
    Kind(
        "no-role",
        403,
        "The account has no part here",
        "The sign-in is good, but nothing it says of the account gives a role here, or the account was closed here.",
        "Ask the person who runs this service which group or role is needed.",
    ),
    Kind(
        "sign-in-not-set-up",
        404,
        "There is no such sign-in here",
        "This service was not set up for it.",
        "POST /v1/session logs in with name and password. The settings PREPWRIGHT_OIDC_ISSUER and PREPWRIGHT_LTI_PLATFORMS set it up.",
    ),
    Kind(
        "sign-in-unreachable",
        503,
        "The sign-in service does not answer",
        "The service that keeps the account does not answer, or what it publishes cannot be used.",
        "Try again shortly, or log in with name and password.",
    ),
    Kind(
        "sign-in-not-installed",
        503,
        "Sign-in elsewhere is not installed",
        "The libraries for it are an extra of this program.",
        "Install it: pip install 'prepwright[sign-in]'.",
    ),
)
