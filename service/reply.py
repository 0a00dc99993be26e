"""The reply document: one shape for the API, the command line and bulk. Absent keys do not apply; there is no null filler."""

from functools import lru_cache
from typing import Any

from grammar import canonical
from grammar.request import Combine, Misread, Prepare, Series, to_document
from rules.plan import Budget, DraftPlan, Measure, Open, Step
from rules.policies import Policy
from rules.rule import Finding
from rules.tables.load import data_version
from rules.version import rules_version
from service.blend_reply import add_blends
from service.hazard_reply import hazards_document
from service.planner.figures import amount, round_figures, show
from service.planner.matching import form_name, form_word
from service.ware_reply import amount_document, route_document, vessel_document

Document = dict[str, Any]


@lru_cache(maxsize=16)
def versions(policy: Policy | None = None) -> Document:
    """The versions of rules and data every reply was made with, and of the policy once it is known."""
    found = {"rules": rules_version(), "data": data_version()}
    return found if policy is None else {**found, "policy": policy.version}


def compose_misread(text: str, misread: Misread) -> Document:
    """The reply to a text without a safe reading."""
    return {"outcome": "not_understood", "text": text, "problem": problem_document(misread), "versions": versions()}


def problem_document(misread: Misread) -> Document:
    """A problem: stable code, message, where reading stopped (character span of the text), remedy, suggestions."""
    found: Document = {"code": misread.code, "message": misread.message, "remedy": misread.remedy}
    if misread.span != (0, 0):
        found["span"] = list(misread.span)
    if misread.suggestions:
        found["suggestions"] = list(misread.suggestions)
    if misread.understood:
        found["understood"] = misread.understood
    return found


def compose(outcome: str, request: Prepare | Combine | Series, plan: DraftPlan, findings: list[Finding]) -> Document:
    """The reply to a request that was read. A plan is carried only where it may be followed (planned or held)."""
    document: Document = {"outcome": outcome, "read_as": canonical(request), "request": to_document(request)}
    assumptions = list(plan.assumptions)
    if isinstance(request, Prepare):
        assumptions += request.read_as_notes
    if not isinstance(request, Combine):
        assumptions += [f"Not used: '{words}'." for words in request.set_aside]
    if assumptions:
        document["assumptions"] = assumptions
    if outcome in ("planned", "held"):
        document["plan"] = plan_document(plan)
        if plan.route is not None and plan.route.dilutions and plan.main is not None and len(plan.ingredients) == 1:
            document["answer"] = _in_all(plan)
    document["findings"] = [finding_document(f) for f in findings if f.result != "not_applicable"]
    document["not_applicable"] = [f.rule for f in findings if f.result == "not_applicable"]
    if outcome == "question":
        document["question"] = question_document(plan, findings)
    if outcome == "answered":
        document["answer"] = _nothing_listed(plan)
    danger = [f for f in findings if f.result == "fired" and f.severity in ("stop", "hold")]
    if outcome == "refused" and danger:
        document["problem"] = _refusal(danger)
    elif plan.problem is not None:
        document["problem"] = problem_document(plan.problem)
    document["versions"] = versions()
    return document


def finding_document(finding: Finding) -> Document:
    """One rule's result. Passes are short; what fired or could not be checked carries remedy and citations."""
    rule, group, severity, result, message, remedy, cites, _, approvable = finding
    if result == "passed":
        return {"rule": rule, "group": group, "severity": severity, "result": result, "message": message}
    found: Document = {
        "rule": rule,
        "group": group,
        "severity": severity,
        "result": result,
        "message": message,
        "remedy": remedy,
        "citations": [{"source_id": c.source_id, "locator": c.locator} for c in cites],
    }
    if not approvable:
        found["approvable"] = False
    return found


def question_document(plan: DraftPlan, findings: list[Finding]) -> Document:
    """The one question to ask now, with what each answer gives and the request it leads to."""
    return _question(plan.opens[0] if plan.opens else next(f.question for f in findings if f.question is not None))


def compose_readings(text: str, open_: Open) -> Document:
    """The reply to a text that reads in two ways: the question, with the whole request of each reading."""
    return {"outcome": "question", "text": text, "question": _question(open_), "versions": versions()}


def _question(open_: Open | None) -> Document:
    assert open_ is not None
    found: Document = {
        "about": open_.about,
        "text": open_.text,
        "options": [
            {"id": o.id, "label": o.label, "effect": o.effect, "request": to_document(o.series or o.request)}
            for o in open_.options
        ],
    }
    if open_.remedy:
        found["remedy"] = open_.remedy
    return found


def _refusal(danger: list[Finding]) -> Document:
    # A danger nobody may allow is the reason given, before a limit of what can be made.
    stop = min(danger, key=lambda f: (f.severity != "stop", f.approvable))
    return {"code": stop.rule, "message": stop.message, "remedy": stop.remedy}


def _in_all(plan: DraftPlan) -> Document:
    """What is in the solution in the end, where the card measures out something stronger first."""
    item, route = plan.main, plan.route
    assert item is not None and route is not None
    direct = amount(route.direct_mass_g, "g") if route.direct_mass_g is not None else amount(item.volume_mL or 0.0, "mL")
    of = form_name(item.substance, item.form) if route.direct_mass_g is not None else "the stock"
    text = f"The whole of it holds {direct.display} of {of}: too little to measure, so it is made by way of something stronger."
    return {"amount": amount_document(direct), "text": text}


def _nothing_listed(plan: DraftPlan) -> Document:
    names = " and ".join(s.name for _, s in plan.combined)
    return {
        "text": f"No clash between {names} is listed here. That is no clearance: "
        "read both safety data sheets, section 10, before bringing them together."
    }


def plan_document(plan: DraftPlan) -> Document:
    """The plan part of the reply."""
    found: Document = {"product": _product(plan), "measure": [_measure(m) for m in plan.measures]}
    if plan.route is not None:
        found["route"] = route_document(plan.route)
    if plan.batches:
        found["vessel"] = vessel_document(plan)
    found["steps"] = [_step(n, s) for n, s in enumerate(plan.steps, 1)]
    found["working"] = [{"method": method, "lines": lines} for method, lines in plan.working]
    if plan.budget is not None:
        found["uncertainty"] = _budget(plan, plan.budget)
    solution = _solution(plan)
    if solution:
        found["solution"] = solution
    if plan.hazards is not None:
        found["hazards"] = hazards_document(
            plan.hazards, plan.policy, {i.substance.slug: i.substance.name for i in plan.ingredients}
        )
    if plan.storage is not None:
        found["storage"] = {
            "container": plan.storage.container,
            "closure": plan.storage.closure,
            "condition": plan.storage.condition,
        }
        found["use_by"] = {"days": plan.storage.shelf_life_days, "basis": plan.storage.basis}
    if plan.waste:
        found["waste"] = [{"stream": w.stream, "advice": w.advice} for w in plan.waste]
    if plan.ppe:
        found["ppe"] = list(plan.ppe)
    add_blends(plan, found)
    return found


def _product(plan: DraftPlan) -> Document:
    item = plan.main
    assert item is not None
    found: Document = {"substance": item.substance.name, "form": form_word(item.form), "formula": item.form.formula}
    if item.form.molar_mass:
        found["molar_mass"] = {
            "value": item.form.molar_mass,
            "unit": "g/mol",
            "display": f"{item.form.molar_mass:.2f} g/mol",
        }
    typed = item.component.strength
    if item.target_mol_L is not None:
        display = (
            f"{typed.value} {typed.unit}"
            if typed and typed.unit.endswith("mol/L")
            else show(item.target_mol_L, "mol/L")
        )
        found["concentration"] = {"value": item.target_mol_L, "unit": "mol/L", "display": display}
    elif typed is not None:
        found["concentration"] = {
            "value": float(typed.value),
            "unit": typed.unit,
            "display": f"{typed.value} {typed.unit}",
        }
    if plan.total_mL is not None:
        found["volume"] = amount_document(amount(plan.total_mL, "mL"))
    elif plan.total_g is not None:
        found["mass"] = amount_document(amount(plan.total_g, "g"))
    if len(plan.ingredients) > 1:
        found["components"] = [
            {
                "substance": i.substance.name,
                "formula": i.form.formula,
                "strength": f"{i.component.strength.value} {i.component.strength.unit}" if i.component.strength else "",
            }
            for i in plan.ingredients
        ]
    return found


def _measure(measure: Measure) -> Document:
    found: Document = {"what": measure.what, "role": measure.role, "amount": amount_document(measure.amount)}
    if measure.textbook:
        found["textbook"] = measure.textbook
    if measure.low is not None and measure.high is not None:
        found["window"] = {"low": amount_document(measure.low), "high": amount_document(measure.high)}
    if measure.using:
        found["using"] = measure.using
    return found


def _step(n: int, step: Step) -> Document:
    found: Document = {"n": n, "action": step.action, "text": step.text}
    if step.caution:
        found["caution"] = step.caution
    return found


def _budget(plan: DraftPlan, budget: Budget) -> Document:
    found: Document = {
        "u_rel": budget.u_rel,
        "k": budget.k,
        "budget": [{"source": b.source, "u_rel": b.u_rel, "share": b.share} for b in budget.lines],
    }
    item = plan.main
    if item is not None and item.target_mol_L is not None:
        expanded = budget.k * budget.u_rel * item.target_mol_L
        found["concentration"] = amount_document(amount(item.target_mol_L, "mol/L"))
        # In the unit of the strength it belongs to, so that the two can be set side by side.
        strength = found["concentration"]["display"].split()
        scale = float(strength[0]) / item.target_mol_L
        found["U"] = {"value": expanded, "unit": "mol/L", "display": f"{round_figures(expanded * scale, 2)} {strength[1]}"}
    return found


def _solution(plan: DraftPlan) -> Document:
    made = plan.solution
    found: Document = {}
    if made.density is not None and not made.density_assumed:
        found["density"] = {"value": made.density, "unit": "g/mL", "display": f"{made.density:.4f} g/mL"}
    if made.mass_fraction_pct is not None:
        about = "about " if made.density_assumed else ""
        found["mass_fraction"] = {
            "value": made.mass_fraction_pct,
            "unit": "%",
            "display": f"{about}{made.mass_fraction_pct:.3g} % w/w",
        }
    if made.molality is not None:
        found["molality"] = {"value": made.molality, "unit": "mol/kg", "display": f"{made.molality:.4g} mol/kg"}
    if made.temperature_rise is not None:
        found["temperature_rise"] = {
            "value": made.temperature_rise,
            "unit": "degC",
            "display": f"{made.temperature_rise:+.1f} degC",
        }
    return found
