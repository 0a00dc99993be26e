"""A standardisation as a document. Pure: the plan, the body, the standard and the time go in."""

from datetime import datetime, timedelta
from typing import Any

from rules import standardising
from rules.house import House, at_most
from rules.plan import Amount, DraftPlan
from rules.tables.assay import assay
from rules.tables.glassware import Glass
from rules.tables.handling import storage
from rules.tables.lab import Balance, Lab
from rules.tables.load import Cite
from service.planner.figures import amount, round_figures, show
from service.planner.matching import form_name
from service.planner.uncertainty import combine
from service.problems import FieldError, Problem
from service.records.bodies import plain, wrong
from service.records.made import cause, mol_per_litre, strength_part
from service.records.used import SourceValue
from service.reply import versions
from service.standards.standard import Standard, find_standard
from service.standards.titration import Outcome, Run, Setting, titrate
from service.ware_reply import amount_document

Document = dict[str, Any]
_FIGURES = 4


def compose(
    plan: DraftPlan, body: Document, sources: dict[str, SourceValue], lab: Lab, made_at: datetime, at: datetime
) -> Document:
    """The standardisation without its ids, time and what it revalues.

    ``made_at``: when the solution was recorded; ``at``: now. Raises Problem naming fields that cannot be used.
    """
    item = plan.main
    assert item is not None
    nominal = mol_per_litre(plan, item)
    if len(plan.ingredients) != 1 or nominal is None:
        raise Problem(
            "cannot-be-standardised", "Only a solution of one substance with a strength in moles is standardised here."
        )
    standard = find_standard(item.substance.slug, body, sources)
    runs = _runs(body, standard)
    how, assumptions = _setting(lab, body, standard)
    try:
        outcome = titrate(standard, runs, how)
    except ValueError as fault:
        raise wrong([FieldError("/runs", str(fault))]) from None
    if outcome.titres.rsd is None:
        raise wrong([FieldError("/runs", "one run that counts shows no repeatability: titrate at least three times")])
    checks = standardising.checks(outcome.titres, nominal)
    trusted = standard.source is None or standard.source.true
    accepted = all(check.met for check in checks) and trusted
    mean = Amount(outcome.titres.mean, "mol/L", show(outcome.titres.mean, "mol/L", _FIGURES))
    document: Document = {
        "by": body["by"],
        "solution": form_name(item.substance, item.form),
        "recorded": plain(body),
        "standard": _standard(standard),
        "runs": [
            _run(r, b, n, s) for r, b, n, s in zip(runs, body["runs"], outcome.net_mL, outcome.strengths, strict=True)
        ],
        "mean": amount_document(mean),
        "rsd_pct": 100 * outcome.titres.rsd,
        "factor": outcome.titres.mean / nominal,
        "largest_cause": cause(outcome.doubts),
        "accepted": accepted,
        "checks": [_check(c) for c in checks] + ([] if trusted else [_untrusted(standard)]),
        "verdict": _verdict(accepted, checks, trusted, mean),
        "next_due": _due(item.substance.slug, outcome.titres.mean, made_at, at, plan.policy.house),
        "working": [{"method": "formulas", "lines": _working(standard, runs, outcome, how)}],
        "versions": versions(plan.policy),
    }
    budget = combine((d.words, d.u_rel) for d in outcome.doubts)
    part = strength_part(mean, amount(nominal, "mol/L"), outcome.titres.mean / nominal, budget)
    document |= {key: part[key] for key in ("nominal", "difference", "uncertainty")}
    if assumptions:
        document["assumptions"] = assumptions
    return document


def _runs(body: Document, standard: Standard) -> list[Run]:
    key, other = ("mass_g", "volume_mL") if standard.mol_L is None else ("volume_mL", "mass_g")
    errors = []
    runs = []
    for place, run in enumerate(body["runs"]):
        if key not in run or other in run:
            wanted = (
                "mass_g, the mass of the standard" if key == "mass_g" else "volume_mL, the volume that was pipetted"
            )
            errors.append(FieldError(f"/runs/{place}/{other if other in run else key}", f"each run must give {wanted}"))
            continue
        mass, volume = (float(run[k]) if k in run else None for k in ("mass_g", "volume_mL"))
        runs.append(Run(float(run["titre_mL"]), mass, volume, "left_out" not in run))
    if standard.mol_L is None and body.get("in_burette") == "standard":
        errors.append(FieldError("/in_burette", "a standard that is weighed is not in the burette", ("solution",)))
    if errors:
        raise wrong(errors)
    return runs


def _setting(lab: Lab, body: Document, standard: Standard) -> tuple[Setting, list[str]]:
    assumptions = []
    burettes = {b.nominal_mL: b for b in lab.burettes}
    wanted = float(body["burette_mL"]) if "burette_mL" in body else max(burettes)
    if wanted not in burettes:
        raise wrong([FieldError("/burette_mL", "is no burette of this lab", tuple(f"{size:g}" for size in burettes))])
    if "burette_mL" not in body:
        assumptions.append(f"Titrated from a {wanted:g} mL burette.")
    purity, half = 1.0, 0.0
    if standard.mol_L is None:
        purity, half = _purity(body, standard, assumptions)
    elif "assay" in body:
        raise wrong([FieldError("/assay", "belongs to a standard that is weighed")])
    balance = _balance(lab, body, standard, assumptions)
    return Setting(balance, burettes[wanted], _pipette(lab, body), purity, half, float(body.get("blank_mL", 0)),
                   float(body.get("indicator_correction_mL", 0)), body.get("in_burette") == "standard"), assumptions  # fmt: skip


def _balance(lab: Lab, body: Document, standard: Standard, assumptions: list[str]) -> Balance:
    if "balance" in body:
        for balance in lab.balances:
            if body["balance"].strip().lower() in (balance.name.lower(), balance.name.split()[0].lower()):
                return balance
        raise wrong([FieldError("/balance", "is no balance of this lab", tuple(b.name for b in lab.balances))])
    if standard.mol_L is None:
        assumptions.append(f"Weighed on the balance {lab.balances[0].name}.")
    return lab.balances[0]


def _pipette(lab: Lab, body: Document) -> Glass | None:
    """The one-mark pipette of the volume that was taken, where this lab has it."""
    taken = {float(run["volume_mL"]) for run in body["runs"] if "volume_mL" in run}
    return next((p for p in lab.pipettes if {p.nominal_mL} == taken), None)


def _purity(body: Document, standard: Standard, assumptions: list[str]) -> tuple[float, float]:
    if "assay" in body:
        return float(body["assay"]["value"]) / 100, float(body["assay"].get("half_width", 0.05)) / 100
    usual = assay(standard.substance.slug, standard.form.label)
    half = (
        0.5
        if usual is None or usual.low_pct is None or usual.high_pct is None
        else (usual.high_pct - usual.low_pct) / 2
    )
    assumptions.append(f"{standard.name}: taken as 100 % (no assay given), {half:g} % either way.")
    return 1.0, half / 100


def _standard(standard: Standard) -> Document:
    row = standard.row
    found: Document = {"name": standard.name, "formula": standard.form.formula}
    if standard.mol_L is not None:
        found["solution"] = amount_document(amount(standard.mol_L, "mol/L"))
        if standard.source is not None:
            found["preparation"] = standard.source.id
    elif standard.form.molar_mass:
        molar = standard.form.molar_mass
        found["molar_mass"] = {"value": molar, "unit": "g/mol", "display": f"{molar:.3f} g/mol"}
    found |= {"titrant_per_standard": row.titrant_per_standard, "indicator": row.indicator}
    found |= {key: words for key, words in (("drying", row.drying), ("note", row.note)) if words}
    return found | {"citation": _citation(row.cite)}


def _citation(source: Cite) -> Document:
    return {"source_id": source.source_id, "locator": source.locator}


def _run(run: Run, body: Document, net_mL: float, strength: float) -> Document:
    found: Document = {}
    if run.mass_g is not None:
        found["mass"] = {"value": run.mass_g, "unit": "g", "display": f"{body['mass_g']} g"}
    if run.volume_mL is not None:
        found["volume"] = {"value": run.volume_mL, "unit": "mL", "display": f"{body['volume_mL']} mL"}
    found["titre"] = {"value": run.titre_mL, "unit": "mL", "display": f"{body['titre_mL']} mL"}
    found["titre_net"] = {"value": net_mL, "unit": "mL", "display": f"{net_mL:.2f} mL"}
    found["strength"] = amount_document(amount(strength, "mol/L", _FIGURES + 1))
    if "left_out" in body:
        found["left_out"] = body["left_out"]
    return found


def _check(check: standardising.Check) -> Document:
    return {
        "what": check.what,
        "found": check.found,
        "limit": check.limit,
        "met": check.met,
        "citation": _citation(check.cite),
    }


def _untrusted(standard: Standard) -> Document:
    return {
        "what": "strength of the standard solution",
        "found": "nominal",
        "limit": "standardised itself",
        "met": False,
        "citation": _citation(standard.row.cite),
    }


def _verdict(accepted: bool, checks: tuple[standardising.Check, ...], trusted: bool, mean: Amount) -> str:
    if accepted:
        return f"Accepted: {mean.display} is the strength of the solution and of everything made from it."
    failed = [f"{c.what} {c.found}, needed {c.limit}" for c in checks if not c.met]
    if not trusted:
        failed.append("the standard solution is itself only nominal")
    away = any(not c.met and c.what.startswith("difference") for c in checks)
    remedy = "Dilute or strengthen it, or make it again." if away else "Titrate again until three runs agree."
    return f"Not accepted: {'; '.join(failed)}. The strength on record stays as it was. {remedy}"


def _due(slug: str, mol_L: float, made_at: datetime, at: datetime, house: House) -> Document:
    kept = at_most(storage(slug, mol_L), house)
    days, basis, source = standardising.due_days(slug, kept.shelf_life_days if kept else None, house.standardise_days)
    day = at.date() + timedelta(days=days)
    if kept is not None and kept.shelf_life_days is not None:
        last = made_at.date() + timedelta(days=kept.shelf_life_days)
        if last < day:
            day, basis = last, "the solution is used by then"
    return {"date": day.isoformat(), "basis": basis, "citation": _citation(source)}


def _working(standard: Standard, runs: list[Run], outcome: Outcome, how: Setting) -> list[str]:
    ratio = f"{standard.row.titrant_per_standard:.4g}"
    lines = []
    for run, net, value in zip(runs, outcome.net_mL, outcome.strengths, strict=True):
        titre = f"{net:.2f} mL"
        corrections = how.blank_mL + how.indicator_mL
        if corrections:
            titre = f"({run.titre_mL:.2f} - {corrections:.2f}) mL"
        if run.mass_g is not None:
            pure = f" x {how.purity:.5g}" if how.purity != 1.0 else ""
            made = f"1000 x {run.mass_g:.4f} g{pure} x {ratio} / ({standard.form.molar_mass:.3f} g/mol x {titre})"
        else:
            poured, met = (
                (titre, f"{run.volume_mL:.2f} mL") if how.standard_in_burette else (f"{run.volume_mL:.2f} mL", titre)
            )
            made = f"{standard.mol_L:.5f} mol/L x {poured} x {ratio} / {met}"
        lines.append(f"c = {made} = {round_figures(value, 5)} mol/L{'' if run.counts else ' (left out)'}")
    lines.append(f"mean of {len(outcome.titres.strengths)} = {round_figures(outcome.titres.mean, 5)} mol/L")
    return lines
