"""Problems of prep days."""

from service.problem_kind import Kind

KINDS: tuple[Kind, ...] = (
    Kind(
        "no-such-day",
        404,
        "No prep day has this id",
        "No prep day was made under this id here.",
        "GET /v1/days lists them.",
    ),
)
