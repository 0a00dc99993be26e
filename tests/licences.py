"""Write docs/licences.md: every library that an installation with all extras brings along, with its licence as it declares it.

Run as ``python -m tests.licences`` in the environment whose constraints are pinned.
"""

import re
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

ROOT = Path(__file__).parent.parent
PAGE = ROOT / "docs" / "licences.md"
_HEAD = """# Libraries and their licences

Written by `python -m tests.licences`; do not edit. The libraries of `constraints.txt` that are installed,
with the licence that each declares of itself. "Not declared" means that its own metadata name none: look into its source before
passing it on. No licence text of another project is copied here.

| library | version | licence |
|---|---|---|
"""


def pinned() -> list[str]:
    """The names in the constraints file, in its order."""
    lines = (ROOT / "constraints.txt").read_text("utf-8").splitlines()
    return [found[0] for line in lines if (found := re.match(r"[A-Za-z0-9._-]+", line))]


def licence(of: Distribution) -> str:
    """What the metadata of a distribution say, shortest first: expression, classifiers, free text."""
    told = of.metadata
    expression = told.get("License-Expression")
    if expression:
        return str(expression)
    classes = [c.rsplit(" :: ", 1)[1] for c in told.get_all("Classifier") or [] if c.startswith("License :: OSI Approved :: ")]
    if classes:
        return ", ".join(sorted(set(classes)))
    free = str(told.get("License") or "").strip().splitlines()
    return free[0][:80] if free and free[0] else "not declared"


def page() -> str:
    """The page as it should be."""
    rows = []
    for name in pinned():
        try:
            found = distribution(name)
        except PackageNotFoundError:
            continue
        rows.append(f"| {name} | {found.version} | {licence(found).replace('|', '/')} |")
    return _HEAD + "\n".join(rows) + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
