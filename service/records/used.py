"""What really went in, matched with what the plan measures: amounts in g and mL, balances and ware of this lab, sources."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from rules.plan import DraftPlan, Measure
from rules.tables.concentrated import density_for
from rules.tables.glassware import Glass
from rules.tables.lab import Balance, Lab
from service.plans.ids import read_id
from service.problems import FieldError
from service.records.bodies import wrong
from service.schemas.records import MASSES, VOLUMES


@dataclass(frozen=True, slots=True)
class SourceValue:
    """A preparation something was taken from, as it stands now: strength in mol/L or g/L with its relative uncertainty.

    ``use_by`` is its last day (YYYY-MM-DD); ``true`` says whether its strength is known and not only nominal.
    """

    id: str
    substance: str
    name: str
    value: float
    unit: str
    u_rel: float
    use_by: str | None
    true: bool


Sources = Mapping[str, SourceValue]


@dataclass(frozen=True, slots=True)
class Used:
    """One portion that went in. ``amount`` and ``readings`` in ``unit`` (g or mL); ``purity`` a fraction, None as planned."""

    number: int
    measure: Measure
    unit: str
    readings: tuple[float, ...]
    as_typed: tuple[str, ...]
    typed_unit: str
    balance: Balance | None
    ware: Glass | None
    purity: float | None
    purity_half: float
    density: float | None
    source: SourceValue | None
    lot: str | None

    @property
    def amount(self) -> float:
        """All readings together."""
        return sum(self.readings)

    @property
    def in_plan_unit(self) -> float:
        """The amount in the unit the plan measures it in: a weighed liquid by its density."""
        if self.unit == self.measure.amount.unit:
            return self.amount
        assert self.density is not None
        return self.amount / self.density


def read_used(plan: DraftPlan, lab: Lab, body: dict[str, Any], sources: Sources, at: str = "") -> list[Used]:
    """The portions, in order. Raises Problem naming each field that does not fit the plan or the lab; ``at`` is the
    pointer of the record in the body."""
    errors: list[FieldError] = []
    found = [
        one
        for place, item in enumerate(body["used"])
        if (one := _portion(plan, lab, item, sources, f"{at}/used/{place}", errors)) is not None
    ]
    if body.get("outcome", "made") == "made":
        there = {one.number for one in found}
        missing = [n for n, m in enumerate(plan.measures, 1) if m.ingredient is not None and n not in there]
        if missing and not errors:
            errors += [
                FieldError(f"{at}/used", f"lacks what was really taken of measure {n}, {plan.measures[n - 1].what}")
                for n in missing
            ]
    if errors:
        raise wrong(errors)
    return found


def _portion(
    plan: DraftPlan, lab: Lab, item: dict[str, Any], sources: Sources, at: str, errors: list[FieldError]
) -> Used | None:
    number = item.get("measure", 1)
    if "measure" not in item and sum(1 for m in plan.measures if m.ingredient is not None) > 1:
        errors.append(FieldError(f"{at}/measure", "must say which of the measured things this is", _numbers(plan)))
        return None
    if number > len(plan.measures):
        errors.append(FieldError(f"{at}/measure", "is no number of the sheet", _numbers(plan)))
        return None
    measure = plan.measures[number - 1]
    unit = "g" if item["unit"] in MASSES else "mL"
    factor = (MASSES | VOLUMES)[item["unit"]]
    before = len(errors)
    density = density_of(measure, item)
    if unit != measure.amount.unit and (unit == "mL" or density is None):
        errors.append(FieldError(f"{at}/unit", f"{measure.what} is measured in {measure.amount.unit}",
                                 tuple(MASSES if measure.amount.unit == "g" else VOLUMES)))  # fmt: skip
    balance = _balance(lab, measure, item, at, errors) if unit == "g" else None
    ware = _ware(lab, item, at, errors) if unit == "mL" else None
    source = _source(measure, item, sources, at, errors)
    purity, half = _purity(measure, item, source, at, errors)
    if len(errors) > before:
        return None
    return Used(number, measure, unit, tuple(float(r) * factor for r in item["readings"]),
                tuple(str(r) for r in item["readings"]), item["unit"], balance, ware, purity, half, density, source,
                item.get("lot"))  # fmt: skip


def _numbers(plan: DraftPlan) -> tuple[str, ...]:
    return tuple(f"{n}: {m.what}" for n, m in enumerate(plan.measures, 1))


def in_grams_or_mL(unit: str) -> tuple[str, Decimal]:  # noqa: N802 - mL is written so
    """The unit, g or mL, that a typed unit is counted in, and how many of it are in one."""
    return ("g", Decimal(f"{MASSES[unit]:g}")) if unit in MASSES else ("mL", Decimal(f"{VOLUMES[unit]:g}"))


def density_of(measure: Measure, item: dict[str, Any]) -> float | None:
    """The density of what was measured, g/mL: as stated, else that of the plan or the table; None where none is known."""
    if "density_g_mL" in item:
        return float(item["density_g_mL"])
    held = measure.ingredient
    if held is None:
        return None
    if "assay" in item and held.kind == "concentrated":
        found = density_for(held.substance.slug, float(item["assay"]["value"]))
        return found.value_g_per_mL if found else None
    return held.stock_density


def _balance(lab: Lab, measure: Measure, item: dict[str, Any], at: str, errors: list[FieldError]) -> Balance:
    if "balance" in item:
        wanted = item["balance"].strip().lower()
        for balance in lab.balances:
            if wanted in (balance.name.lower(), balance.name.split()[0].lower()):
                return balance
        errors.append(FieldError(f"{at}/balance", "is no balance of this lab", tuple(b.name for b in lab.balances)))
    return measure.balance or lab.balances[-1]


def _ware(lab: Lab, item: dict[str, Any], at: str, errors: list[FieldError]) -> Glass | None:
    if "ware" not in item:
        return None
    owned = (*lab.pipettes, *lab.graduated_pipettes, *lab.burettes, *lab.micropipettes, *lab.cylinders)
    named = {f"{g.nominal_mL:g} mL {g.words}".lower(): g for g in owned}
    found = named.get(" ".join(item["ware"].lower().split()))
    if found is None:
        errors.append(FieldError(f"{at}/ware", "is no ware of this lab", tuple(named)))
    return found


def _source(
    measure: Measure, item: dict[str, Any], sources: Sources, at: str, errors: list[FieldError]
) -> SourceValue | None:
    if "source" not in item:
        return None
    held = measure.ingredient
    found = sources.get(read_id(item["source"]) or "")
    if found is None:
        errors.append(FieldError(f"{at}/source", "is no preparation that can be used"))
    elif held is None or held.kind != "stock":
        errors.append(FieldError(f"{at}/source", f"the plan takes {measure.what} from no stock solution"))
    elif found.substance != held.substance.name:
        errors.append(FieldError(f"{at}/source", f"is {found.name}, not {held.substance.name}"))
    elif stock_strength(measure, found.unit) is None:
        errors.append(FieldError(f"{at}/source", f"its strength is known in {found.unit}, the plan needs another unit"))
    else:
        return found
    return None


def stock_strength(measure: Measure, unit: str) -> float | None:
    """The strength the plan counts on for a stock, in mol/L or g/L; None where it is not in that unit."""
    held = measure.ingredient
    if held is None:
        return None
    return {"mol/L": held.stock_mol_L, "g/L": held.stock_g_L}.get(unit)


def _purity(
    measure: Measure, item: dict[str, Any], source: SourceValue | None, at: str, errors: list[FieldError]
) -> tuple[float | None, float]:
    assay = item.get("assay")
    if assay is None:
        return None, 0.0
    held = measure.ingredient
    if held is None or source is not None or held.kind == "stock":
        errors.append(FieldError(f"{at}/assay", "belongs to a solid, a pure liquid or a concentrated reagent"))
    elif held.kind == "concentrated" and (not held.stock_mass_pct or not held.stock_density):
        errors.append(FieldError(f"{at}/assay", "cannot be used: the plan does not count this bottle by mass percent"))
    elif held.kind == "concentrated" and density_of(measure, item) is None:
        errors.append(FieldError(f"{at}/density_g_mL", "must be given: no density is held for that assay"))
    return float(assay["value"]) / 100, float(assay.get("half_width", 0.5)) / 100
