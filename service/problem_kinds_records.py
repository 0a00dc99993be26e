"""Problems of the bench record and of what is printed from it."""

from service.problem_kind import Kind

KINDS: tuple[Kind, ...] = (
    Kind(
        "no-such-preparation",
        404,
        "No preparation has this id",
        "No preparation was recorded under this id here.",
        "Check the id: ten letters and digits, as given when it was recorded and as printed on its label.",
    ),
    Kind(
        "nothing-to-make",
        409,
        "There is nothing to make and record",
        "The reply is no plan for one solution: a question, a refusal, an answer, or a set of several solutions.",
        "Settle what is asked first; record a set one solution at a time.",
    ),
    Kind(
        "cannot-be-standardised",
        409,
        "No standardisation is held for this solution",
        "The solution failed, has several components, or no published titration of it is in the tables.",
        "GET /v1/preparations/{id} shows what it is.",
    ),
    Kind(
        "not-approved",
        409,
        "The plan is held and nobody has approved it",
        "Nothing is printed for a held plan before somebody who may has approved it.",
        "Ask the safety officer.",
    ),
    Kind(
        "no-real-value",
        409,
        "There is no real value to print",
        "A label states what was really made. Nothing was recorded, or the preparation failed.",
        "Record what was weighed; or ask for a label that says 'nominal' with nominal=true.",
    ),
    Kind(
        "printing-not-installed",
        501,
        "Printing is not installed",
        "Sheets and labels need the optional packages for printing.",
        "Install them with: pip install 'prepwright[print]'",
    ),
)
