"""Problems of the local policy, of the people an approval names, and of subscriptions to events."""

from service.problem_kind import Kind

KINDS: tuple[Kind, ...] = (
    Kind(
        "no-such-policy",
        404,
        "No policy has this number",
        "No version and no proposal of the local policy has this number.",
        "GET /v1/policies lists them.",
    ),
    Kind(
        "looser-than-the-law",
        422,
        "The law allows no such limit",
        "A local policy may be stricter than the pack of the law it stands on, never looser.",
        "Lower the limit, or take the entry out.",
    ),
    Kind(
        "policy-moved-on",
        409,
        "Another version is in force by now",
        "The proposal was compared with a version that is in force no longer, so nobody has seen what it changes.",
        "Look at GET /v1/policies/{n}/diff, and propose it again.",
    ),
    Kind(
        "own-proposal",
        403,
        "Nobody confirms their own proposal",
        "The policy was proposed by the account that now tries to decide; a change of policy needs two people.",
        "Another person with the right 'policy' decides.",
    ),
    Kind(
        "not-among-people",
        409,
        "The approval names other people",
        "The plan was approved on the condition that only certain people make it.",
        "Let one of them make and record it, or ask the safety officer for an approval that names you.",
    ),
    Kind(
        "no-such-webhook",
        404,
        "No subscription has this id",
        "No subscription to signed events has this id.",
        "GET /v1/webhooks lists them.",
    ),
)
