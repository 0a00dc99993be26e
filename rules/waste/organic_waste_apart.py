"""Organic solvents are collected apart from oxidisers and from halogenated solvents."""

from collections.abc import Iterable

from rules.handled import names, solvent
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.tables.handling import Waste, waste
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[tuple[str, Waste]] | None:
    substances = [item.substance for item in plan.ingredients]
    other = solvent(plan)
    if other is not None:
        substances.append(other)
    found = [(kind.name, route) for kind in substances if (route := waste(kind.slug)).stream in ("solvent", "halogenated-solvent")]
    return found or None


def check(_plan: DraftPlan, found: list[tuple[str, Waste]]) -> Iterable[Hit]:
    streams = {route.stream for _, route in found}
    if len(streams) > 1:
        yield Hit(f"{sentence(names(name for name, _ in found))} belong to different solvent bottles but are in one solution: it goes with "
                  "the halogenated solvents.", cites=tuple(dict.fromkeys(route.cite for _, route in found)))
    else:
        name, route = found[0]
        yield Hit(f"Leftover {name} goes into the {route.stream.replace('-', ' ')} bottle ({route.advice}).", cites=(route.cite,))


RULE = Rule(
    id="organic-waste-apart",
    group="waste",
    title="No solvent is left over",
    severity="note",
    applies_to="organic solvents as solute or solvent",
    citation=(cite("usc-ehs-waste", "waste streams"),),
    rationale="Mixed solvent waste costs more to burn and can react in the can.",
    remedy="Collect it in its own bottle, named and dated, closed when not in use.",
    gather=gather,
    check=check,
    examples=(
        Example("70 % v/v ethanol 500 mL from 96 %", "fired",
                "Leftover ethanol goes into the solvent bottle (non-halogenated solvent bottle; never with oxidisers "
                "or nitric acid; dilute aqueous alcohol (below about 10 %) by local rules)."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
