"""Examples of the shelf as a table, from the invented college; the tests hold them to the real answers."""

from typing import Any

TABLE = (
    "id,substance,form,strength,strength_unit,preparation,lot,assay_pct,density_g_mL,supplier,amount,unit,left,reserved,"
    "opened,expiry,place,state,reason,by\r\n"
    "7KQ2M4XW0D,copper(II) sulfate,pentahydrate,,,,CU-7741,99.2,,,500,g,475.03,,,2031-06-30,cabinet B2,in use,,PK\r\n"
    "7KQ2M4XW0E,hydrochloric acid,solution,37,% w/w,,HC-0935,,1.185,,2500,mL,2500,,,,acid store,in use,,PK\r\n"
)
_ROWS: list[dict[str, Any]] = [
    {"row": 2, "bottle": "7KQ2M4XW0D", "name": "copper(II) sulfate pentahydrate", "lot": "CU-7741", "amount": "500",
     "unit": "g", "place": "cabinet B2", "left": "475.03", "state": "in use"},
    {"row": 3, "bottle": "7KQ2M4XW0E", "name": "hydrochloric acid",
     "strength": {"value": "37", "unit": "% w/w"}, "lot": "HC-0935", "amount": "2500", "unit": "mL",
     "place": "acid store", "left": "2500", "state": "in use"},
]  # fmt: skip
TRIED: dict[str, Any] = {
    "confirmed": False,
    "saved": 0,
    "rows": _ROWS[:1],
    "errors": [{"row": 3, "ref": "7KQ2M4XW0E", "column": "amount", "message": "is empty"}],
}
SAVED: dict[str, Any] = {"confirmed": True, "saved": 2, "rows": _ROWS, "errors": []}
EXPIRING: dict[str, Any] = {
    "until": "2026-12-31",
    "expiring": [
        {"id": "7KQ2M4XW0D", "kind": "bottle", "name": "copper(II) sulfate pentahydrate", "expiry": "2026-12-11",
         "days": 10, "lot": "CU-7741", "place": "cabinet B2", "unit": "g", "left": "475.03", "state": "in use"},
        {"id": "5R0HK1V8ZQ", "kind": "preparation", "name": "sodium thiosulfate pentahydrate", "expiry": "2026-12-20",
         "days": 19, "state": "in use", "concentration": "0.1003 mol/L"},
    ],
}  # fmt: skip
