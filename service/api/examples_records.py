"""Examples of the bench record for the contract, from the invented college; the tests hold them to the real replies."""

import json
from pathlib import Path
from typing import Any

_READ: dict[str, dict[str, Any]] = json.loads(Path(__file__).with_suffix(".json").read_text("utf-8"))

BODIES, CORRECTIONS, TITRATED = _READ["BODIES"], _READ["CORRECTIONS"], _READ["TITRATED"]
PREPARATIONS, CORRECTED, STANDARDISED = _READ["PREPARATIONS"], _READ["CORRECTED"], _READ["STANDARDISED"]
PREPARATION_LIST = _READ["PREPARATION_LIST"]
