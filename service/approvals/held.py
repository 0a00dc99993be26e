"""What a held reply is held for, and what makes a later request the same request. Pure functions of the reply."""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import orjson

from rules.policies import Policy
from rules.tables.substances import by_name

NO_DATE = "9999-12-31"
_MILDEST = 999
_ASK_FIRST_RULE = "ask-first-list"
# What tells two requests apart besides what is made of what: not the amount, which the conditions limit.
_KEPT = ("kind", "solvent", "solvent_volume", "temperature", "ph")


@dataclass(frozen=True, slots=True)
class Held:
    """Why a plan is held and how much it makes.

    ``rules``: ids of the checks that hold it. ``needs``: how many people must allow it. ``rank``: 0 is the worst:
    two-person items before others, then the more checks hold it, then the more cautions. ``same``: equal for requests
    that differ in amount and strength only. ``strengths``: value by unit. ``volume_mL`` or ``mass_g``.
    """

    rules: frozenset[str]
    messages: tuple[str, ...]
    approvable: bool
    needs: int
    rank: int
    same: str
    volume_mL: float | None
    mass_g: float | None
    strengths: dict[str, float]


def read_held(document: dict[str, Any], policy: Policy) -> Held:
    """What the reply of a held (or by an approval planned) request says, under a policy."""
    fired = [f for f in document["findings"] if f["result"] == "fired"]
    holds = [f for f in fired if f["severity"] in ("hold", "stop")]
    rules = frozenset(f["rule"] for f in holds)
    needs = 2 if _ASK_FIRST_RULE in rules and _two_person(document, policy) else 1
    cautions = sum(f["severity"] == "caution" for f in fired)
    product = document["plan"]["product"]
    return Held(
        rules,
        tuple(f["message"] for f in holds),
        all(f.get("approvable", True) and f["severity"] == "hold" for f in holds),
        needs,
        max(0, _MILDEST - 500 * (needs - 1) - 20 * len(holds) - cautions),
        _same(document),
        _value(product, "volume"),
        _value(product, "mass"),
        dict(_strengths(document["plan"])),
    )


def _two_person(document: dict[str, Any], policy: Policy) -> bool:
    """Whether a substance of the plan is marked; a name that is not found counts as marked."""
    product = document["plan"]["product"]
    names = {product.get("substance", ""), *(c["substance"] for c in product.get("components", ()))}
    slugs = {match.substance.slug for name in names for match in by_name(name)}
    marks = [policy.ask_first[slug].two_person for slug in slugs if slug in policy.ask_first]
    marks += [ask.two_person for slug in slugs for ask in policy.house.asks(slug)]
    return not marks or any(marks)


def _same(document: dict[str, Any]) -> str:
    request, product = document["request"], document["plan"]["product"]
    told = {key: request[key] for key in _KEPT if key in request}
    told["substance"] = [product.get(key) for key in ("substance", "form", "formula")]
    components = request.get("components") or [request.get("component", {})]
    told["sources"] = [_without(c.get("source", {}), "as_typed") for c in components]
    if len(components) > 1:
        told["components"] = product.get("components", [_without(c, "as_typed") for c in components])
    if "strengths" in request:
        told["strengths"] = request["strengths"]
    return hashlib.sha256(orjson.dumps(told, option=orjson.OPT_SORT_KEYS)).hexdigest()


def _without(part: Any, key: str) -> Any:
    if isinstance(part, dict):
        return {name: _without(held, key) for name, held in part.items() if name != key}
    return part


def _value(product: dict[str, Any], name: str) -> float | None:
    return float(product[name]["value"]) if name in product else None


def _strengths(plan: dict[str, Any]) -> Iterator[tuple[str, float]]:
    made = plan["product"].get("concentration")
    if made is not None:
        yield made["unit"], float(made["value"])
    solution = plan.get("solution", {})
    if "mass_fraction" in solution:
        yield "% w/w", float(solution["mass_fraction"]["value"])
