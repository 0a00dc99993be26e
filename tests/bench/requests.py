"""The requests that are measured: ordinary lines, every one with its own volume and strength, so that no reply is kept."""

import random
from collections.abc import Iterator
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Asked:
    """One line, and what a script needs to calculate the same mass: volume mL, strength mol/L, formula for periodictable."""

    text: str
    volume_mL: float
    mol_L: float
    formula: str


#: Name as typed, and the formula as periodictable reads it (water after a plus).
SOLIDS = (
    ("sodium chloride", "NaCl"), ("potassium permanganate", "KMnO4"), ("copper chloride dihydrate", "CuCl2+2H2O"),
    ("copper(II) sulfate pentahydrate", "CuSO4+5H2O"), ("nickel sulfate hexahydrate", "NiSO4+6H2O"),
    ("sodium carbonate decahydrate", "Na2CO3+10H2O"), ("potassium hydrogen phthalate", "KHC8H4O4"),
    ("sodium thiosulfate pentahydrate", "Na2S2O3+5H2O"), ("glucose", "C6H12O6"), ("silver nitrate", "AgNO3"),
    ("sodium hydroxide", "NaOH"), ("potassium dichromate", "K2Cr2O7"), ("potassium iodide", "KI"),
    ("ammonium iron(II) sulfate hexahydrate", "Fe(NH4)2(SO4)2+6H2O"),
)  # fmt: skip
SHAPES = (
    "{v} mL of {c} M {name}",
    "make {v} mL of {c} mol/L {name} please",
    "{c} M {name}, {v} mL",
    "I need {v} ml {c}M {name} for tomorrow",
)
VOLUMES_mL = (50, 100, 200, 250, 500, 1000, 2000, 300, 150, 350)


def asked() -> Iterator[Asked]:
    """Endless lines in a fixed random order; strengths of three figures between 0.010 and 0.200 mol/L."""
    chance = random.Random(20261125)
    while True:
        name, formula = chance.choice(SOLIDS)
        volume, strength = chance.choice(VOLUMES_mL), f"{chance.uniform(0.01, 0.2):.3f}"
        text = chance.choice(SHAPES).format(v=volume, c=strength, name=name)
        yield Asked(text, float(volume), float(strength), formula)
