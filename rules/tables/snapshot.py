"""The tables as they stand after every check, in one file beside the bytecode, so that a start need not check them again.

The file is bound to the data and to the code that reads it by a digest of their bytes: where one byte differs it is not
used. It holds plain values only. Without it, or where it cannot be written, everything is read from the CSV files as
ever; only the start is slower. ``python -m rules.tables.snapshot`` writes it.
"""

import hashlib
import marshal
import os
import sys
from collections.abc import Callable
from contextlib import suppress
from functools import wraps
from importlib import import_module
from pathlib import Path
from typing import Any, TypeVar

_HERE = Path(__file__).parent
_RULES = _HERE.parent
FILE = _HERE / "__pycache__" / f"tables.{sys.implementation.cache_tag}.snapshot"
_CODE = (_RULES / "policies" / "__init__.py", _RULES.parent / "grammar" / "formula.py")

Plain = TypeVar("Plain")
_in_use: dict[str, bytes] = {}
_recorded: dict[str, bytes] | None = None


def kept(name: str) -> Any:
    """A fresh copy of the plain value of that name, or None where no snapshot is in use."""
    held = _in_use.get(name)
    return None if held is None else marshal.loads(held)


def record(name: str, value: Any) -> None:
    """Keep a plain value for the snapshot that is being made, if one is."""
    if _recorded is not None:
        _recorded[name] = marshal.dumps(value)


def stored(build: Callable[[], Plain]) -> Callable[[], Plain]:
    """Take the result of ``build``, which must be plain values, from the snapshot where there is one."""
    name = f"{build.__module__}.{build.__qualname__}"

    @wraps(build)
    def taken() -> Plain:
        global _recorded
        value: Plain | None = kept(name)
        if value is None:
            # The rows it is made from are not needed beside it.
            held, _recorded = _recorded, None
            try:
                value = build()
            finally:
                _recorded = held
            record(name, value)
        return value

    return taken


def use(file: Path = FILE) -> bool:
    """Use the snapshot where it fits the data and the code; else make it, where bytecode may be written. Whether it is used."""
    from rules.tables.load import data_version

    return _load(file, _fingerprint(data_version())) or (not sys.dont_write_bytecode and write(file))


def _fingerprint(data: str) -> str:
    """A digest of the data (its version) and of the code that turns it into tables."""
    digest = hashlib.sha256(f"{sys.version}:{data}".encode())
    for path in (*sorted(_HERE.glob("*.py")), *_CODE):
        content = path.read_bytes()
        digest.update(f"{path.name}:{len(content)}:".encode())
        digest.update(content)
    return digest.hexdigest()


def _load(file: Path, wanted: str) -> bool:
    try:
        found, held = marshal.loads(file.read_bytes())
    except (OSError, ValueError, EOFError, TypeError):
        return False
    if found != wanted or not isinstance(held, dict):
        return False
    _in_use.update(held)
    return True


def write(file: Path = FILE) -> bool:
    """Make the snapshot and use it; False while somebody edits the tables. A folder that cannot be written is no fault."""
    from rules.tables.load import data_version

    now = _fingerprint(data_version())
    held = build()
    if _fingerprint(data_version.__wrapped__()) != now:
        return False
    half = file.with_suffix(f".{os.getpid()}")
    with suppress(OSError):
        file.parent.mkdir(exist_ok=True)
        half.write_bytes(marshal.dumps((now, held)))
        half.replace(file)
    _in_use.update(held)
    return True


def build() -> dict[str, bytes]:
    """Every table read from its CSV files with all checks, and what is computed from them, by name."""
    global _recorded
    _in_use.clear()
    _recorded = {}
    try:
        for path in sorted(_HERE.glob("*.py")):
            for loader in vars(import_module(f"rules.tables.{path.stem}")).values():
                if hasattr(loader, "cache_clear") and not loader.__wrapped__.__code__.co_argcount:
                    loader.cache_clear()
                    loader()
        policies = import_module("rules.policies")
        for name in policies.NAMES:
            policies.policy.__wrapped__(name)
        return _recorded
    finally:
        _recorded = None


if __name__ == "__main__":
    from rules.tables import snapshot

    sys.exit(0 if snapshot.write() else 1)
