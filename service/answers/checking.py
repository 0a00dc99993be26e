"""Is this number right? The claim beside the amount the plan gives, and the slip that would give the claim."""

from dataclasses import dataclass

from grammar.request import Ask, Check, Misread, Quantity
from grammar.units import UNITS
from rules.plan import Amount, DraftPlan, Ingredient, Open
from rules.tables.concentrated import reagents
from service.answers.concentrations import bottles
from service.answers.evaluate import evaluate
from service.answers.facts import Facts, of_plan, of_strength
from service.answers.slips import Named, slips_for
from service.answers.terms import Answer, Consider, Considered, Result, base, fixed_unit, in_unit, scale, typed
from service.bench import Bench
from service.planner.figures import LEAST_TEXTBOOK_FIGURES, round_figures, tolerance

#: A claim this close, or rounded no more coarsely than this, is no slip of method.
NEARLY = 0.02
COARSEST_ROUNDING = 0.05
_NAMES = {"mass": "a mass in g", "volume": "a volume in mL", "amount": "an amount in mol"}


@dataclass(frozen=True, slots=True)
class Unplanned:
    """The request of a check has no plan to compare with: its own outcome stands."""

    considered: Considered


def check(asked: Check, bench: Bench, consider: Consider) -> Result | Unplanned:
    """The verdict on a claim; refused and open requests give no number to compare with."""
    claimed = asked.claimed
    if UNITS[claimed.unit].dimension not in _NAMES:
        return _strength(asked, bench, consider)
    judged = consider(asked.request, bench)
    if judged.outcome not in ("planned", "held"):
        return Unplanned(judged)
    plan = judged.plan
    item = plan.main
    if item is None or len(plan.ingredients) > 1:
        return Misread("one-solute-only", "An amount is checked for one solute at a time.", "Check them one by one.")
    right = _right(plan, item, claimed)
    if right is None:
        kind = UNITS[claimed.unit].dimension
        wanted = "a volume of the stock or reagent, in mL" if item.volume_mL is not None else "a mass, in g"
        return Misread(
            "claim-of-another-kind",
            f"{typed(claimed)} is {_NAMES[kind]}, and what is measured here is {wanted}.",
            "Give the amount that was measured.",
        )
    strength = item.component.strength
    rel = tolerance(strength, asked.request.purpose, bench.policy.house)[0] if strength is not None else 0.01
    facts = of_plan(plan, item, UNITS[claimed.unit].dimension, right)
    answer = _verdict(claimed, facts, right, rel, strength)
    if answer.more["verdict"] != "right" and item.reagent is not None and not item.reagent_stated:
        other = _another_bottle(asked, item, base(claimed) / right)
        if other is not None:
            return other
    answer.assumptions = [*plan.assumptions, *answer.assumptions]
    answer.working = [line for method, lines in plan.working if method == "formulas" for line in lines]
    answer.findings = [f for f in judged.findings if f.result == "fired" and f.severity in ("caution", "hold")]
    if judged.outcome == "held":
        answer.text += " It may be made only once somebody has allowed it."
    return answer


def _another_bottle(asked: Check, item: Ingredient, ratio: float) -> Open | None:
    """The bottle was only assumed, and the claim is right for another one that is sold: then it must be asked."""
    assert item.reagent is not None
    held = reagents(item.substance.slug)
    mine = item.reagent.mass_percent * item.reagent.density_g_per_mL
    fits = any(abs(ratio * row.mass_percent * row.density_g_per_mL / mine - 1) <= NEARLY / 2 for row in held)
    if not fits:
        return None
    return Open(
        "reagent-strength",
        f"That depends on the bottle of {item.substance.name}. What does its label say?",
        bottles(asked.request, item.substance.slug),
        "Read the percentage and the density on the label.",
    )


def _right(plan: DraftPlan, item: Ingredient, claimed: Quantity) -> float | None:
    """The right amount in the base unit of the claim; None where an amount of that kind is not what is measured."""
    kind = UNITS[claimed.unit].dimension
    if kind == "amount":
        return item.moles
    if kind == "mass":
        if item.volume_mL is not None:
            return item.volume_mL * item.stock_density if item.stock_density else None
        direct = plan.route.direct_mass_g if plan.route is not None else None
        return direct if direct is not None and plan.route is not None and plan.route.dilutions else item.mass_g
    return item.volume_mL


def _strength(asked: Check, bench: Bench, consider: Consider) -> Result | Unplanned:
    """A claimed strength: of a mass in a volume, of a dilution, or of the same solution in other terms."""
    component, claimed = asked.request.components[0], asked.claimed
    topic = "strength-made" if component.mass is not None else "convert"
    if component.strength is None and component.source is not None and component.source.volume is not None:
        topic = "strength-diluted"
    elif component.strength is not None and component.strength.unit in ("%", "% w/w"):
        topic = "strength-of-reagent"
    if component.strength is None and topic in ("convert", "strength-of-reagent"):
        return Misread(
            "claim-without-request", "There is nothing to compare the strength with.", "Say what it was made from."
        )
    if topic == "strength-made" or topic == "strength-diluted":
        judged = consider(asked.request, bench)
        if judged.outcome == "refused":
            return Unplanned(judged)
    found = evaluate(Ask(topic, asked.request, None, claimed.unit, claimed.of), bench, consider)
    if not isinstance(found, Answer) or found.amount is None:
        return found
    right = found.amount.value
    facts = of_strength(asked, topic, right, bench)
    answer = _verdict(claimed, facts, right, tolerance(claimed, None, bench.policy.house)[0], None)
    answer.assumptions, answer.working, answer.cites = found.assumptions, found.working, found.cites
    return answer


def _verdict(claimed: Quantity, facts: Facts, right: float, rel: float, strength: Quantity | None) -> Answer:
    """right, close or wrong, with the slips that give the claimed number."""
    value = base(claimed)
    off = value / right - 1 if right else float("inf")
    count = max(LEAST_TEXTBOOK_FIGURES, claimed.figures) + 1
    shown = in_unit(right, claimed.unit, count)
    amount = Amount(right, fixed_unit(claimed.unit), shown)
    rounds = _rounds_to(right, claimed)
    result = _result(claimed, right, strength)
    enough = max(LEAST_TEXTBOOK_FIGURES, strength.figures if strength is not None else 0)
    if abs(off) <= rel or (rounds and claimed.figures >= enough):
        return Answer(amount, f"Right: it is {shown}{result}.", more=_more("right", ()))
    named = () if rounds and abs(off) <= COARSEST_ROUNDING else slips_for(facts, claimed)
    if not named and (abs(off) <= NEARLY or (rounds and abs(off) <= COARSEST_ROUNDING)):
        more_or_less = "more" if off > 0 else "less"
        text = f"Close, but rounded too early: it is {shown}, and {typed(claimed)} is {abs(off) * 100:.2g} % {more_or_less}"
        text += f"{result} instead of {typed(strength)}." if strength is not None else "."
        return Answer(amount, text, more=_more("close", (_early(claimed, shown),)))
    said = f"Not right: it is {shown}, not {typed(claimed)}"
    if not named:
        text = f"{said}. No single slip known here gives that number; go through the working line by line."
    elif len(named) == 1:
        text = f"{said}. {named[0].said}"
    else:
        text = f"{said}. {len(named)} slips give that number: " + " Or: ".join(n.said for n in named)
    return Answer(amount, text, more=_more("wrong", named))


def _early(claimed: Quantity, shown: str) -> Named:
    return Named(
        "rounded-too-early",
        "rounded too early",
        f"{shown} was rounded to {typed(claimed)} before it was used.",
        base(claimed),
    )


def _more(verdict: str, named: tuple[Named, ...]) -> dict[str, object]:
    slips = [{"id": n.id, "name": n.name, "explanation": n.said} for n in named]
    return {"verdict": verdict, "slips": slips}


def _rounds_to(right: float, claimed: Quantity) -> bool:
    """Whether the right amount, rounded to the place the claim was typed to, is the claim."""
    exponent = claimed.value.as_tuple().exponent
    assert isinstance(exponent, int)
    half = 0.5 * 10.0**exponent * scale(claimed.unit)
    return abs(right - base(claimed)) <= half * (1 + 1e-9)


def _result(claimed: Quantity, right: float, strength: Quantity | None) -> str:
    """How strong the solution comes out with the claimed amount."""
    if strength is None:
        return ""
    made = float(strength.value) * base(claimed) / right
    count = max(LEAST_TEXTBOOK_FIGURES, strength.figures)
    return f"; {typed(claimed)} gives {round_figures(made, count)} {strength.unit}"
