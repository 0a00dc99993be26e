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
        "bottle-not-as-planned",
        409,
        "The bottle does not hold what the plan takes",
        "The bottle holds another substance, form or strength than the line of the plan it was named for.",
        "Name the bottle that was really used; if it was this one, ask for a plan made from what is in it and record that.",
    ),
    Kind(
        "not-enough-left",
        409,
        "There is not that much left",
        "More is asked for than is in the bottle and not reserved.",
        "Take less, take another bottle, or release a reservation.",
    ),
    Kind(
        "table-unreadable",
        400,
        "The table of bottles cannot be read",
        "The body is no CSV in UTF-8 with a header of the known columns, or it has too many rows.",
        "GET /v1/shelf/export gives a table with every column; fill in substance, amount, unit and place at least.",
    ),
    Kind(
        "content-not-csv",
        415,
        "A table is sent as CSV",
        "The Content-Type header is missing or names another format.",
        "Send Content-Type: text/csv.",
    ),
    Kind(
        "rows-not-usable",
        422,
        "Rows of the table cannot be used",
        "At least one row has a cell that cannot be used, so nothing was put on the shelf: all rows are taken, or none.",
        "The list 'errors' names each as /rows/ROW/COLUMN. Mend them, try without confirm, and send the table again.",
    ),
)
