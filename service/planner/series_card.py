"""The rows, the table and the steps of a series whose takes are settled."""

from grammar.request import Quantity, Series
from grammar.units import UNITS
from rules.blends import Level, SeriesMade
from rules.plan import Amount, DraftPlan, Ingredient, Measure, Route, Step
from rules.tables.glassware import Glass
from service.planner.figures import inward, show, tolerance, window
from service.planner.levels import Scheme
from service.planner.steps import INVERSIONS
from service.planner.vessels import vessel_words


def typed(quantity: Quantity) -> str:
    """A strength as it was typed, with its basis."""
    basis = f" as {quantity.of}" if quantity.of else ""
    return f"{quantity.value.normalize():f} {quantity.unit}{basis}"


def name_of(item: Ingredient) -> str:
    """The solute in the words of the request."""
    return item.component.solute.as_typed or item.component.solute.name or item.substance.name


def fill(
    plan: DraftPlan,
    request: Series,
    strengths: list[Quantity],
    found: Scheme,
    words: str,
    item: Ingredient,
    flask: Glass,
) -> None:
    """Rows, table, steps and route of the series on a plan whose stock is settled."""
    blank = request.blank or any(q.value == 0 for q in request.strengths)
    made = SeriesMade(words, [], blank, found.stock_used)
    labels = [_label(n, q) for n, q in enumerate(strengths, 1)]
    named = list(reversed(labels))
    if request.each is not None and float(request.each.value * UNITS[request.each.unit].factor) < flask.nominal_mL * (
        1 - 1e-9
    ):
        plan.assumptions.append(f"No flask holds {typed(request.each)}: {flask.nominal_mL:g} mL of each is made.")
    _drop_storage_steps(plan)
    between = _intermediate(strengths[-1], found) if found.intermediate is not None else ""
    if found.intermediate is not None:
        first = found.intermediate
        strength = between.split("(")[1].rstrip(")")
        _row(
            plan,
            made,
            Level(between, strength, first.take_mL, first.using, words, first.flask, first.exact),
            item,
            strengths[-1],
        )
    for take, quantity, label in zip(found.takes, reversed(strengths), named, strict=True):
        origin = words if take.source == -1 else between if take.source == -2 else named[take.source]
        _row(
            plan,
            made,
            Level(label, typed(quantity), take.take_mL, take.using, origin, take.flask, take.exact),
            item,
            quantity,
        )
    if blank:
        solvent = request.solvent or "deionised water"
        plan.steps.append(
            Step(
                "blank",
                f"Blank: fill a {vessel_words(flask)} with the {solvent} used for the others, without {name_of(item)}.",
            )
        )
    plan.steps.append(Step("label", "Label each flask at once: what it holds, its strength, date, initials, use-by."))
    plan.series = made
    kind = (
        "serial"
        if found.serial
        else "dilute"
        if plan.request.kind == "prepare" and item.kind == "stock"
        else "stock_then_dilute"
    )
    why = (
        "Each solution is made from the one before, by the same factor."
        if found.serial
        else f"Every level is taken from one stock, {words}."
    )
    plan.route = (
        Route("serial", why) if kind == "serial" else Route("dilute" if kind == "dilute" else "stock_then_dilute", why)
    )
    plan.product_name = f"series of {len(strengths)} {name_of(item)} solutions, {labels[0]} to {labels[-1]}"


def _intermediate(top: Quantity, found: Scheme) -> str:
    """The intermediate's strength in the unit of the levels: its share of the stock, whose strength the top level tells."""
    strongest = found.takes[0]
    share = found.intermediate_share if strongest.source == -2 else 1.0
    stock = float(top.value) * strongest.flask.nominal_mL / strongest.take_mL / share
    return f"intermediate ({stock * found.intermediate_share:.4g} {top.unit})"


def _label(n: int, quantity: Quantity) -> str:
    return f"level {n} ({typed(quantity)})"


def _row(plan: DraftPlan, made: SeriesMade, level: Level, item: Ingredient, quantity: Quantity) -> None:
    made.levels.append(level)
    rel, why = tolerance(quantity, None, plan.policy.house)
    span = window(level.take_mL, max(rel, 0.002), why)
    low, high = inward(span.low, span.high, 4)
    plan.measures.append(
        Measure(
            f"{level.taken_from}, for {level.label}", "stock", Amount(level.take_mL, "mL", show(level.take_mL, "mL")),
            None, Amount(span.low, "mL", f"{low} mL"), Amount(span.high, "mL", f"{high} mL"), level.using, None, None, item,
        )
    )  # fmt: skip
    text = (
        f"{level.label}: run {show(level.take_mL, 'mL')} of {level.taken_from} with the {level.using} into a "
        f"{vessel_words(level.flask)}, fill to the mark and turn over {INVERSIONS} times."
    )
    if level.using == "used as it is":
        text = f"{level.label}: {level.taken_from} as it is."
    plan.steps.append(Step("pipette", text[0].upper() + text[1:]))


def _drop_storage_steps(plan: DraftPlan) -> None:
    """The stock stays in its flask while the levels are made; it is bottled and labelled with them."""
    plan.steps = [s for s in plan.steps if s.action not in ("bottle", "label", "standardise")]
    if not plan.steps:
        plan.steps = [
            Step("wear", "Put on eye protection and gloves; have the safety data sheet of each substance to hand.")
        ]
