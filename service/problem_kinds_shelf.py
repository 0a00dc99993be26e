"""Problems of the shelf."""

from service.problem_kind import Kind

KINDS: tuple[Kind, ...] = (
    Kind(
        "no-such-bottle",
        404,
        "No bottle has this id",
        "No bottle or solution on the shelf has this id.",
        "GET /v1/shelf lists what is there.",
    ),
    Kind(
        "bottle-not-usable",
        409,
        "The bottle must not be used",
        "It is past its last day, quarantined, withdrawn, or used up; or it was made from something quarantined.",
        "Take another bottle: GET /v1/shelf lists them. A quarantine ends with an event of the kind 'clear'.",
    ),
    Kind(
        "not-enough-left",
        409,
        "There is not that much left",
        "More is asked for than is in the bottle and not reserved.",
        "Take less, take another bottle, or release a reservation.",
    ),
)
