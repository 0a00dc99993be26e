"""Every rule, found in the group folders: one file, one rule, its id the file's name with hyphens.

A rule that breaks the conventions stops the program at start-up: a rule that is silently missing would read as safety.
"""

import pkgutil
from functools import lru_cache
from importlib import import_module
from pathlib import Path

from rules.rule import SEVERITIES, Rule
from rules.tables.load import source

GROUPS = (
    "identity",
    "purity",
    "units",
    "solubility",
    "vessel",
    "balance",
    "volume",
    "order_and_heat",
    "volatility",
    "container",
    "light_and_air",
    "stability",
    "hazard",
    "incompatibility",
    "blending",
    "labelling",
    "waste",
    "measurement",
)


class CatalogueError(Exception):
    """A rule file breaks a convention; says which file and what to do."""


@lru_cache(maxsize=1)
def catalogue() -> tuple[Rule, ...]:
    """All rules, by group in the order of ``GROUPS``, then by id. Raises ``CatalogueError``."""
    here = Path(__file__).parent
    found: dict[str, Rule] = {}
    for group in GROUPS:
        modules = sorted(m.name for m in pkgutil.iter_modules([str(here / group)]))
        for rule in sorted((_rule(group, name) for name in modules), key=lambda r: r.id):
            if rule.id in found:
                raise CatalogueError(f"Two rules have the id '{rule.id}'. Ids are permanent: rename the newer one.")
            found[rule.id] = rule
    return tuple(found.values())


def _rule(group: str, name: str) -> Rule:
    where = f"rules/{group}/{name}.py"
    rule = getattr(import_module(f"rules.{group}.{name}"), "RULE", None)
    if not isinstance(rule, Rule):
        raise CatalogueError(f"{where} holds no RULE. One file, one rule.")
    check_rule(rule, group, name, where)
    return rule


def check_rule(rule: Rule, group: str, name: str, where: str) -> None:
    """Raise ``CatalogueError`` unless the rule keeps the conventions of its folder and cites documents that are listed."""
    if rule.id != name.replace("_", "-"):
        raise CatalogueError(f"{where}: the id is '{rule.id}', not the file's name with hyphens.")
    if rule.group != group:
        raise CatalogueError(f"{where}: the group is '{rule.group}', not the folder's name.")
    if rule.severity not in SEVERITIES:
        raise CatalogueError(f"{where}: '{rule.severity}' is no severity.")
    if not rule.citation:
        raise CatalogueError(f"{where}: no citation. A fact of the trade cites 'practice'.")
    for cited in rule.citation:
        try:
            source(cited.source_id)
        except KeyError:
            raise CatalogueError(f"{where}: the source '{cited.source_id}' is not listed in sources.csv.") from None
    for field in ("title", "applies_to", "rationale", "remedy"):
        if not getattr(rule, field).strip():
            raise CatalogueError(f"{where}: '{field}' is empty.")
