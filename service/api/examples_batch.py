"""Examples of a batch, from an invented college."""

from typing import Any

CSV = "id,text,needed_by\nmon-1,250 mL of 0.100 M sodium chloride,2027-01-18\nmon-2,10 banana,2027-01-18\n"
JSON_LINES = '{"id": "mon-1", "text": "250 mL of 0.100 M sodium chloride", "needed_by": "2027-01-18"}\n'
TRIED: dict[str, Any] = {
    "confirmed": False,
    "saved": 0,
    "rows": [{"row": 2, "ref": "mon-1", "outcome": "planned", "read_as": "250 mL of 0.100 mol/L sodium chloride"}],
    "errors": [{"row": 3, "ref": "mon-2", "column": "text", "message": "No unit is called 'banana'."}],
}
SAVED: dict[str, Any] = {
    **TRIED,
    "confirmed": True,
    "saved": 1,
    "rows": [{**TRIED["rows"][0], "plan": "7G3KX0M2QD"}],
}
EXPORT = (
    "id,text,request,needed_by,room,plan,outcome,read_as,error\r\n"
    "mon-1,250 mL of 0.100 M sodium chloride,,2027-01-18,,7G3KX0M2QD,planned,250 mL of 0.100 mol/L sodium chloride,\r\n"
    "mon-2,10 banana,,2027-01-18,,,,,text: No unit is called 'banana'.\r\n"
)
