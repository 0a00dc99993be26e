"""Examples of the bench record for the contract; the tests hold them to the real replies."""

from typing import Any

PREPARATIONS: dict[str, Any] = {}
CORRECTED: dict[str, Any] = {}
STANDARDISED: dict[str, Any] = {}
PREPARATION_LIST: dict[str, Any] = {"preparations": []}
BODIES: dict[str, Any] = {}
TITRATED: dict[str, Any] = {}
CORRECTIONS: dict[str, Any] = {}
