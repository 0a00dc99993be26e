"""Rules that guard the plan's own steps never fire on a sound plan, so they are shown firing on a spoilt one.

Also: every question the planner can ask is claimed by one rule, and rules survive half-filled plans.
"""

import ast
from collections.abc import Callable
from pathlib import Path

import pytest

import service.planner
from grammar import read
from grammar.request import Misread, Prepare
from rules.catalogue import catalogue
from rules.plan import DraftPlan, Open
from rules.rule import Finding, judge
from rules.tables.substances import by_name
from service.bench import default_bench
from service.pipeline import consider


def plan_for(text: str) -> DraftPlan:
    request = read(text, known=lambda words: bool(by_name(words)))
    assert not isinstance(request, Misread)
    return consider(request, default_bench()).plan


def findings(plan: DraftPlan, rule: str) -> list[Finding]:
    return list(judge(plan, [r for r in catalogue() if r.id == rule]))


def without(*actions: str) -> Callable[[DraftPlan], None]:
    def spoil(plan: DraftPlan) -> None:
        plan.steps = [step for step in plan.steps if step.action not in actions]

    return spoil


def mix_first(plan: DraftPlan) -> None:
    plan.steps.sort(key=lambda step: step.action != "invert")


def dissolve_warm(plan: DraftPlan) -> None:
    for step in plan.steps:
        if step.action == "dissolve":
            step.action = "dissolve-warm"


def double_the_liquids(plan: DraftPlan) -> None:
    plan.ingredients = [plan.ingredients[0], plan.ingredients[0]]
    plan.ingredients[0].volume_mL = 60.0
    plan.total_mL = 100.0


GUARDS = [
    (
        "mix-after-filling",
        "250 mL of 0.1 M sodium chloride",
        without("invert"),
        "hold",
        "The steps fill to a mark 1 time but mix only 0 times.",
    ),
    (
        "mix-after-filling",
        "250 mL of 0.1 M sodium chloride",
        mix_first,
        "hold",
        "The steps fill to a mark 1 time, but the last filling is not followed by mixing.",
    ),
    (
        "acid-into-water",
        "1 L of 0.1 M HCl",
        without("acid-to-water", "part-fill"),
        "stop",
        "Hydrochloric acid of 5 mol/L or more goes into water, but the steps measure it out with no water in the vessel first.",
    ),
    (
        "dissolve-before-the-flask",
        "250 mL of 0.1 M sodium chloride",
        without("rinse"),
        "hold",
        "The steps do not dissolve the solid in a beaker and rinse it into the flask before the flask is filled.",
    ),
    (
        "cool-before-mark",
        "1L 2M NaOH",
        without("cool"),
        "hold",
        "The steps fill to the mark while the solution is still 20 degC off 20 degC, an error of about 0.39 % in volume.",
    ),
    (
        "cold-water-for-strong-base",
        "1L 2M NaOH",
        dissolve_warm,
        "stop",
        "Sodium hydroxide gives off heat on dissolving and goes into cold water, but the steps dissolve it warm.",
    ),
    (
        "parts-exceed-total",
        "100 mL of 0.1 M HCl from 1 M HCl",
        double_the_liquids,
        "stop",
        "The liquids to be measured add up to 120.0 mL, more than the 100.0 mL to be made.",
    ),
    (
        "dry-first",
        "accurate 250 mL of 0.0500 M anhydrous sodium carbonate",
        without("dry"),
        "caution",
        "Anhydrous sodium carbonate is a primary standard, but the steps do not treat it first: "
        "100-105 C, then 270-300 C to constant mass; cool in a desiccator.",
    ),
]


@pytest.mark.parametrize(("rule", "text", "spoil", "severity", "message"), GUARDS)
def test_guard_fires_on_a_spoilt_plan_only(
    rule: str, text: str, spoil: Callable[[DraftPlan], None], severity: str, message: str
) -> None:
    plan = plan_for(text)
    assert message not in [f.message for f in findings(plan, rule)]
    spoil(plan)
    assert [(f.severity, f.message) for f in findings(plan, rule)] == [(severity, message)]


def asked_about() -> set[str]:
    """The subject of every question in the planner's source."""
    found: set[str] = set()
    for path in Path(next(iter(service.planner.__path__))).glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Open":
                found |= {
                    n.value for n in ast.walk(node.args[0]) if isinstance(n, ast.Constant) and isinstance(n.value, str)
                }
    return found


@pytest.mark.parametrize("about", sorted({"form", "oxidation-state", "which-substance"} | asked_about()))
def test_every_question_is_asked_by_one_rule(about: str) -> None:
    request = Prepare(())
    plan = DraftPlan(request, default_bench().lab, default_bench().policy, opens=[Open(about, "Which one?")])
    asking = [f for f in judge(plan, catalogue()) if f.severity == "ask" and f.result == "fired"]
    assert [(f.message, f.question) for f in asking] == [("Which one?", plan.opens[0])]


HALF_FILLED = [
    "make some sodium chloride",
    "0.1 M copper sulfate 1 L",
    "make 500 mL of 2 M HCl from 0.5 M HCl",
    "0.1 m HCl 1 L",
    "120 % w/w sodium hydroxide, 100 g",
    "1 L of 0.1 M potassium hydroxide, purity 185 %",
    "0.1 M starch 100 mL",
]


@pytest.mark.parametrize("text", HALF_FILLED)
def test_no_rule_breaks_on_a_half_filled_plan(text: str) -> None:
    plan = plan_for(text)
    ingredients = list(plan.ingredients)
    for bare in (
        plan,
        DraftPlan(plan.request, plan.lab, plan.policy),
        DraftPlan(plan.request, plan.lab, plan.policy, ingredients),
    ):
        broken = [f.message for f in judge(bare, catalogue()) if "failed to run" in f.message]
        assert broken == []
