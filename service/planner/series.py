"""A set of solutions at several strengths: one shared stock, a take for each level, a blank.

The stock is the one named, or one made for the purpose: of the strengths that keep within the lab's pipettes, the one
that needs the fewest graduated takes. What is judged by the rules is the strongest liquid handled.
"""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from grammar.request import Misread, Prepare, Quantity, Series
from grammar.units import UNITS
from rules.plan import DraftPlan, Open, Option, Step
from rules.tables.glassware import Glass
from service.bench import Bench
from service.planner.draft import draft
from service.planner.levels import Scheme, scheme
from service.planner.series_card import fill, name_of, typed
from service.planner.vessels import next_flask

#: How many times the top level a stock made for the series may be.
STOCK_FACTORS = (10, 5, 20, 4, 2, 25, 50, 100)
#: A stock for a series is made in this flask at least.
LEAST_STOCK_FLASK_mL = 50.0


def draft_series(request: Series, bench: Bench) -> DraftPlan:
    """The plan of a series as far as it goes; its questions lead to whole series requests."""
    levels = _levels(request)
    top = levels[-1] if levels else None
    blank_plan = DraftPlan(_single(request, top, request.each), bench.lab, bench.policy)
    if isinstance(top, Misread):
        blank_plan.problem = top
        return blank_plan
    if top is None:
        blank_plan.opens.append(
            Open(
                "strength",
                "Which strengths should the series have?",
                remedy="List them, for example '1, 2, 5 and 10 mg/L'.",
            )
        )
        return blank_plan
    strengths = [q for q in levels if isinstance(q, Quantity)]
    if request.each is None:
        blank_plan.opens.append(
            Open("total", "How much of each solution is wanted?", remedy="Add it, for example '100 mL of each'.")
        )
        return blank_plan
    each = float(request.each.value * UNITS[request.each.unit].factor)
    flask = next_flask(bench.lab, each) if each > 0 else None
    if flask is None:
        blank_plan.problem = Misread(
            "total-not-positive" if each <= 0 else "total-implausible",
            f"{request.each.value} {request.each.unit} of each is no volume a flask here holds.",
            f"Give a volume of up to {bench.lab.flasks[-1].nominal_mL:g} mL.",
        )
        return blank_plan
    source = request.component.source
    if source is not None and source.strength is not None:
        return _from_given(request, bench, strengths, flask)
    return _from_made(request, bench, strengths, flask)


def _levels(request: Series) -> list[Quantity | Misread]:
    """Strengths above zero, weakest first, each once; a misreading where they are in different units or negative."""
    if any(q.value < 0 for q in request.strengths):
        return [
            Misread("strength-not-positive", "A strength below zero makes no solution.", "Give strengths above zero.")
        ]
    if len({(q.unit, q.of) for q in request.strengths}) > 1:
        return [
            Misread(
                "series-unclear", "The strengths of the series are in different units.", "Give them all in one unit."
            )
        ]
    by_value = {q.value: q for q in request.strengths if q.value > 0}
    return [by_value[v] for v in sorted(by_value)]


def _single(request: Series, strength: Quantity | Misread | None, total: Quantity | None) -> Prepare:
    component = replace(request.component, strength=strength if isinstance(strength, Quantity) else None)
    return Prepare((component,), total=total, solvent=request.solvent)


def _from_given(request: Series, bench: Bench, strengths: list[Quantity], flask: Glass) -> DraftPlan:
    """Every level from the stock that was named; the top level is what the rules judge."""
    volume = Quantity(Decimal(f"{flask.nominal_mL:g}"), "mL")
    plan = draft(_single(request, strengths[-1], volume), bench)
    item = plan.main
    if plan.opens or plan.problem is not None or item is None or item.volume_mL is None:
        return _reopened(plan, request)
    share = item.volume_mL / flask.nominal_mL
    found = scheme(bench.lab, _shares(strengths, share), flask)
    words = (
        f"{typed(request.component.source.strength)} {name_of(item)}"
        if request.component.source and request.component.source.strength
        else name_of(item)
    )
    if found is None:
        if share <= 1:
            plan.problem = _no_way(strengths, words)
        return plan
    plan.measures, plan.steps, plan.working = [], [], []
    fill(plan, request, strengths, found, words, item, flask)
    return plan


def _from_made(request: Series, bench: Bench, strengths: list[Quantity], flask: Glass) -> DraftPlan:
    """A stock weighed for the purpose: the first workable one, by fewest graduated takes, that can be weighed directly."""
    first: DraftPlan | None = None
    for stock, found in _stocks(bench, strengths, flask):
        needed = max(found.stock_used * (1 + bench.policy.house.stock_spare_pct / 100), LEAST_STOCK_FLASK_mL)
        vessel = next_flask(bench.lab, needed)
        if vessel is None:
            continue
        total = Quantity(Decimal(f"{vessel.nominal_mL:g}"), "mL")
        plan = draft(_single(request, stock, total), bench)
        first = first or plan
        item = plan.main
        if plan.opens or plan.problem is not None:
            return _reopened(plan, request)
        beyond = (
            item is not None and item.ceiling_mol_L is not None and (item.target_mol_L or 0) > 0.8 * item.ceiling_mol_L
        )
        heavy = plan.route is not None and (
            plan.route.kind != "weigh" or (plan.route.direct_mass_g or 1) >= (plan.route.minimum_weight_g or 0)
        )
        if item is None or beyond or not heavy or (plan.route is not None and plan.route.dilutions):
            continue
        fill(plan, request, strengths, found, f"{typed(stock)} {name_of(item)} stock", item, flask)
        return plan
    weighed = _each_weighed(request, bench, strengths, flask)
    if weighed is not None:
        return weighed
    if first is None:
        first = DraftPlan(_single(request, strengths[-1], request.each), bench.lab, bench.policy)
    first.measures, first.steps = [], []
    first.problem = first.problem or _no_way(strengths, "one stock")
    return first


def _each_weighed(request: Series, bench: Bench, strengths: list[Quantity], flask: Glass) -> DraftPlan | None:
    """Every level weighed by itself, where no shared stock reaches them; None where one of them cannot be weighed directly."""
    volume = Quantity(Decimal(f"{flask.nominal_mL:g}"), "mL")
    plans = [draft(_single(request, strength, volume), bench) for strength in strengths]
    for plan in plans:
        if plan.opens or plan.problem is not None:
            return _reopened(plan, request)
        if plan.route is None or plan.route.kind != "weigh" or not plan.measures:
            return None
    judged = plans[-1]
    assert judged.route is not None
    lines = [(strength, plan.measures[0]) for strength, plan in zip(strengths, plans, strict=True)]
    judged.measures = [replace(line, what=f"{line.what}, for {typed(strength)}") for strength, line in lines]
    judged.route.why = "No one stock reaches every level with the pipettes here, so each solution is weighed by itself."
    masses = "; ".join(f"{typed(strength)}: {line.amount.display}" for strength, line in lines)
    judged.steps.insert(
        1,
        Step(
            "each",
            f"Make each solution by itself in its own {flask.nominal_mL:g} mL flask ({masses}). The steps are for the strongest.",
        ),
    )
    return judged


def _stocks(bench: Bench, strengths: list[Quantity], flask: Glass) -> Iterator[tuple[Quantity, Scheme]]:
    """Stocks of a round multiple of the top level that reach every level, fewest graduated takes first."""
    top = strengths[-1]
    found = []
    for order, factor in enumerate(STOCK_FACTORS):
        made = scheme(bench.lab, _shares(strengths, 1 / factor), flask, stepwise=False)
        if made is not None:
            stock = replace(top, value=top.value * factor)
            found.append((made.intermediate is not None, made.inexact, order, stock, made))
    for _, _, _, stock, made in sorted(found, key=lambda row: row[:3]):
        yield stock, made


def _shares(strengths: list[Quantity], top_share: float) -> list[float]:
    """Each level's share of the stock's strength, strongest first."""
    top = strengths[-1].value
    return [top_share * float(q.value / top) for q in reversed(strengths)]


def _no_way(strengths: list[Quantity], words: str) -> Misread:
    return Misread(
        "series-out-of-reach",
        f"{typed(strengths[0])} to {typed(strengths[-1])} cannot be reached from {words} with the pipettes and flasks here.",
        "Start from another stock, or make more of each solution.",
    )


def _reopened(plan: DraftPlan, request: Series) -> DraftPlan:
    """The question's options as whole series: what was settled about the solute, with every strength kept."""
    for n, open_ in enumerate(plan.opens):
        options = tuple(replace(option, series=_as_series(option, request)) for option in open_.options)
        plan.opens[n] = replace(open_, options=options)
    return plan


def _as_series(option: Option, request: Series) -> Series:
    settled = option.request.components[0]
    strengths = request.strengths
    if settled.strength is not None:
        unit, basis = settled.strength.unit, settled.strength.of
        strengths = tuple(replace(q, unit=unit, of=basis) for q in strengths)
    return replace(request, component=replace(settled, strength=None), strengths=strengths)
