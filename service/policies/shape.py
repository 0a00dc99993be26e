"""A local policy as it is written, sent and kept: every limit with its range, and the defaults that are shipped."""

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

Percent = Annotated[float, Field(strict=True, gt=0, le=100, allow_inf_nan=False)]
Words = Annotated[str, Field(min_length=1, max_length=300, pattern=r"^[^\x00-\x1f\x7f]*\S[^\x00-\x1f\x7f]*$")]
Pack = Literal["eu", "uk", "us", "strictest"]
_GRAMS = Annotated[float, Field(strict=True, gt=0, le=1e6, allow_inf_nan=False)]
_MOLAR = Annotated[float, Field(strict=True, gt=0, le=60, allow_inf_nan=False)]
MOST_ENTRIES = 200


class Part(BaseModel):
    """A part of the policy: no field beside those named."""

    model_config = ConfigDict(extra="forbid", frozen=True)


def _within(low: float, high: float, default: float, description: str) -> Any:
    return Field(float(default), strict=True, ge=low, le=high, allow_inf_nan=False, description=description)


def _count(low: int, high: int, default: int, description: str) -> Any:
    return Field(default, strict=True, ge=low, le=high, description=description)


class Tolerances(Part):
    """How near a solution is to be made, in % of what is asked for."""

    accurate_pct: float = _within(
        0.01, 1, 0.1, "accurate and standard solutions: the window of amounts, and the vessel"
    )
    usual_pct: float = _within(0.1, 5, 1, "where nothing is said")
    rough_pct: float = _within(1, 20, 5, "approximate solutions")
    accurate_uncertainty_pct: float = _within(0.05, 5, 0.5, "expanded uncertainty (k = 2) of an accurate solution")
    vessel_rough_pct: float = _within(1, 20, 5, "what the marks of beakers and conical flasks are taken to be good to")

    @model_validator(mode="after")
    def _in_order(self) -> "Tolerances":
        if not self.accurate_pct <= self.usual_pct <= self.rough_pct:
            raise ValueError("accurate_pct, usual_pct and rough_pct must not fall in this order")
        return self


class Limits(Part):
    """Amounts and strengths that are remarked on, held or refused."""

    large_mL: float = _within(100, 1e6, 20_000, "more solution is held")
    largest_mL: float = _within(1000, 1e7, 200_000, "more solution is refused")
    large_g: float = _within(10, 1e5, 5_000, "more of a solid is held")
    largest_g: float = _within(100, 1e6, 50_000, "more of a solid is refused")
    corrosive_bottle_mL: float = _within(100, 10_000, 2_500, "the most of a corrosive solution in one bottle")
    open_bench_mol_L: float = _within(0.01, 5, 2, "stronger volatile stocks are poured in the fume cupboard")
    caution_rise_K: float = _within(3, 30, 10, "a rise on dissolving that calls for cooling")
    hold_rise_K: float = _within(10, 60, 50, "a rise on dissolving that is held")

    @model_validator(mode="after")
    def _in_order(self) -> "Limits":
        for low, high in (("large_mL", "largest_mL"), ("large_g", "largest_g"), ("caution_rise_K", "hold_rise_K")):
            if getattr(self, low) > getattr(self, high):
                raise ValueError(f"{low} must not be above {high}")
        return self


class Named(Part):
    """A substance by its slug (GET /v1/substances), or a reactive group; one of the two."""

    substance: Annotated[str, Field(max_length=100)] | None = Field(
        None, description="its slug, as GET /v1/substances has it"
    )
    group: Annotated[str, Field(max_length=100)] | None = Field(
        None, description="a reactive group, such as chromate-vi"
    )

    @model_validator(mode="after")
    def _one(self) -> "Named":
        if (self.substance is None) == (self.group is None):
            raise ValueError("must name a substance or a group, and not both")
        return self


class AskFirstEntry(Named):
    """What is asked about first in this house. Without a limit it counts at any strength and amount."""

    above_mol_L: _MOLAR | None = Field(None, description="only above this strength of the made solution")
    above_g: _GRAMS | None = Field(None, description="only above this mass of the substance in the made solution")
    action: Literal["hold", "refuse"] = "hold"
    two_person: Annotated[bool, Field(strict=True)] = Field(False, description="two people must allow it")
    reason: Words


class StudentCap(Named):
    """A cap for students beside the one on acids and alkalis."""

    most_mol_L: _MOLAR


class Students(Part):
    """What is made for students."""

    acids_and_alkalis_mol_L: float = _within(0.01, 5, 1, "stronger acids and alkalis for students are held")
    caps: tuple[StudentCap, ...] = Field((), max_length=MOST_ENTRIES)


class PrecursorLimit(Part):
    """An explosives precursor with a limit below that of the law."""

    substance: Annotated[str, Field(max_length=100)]
    above_pct: Percent


class Allowances(Part):
    """What is made beside what is used."""

    spare_pct: float = _within(0, 100, 10, "what a class set needs more, said where it has none")
    dead_volume_mL: float = _within(0, 5000, 0, "what stays in bottles and tubes, added to the same remark")
    stock_spare_pct: float = _within(0, 200, 20, "how much more of a stock is made for a series than it takes")


class SmallVolumes(Part):
    """When a volume is too small, and when a dilution is too large."""

    least_pipetted_mL: float = _within(0.1, 10, 1, "smaller volumes are remarked on")
    piston_least_pct: float = _within(5, 50, 10, "a piston pipette is used from this share of its nominal volume")
    vessel_error_pct: float = _within(1, 20, 10, "a vessel whose error is a larger share of the volume is not used")
    most_fold: float = _within(10, 1000, 100, "a larger dilution in one step is remarked on")
    most_dilutions: int = _count(1, 3, 2, "more dilutions in a row are remarked on")
    small_label_mL: float = _within(5, 250, 50, "up to here a bottle gets a short label")


class Keeping(Part):
    """How long solutions and records are kept."""

    shelf_life_days: int = _count(1, 3650, 365, "the longest life of a solution for which no other is held")
    standardise_days: int = _count(1, 365, 28, "a standardised solution is titrated again after this")
    retention_years: int = _count(1, 100, 5, "how long records are kept at least; nothing is deleted by the service")


class LocalPolicy(Part):
    """A whole local policy on top of a pack of the law. What is left out takes the value that is shipped."""

    name: Words = "As shipped"
    pack: Pack = Field("strictest", description="the law the plans are held to")
    tolerances: Tolerances = Tolerances()
    limits: Limits = Limits()
    students: Students = Students()
    ask_first: tuple[AskFirstEntry, ...] = Field((), max_length=MOST_ENTRIES)
    precursors: tuple[PrecursorLimit, ...] = Field((), max_length=MOST_ENTRIES)
    allowances: Allowances = Allowances()
    small_volumes: SmallVolumes = SmallVolumes()
    keeping: Keeping = Keeping()
