"""What the prep room owns: glassware with its tolerances, and balances with their smallest trustworthy weighing."""

from dataclasses import dataclass, replace
from functools import lru_cache

from rules.tables.glassware import Glass, plastic_ware, tolerance
from rules.tables.load import TableError, rows


@dataclass(frozen=True, slots=True)
class Balance:
    """A balance: capacity, readability (d), repeatability (s) and linearity, all in g."""

    name: str
    capacity_g: float
    readability_g: float
    repeatability_g: float
    linearity_g: float

    def minimum_weight_g(self, tolerance: float) -> float:
        """Smallest net weight, g, that holds a relative ``tolerance`` (0.001 is 0.1 %).

        USP general chapter <41>: twice the repeatability over the weight, the repeatability never under 0.41 d.
        """
        return 2.0 * max(self.repeatability_g, 0.41 * self.readability_g) / tolerance


@dataclass(frozen=True, slots=True)
class Lab:
    """The ware of one prep room; every tuple is sorted by size, balances from the finest to the coarsest.

    ``piston_least``: the share of its nominal volume from which a piston pipette is used (common practice, no source).
    """

    name: str
    flasks: tuple[Glass, ...]
    pipettes: tuple[Glass, ...]
    graduated_pipettes: tuple[Glass, ...]
    cylinders: tuple[Glass, ...]
    burettes: tuple[Glass, ...]
    beakers: tuple[Glass, ...]
    balances: tuple[Balance, ...]
    micropipettes: tuple[Glass, ...] = ()
    conical_flasks: tuple[Glass, ...] = ()
    bottles_mL: tuple[tuple[str, float], ...] = ()
    plastic: tuple[Glass, ...] = ()
    piston_least: float = 0.1

    def pistons_alone(self) -> "Lab":
        """The same room with nothing but piston pipettes to deliver with."""
        return replace(self, pipettes=(), graduated_pipettes=(), burettes=(), cylinders=())

    def without_glass(self) -> "Lab":
        """The same room with nothing of glass in reach: plastic flasks, cylinders and beakers, and piston pipettes."""
        def of(kind: str) -> tuple[Glass, ...]:
            return tuple(ware for ware in self.plastic if ware.kind == kind)

        return replace(self, flasks=of("volumetric-flask"), cylinders=of("measuring-cylinder"), beakers=of("beaker"),
                       pipettes=(), graduated_pipettes=(), burettes=(), conical_flasks=())


@lru_cache(maxsize=1)
def default_lab() -> Lab:
    """The invented Alder Vale College prep room. Raises ``TableError`` for ware without a tolerance."""
    read = rows("lab_default", key=("kind", "item"), filled=("nominal",), numeric={"nominal": (0.001, 1e5)})

    def ware(kind: str) -> tuple[Glass, ...]:
        found = []
        for row in read:
            if row["kind"] == kind:
                glass = tolerance(kind, float(row["nominal"]), row["class"] or "A")
                if glass is None:
                    raise TableError("lab_default.csv", 0, "nominal", f"no tolerance is tabulated for {row['item']}",
                                     "Add its row to glassware.csv.")
                found.append(glass)
        return tuple(sorted(found, key=lambda g: g.nominal_mL))

    plastic = tuple(sorted((plastic_ware()[row["kind"].removeprefix("plastic-"), float(row["nominal"])]
                            for row in read if row["kind"].startswith("plastic-")), key=lambda g: (g.kind, g.nominal_mL)))
    owned = {row["item"].split()[0]: row["item"] for row in read if row["kind"] == "balance"}
    bottles = tuple((row["kind"], float(row["nominal"])) for row in read if row["kind"].startswith("bottle"))
    return Lab("Alder Vale College", ware("volumetric-flask"), ware("one-mark-pipette"), ware("graduated-pipette"),
               ware("measuring-cylinder"), ware("burette"), ware("beaker"), _balances(owned), ware("micropipette"),
               ware("conical-flask"), bottles, plastic)


def _balances(owned: dict[str, str]) -> tuple[Balance, ...]:
    read = rows("balances", key=("balance_class",),
                numeric={"capacity_g": (1, 1e5), "readability_g": (1e-6, 10), "repeatability_g": (1e-6, 10),
                         "linearity_g": (1e-6, 50)})
    found = []
    for row in read:
        if row["balance_class"] in owned:
            found.append(Balance(owned[row["balance_class"]], float(row["capacity_g"]), float(row["readability_g"]),
                                 float(row["repeatability_g"]), float(row["linearity_g"])))
    if len(found) != len(owned):
        raise TableError("lab_default.csv", 0, "item", "a balance has no row in balances.csv", "Add its specification.")
    return tuple(sorted(found, key=lambda b: b.readability_g))
