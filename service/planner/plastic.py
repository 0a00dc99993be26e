"""Preparations that no glass may touch: the lab's plastic ware instead, and a bench card that names no glass."""

import re
from dataclasses import replace

from rules.handled import attacks_glass
from rules.plan import DraftPlan

_WARE = re.compile(r"(?<!plastic )\b(?:clean glass )?(beaker|funnel|dropper|rod|weighing boat|weighing vessel)\b")


def keep_from_glass(plan: DraftPlan) -> None:
    """Take the glass out of reach where an ingredient frees hydrogen fluoride, before any vessel is chosen."""
    if attacks_glass(plan):
        plan.lab = plan.lab.without_glass()


def say_plastic(plan: DraftPlan) -> None:
    """Name the small ware of the steps as plastic, where glass was taken out of reach."""
    if attacks_glass(plan):
        plan.steps[:] = [replace(step, text=_WARE.sub(r"plastic \1", step.text)) for step in plan.steps]
