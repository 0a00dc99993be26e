"""Glassware, balances, behaviour, handling, equivalents and mixtures against published values."""

import pytest

from rules.policies import NAMES, policy
from rules.tables.assay import assay
from rules.tables.behaviour import behaviours
from rules.tables.equivalents import equivalents
from rules.tables.glassware import all_glass, tolerance
from rules.tables.groups import clashes, groups_of, insoluble
from rules.tables.handling import ppe, storage, waste
from rules.tables.lab import Balance, default_lab
from rules.tables.load import rows, source
from rules.tables.mixtures import all_mixtures, mixtures
from rules.tables.standards import standardisations
from rules.tables.substances import all_substances


@pytest.mark.parametrize(
    ("kind", "nominal", "glass_class", "standard", "published"),
    [
        ("volumetric-flask", 100, "A", "ISO", 0.10), ("volumetric-flask", 1000, "A", "ISO", 0.40),  # ISO 1042:1998
        ("volumetric-flask", 250, "B", "ISO", 0.30),
        ("one-mark-pipette", 10, "A", "ISO", 0.02), ("one-mark-pipette", 25, "B", "ISO", 0.06),  # ISO 648:2008
        ("burette", 50, "A", "ISO", 0.05),  # ISO 385:2005
        ("measuring-cylinder", 100, "A", "ASTM", 0.50),  # ASTM E1272-02
        ("micropipette", 1, "", "ISO", 0.008),  # ISO 8655-2:2002
    ],
)
def test_tolerances(kind: str, nominal: float, glass_class: str, standard: str, published: float) -> None:
    glass = tolerance(kind, nominal, glass_class, standard)
    assert glass is not None
    assert glass.tolerance_mL == pytest.approx(published)


def test_class_b_is_never_better_than_class_a() -> None:
    for glass in all_glass():
        if glass.glass_class == "B":
            better = tolerance(glass.kind, glass.nominal_mL, "A", glass.standard)
            assert better is not None
            assert better.tolerance_mL <= glass.tolerance_mL


def test_ware_no_table_lists() -> None:
    assert tolerance("volumetric-flask", 333) is None
    assert tolerance("bucket", 100) is None


def test_minimum_weight() -> None:
    # USP <41>: repeatability 0.1 mg at 0.10 % needs 2 x 0.1 mg / 0.001 = 200 mg; never under 0.41 d, so 82 mg.
    assert Balance("b", 220, 0.0001, 0.0001, 0.0002).minimum_weight_g(0.001) == pytest.approx(0.2)
    assert Balance("b", 220, 0.0001, 0.00002, 0.0002).minimum_weight_g(0.001) == pytest.approx(0.082)


def test_the_lab_is_sorted_and_complete() -> None:
    lab = default_lab()
    for ware in (lab.flasks, lab.pipettes, lab.graduated_pipettes, lab.cylinders, lab.beakers, lab.conical_flasks):
        assert [g.nominal_mL for g in ware] == sorted(g.nominal_mL for g in ware)
        assert ware
    assert [b.readability_g for b in lab.balances] == sorted(b.readability_g for b in lab.balances)
    assert {100.0, 250.0, 500.0, 1000.0, 2000.0} <= {g.nominal_mL for g in lab.flasks}
    assert lab.burettes
    assert lab.micropipettes
    assert lab.bottles_mL


def test_behaviour_by_form() -> None:
    assert "deliquescent" in behaviours("sodium-hydroxide", "pure") or "hygroscopic" in behaviours("sodium-hydroxide")
    assert "not-primary-standard" in behaviours("sodium-hydroxide", "pure")
    assert "primary-standard" in behaviours("potassium-dichromate", "pure")
    assert behaviours("no-such-substance") == {}


def test_assay_range_holds_the_usual_value() -> None:
    for r in rows("assay"):
        held = assay(r["substance"], r["label"])
        assert held is not None
        assert (held.low_pct or 0) <= held.typical_pct <= (held.high_pct or 200)


def test_storage_depends_on_strength() -> None:
    weak, strong = storage("ammonia", 0.5), storage("ammonia", 5.0)
    unknown = storage("ammonia", None)
    assert weak is not None
    assert strong is not None
    assert unknown is not None
    assert weak.shelf_life_days is not None
    assert strong.shelf_life_days is not None
    assert unknown.shelf_life_days == min(weak.shelf_life_days, strong.shelf_life_days)
    assert storage("no-such-substance", 1.0) is None


def test_no_waste_route_is_never_the_drain() -> None:
    assert waste("no-such-substance").drain_limit == "none"
    assert waste("silver-nitrate").stream == "silver"
    # Not listed by itself: taken by its group.
    assert waste("lead").drain_limit == "none"
    assert waste("potassium-dichromate").stream == "chromium-vi"


def test_protection_always_starts_with_the_eyes() -> None:
    assert "eye protection" in ppe(())[0]
    corrosive = ppe([("Skin Corr.", "1B", "H314", "")])
    assert any("gloves" in line for line in corrosive)
    assert any("calcium gluconate" in line for line in ppe((), ["hydrofluoric-acid"]))


@pytest.mark.parametrize(
    ("slug", "reaction", "per_mole"),
    # CRC, Standard solutions of oxidation and reduction reagents: K2Cr2O7 M/6; KMnO4 M/5 in acid; iodine M/2.
    [("potassium-dichromate", "redox", 6), ("potassium-permanganate", "redox-permanganate-acid", 5),
     ("iodine", "iodometry", 2), ("sulfuric-acid", "acid-base", 2)],
)
def test_equivalents(slug: str, reaction: str, per_mole: int) -> None:
    assert per_mole in {row.per_mole for row in equivalents(slug) if row.reaction.startswith(reaction)}
    assert equivalents("no-such-substance") == ()


def test_clashes_come_gravest_first() -> None:
    found = clashes(("sodium-hypochlorite", "hydrochloric-acid"))
    assert found[0].severity == "stop"
    assert not found[0].approvable
    assert "chlorine" in found[0].consequence
    assert clashes(("hydrochloric-acid", "sodium-hypochlorite"))[0].consequence == found[0].consequence
    assert clashes(("sodium-chloride", "potassium-chloride")) == ()
    assert clashes(("sodium-hypochlorite",)) == ()


def test_insoluble_pairs() -> None:
    assert "silver chloride" in {p.product for p in insoluble(("sodium-chloride", "silver-nitrate"))}
    assert "barium sulfate" in {p.product for p in insoluble(("sodium-sulfate", "barium-chloride"))}
    assert insoluble(("sodium-chloride", "potassium-nitrate")) == ()
    assert groups_of("no-such-substance") == frozenset()


def test_published_mixtures_by_name() -> None:
    (pbs,) = mixtures("phosphate-buffered saline")
    # Cold Spring Harbor Protocols rec8247: 8 g NaCl, 0.2 g KCl, 1.44 g Na2HPO4, 0.245 g KH2PO4 per litre.
    assert [(c.slug, c.amount) for c in pbs.components][:3] == [
        ("sodium-chloride", 8.0), ("potassium-chloride", 0.2), ("disodium-hydrogen-phosphate", 1.44)]
    assert mixtures("no such mixture") == ()
    assert len(all_mixtures()) >= 40


def test_standardisations() -> None:
    assert "potassium-hydrogen-phthalate" in {s.primary_standard for s in standardisations("sodium-hydroxide")}
    assert standardisations("no-such-substance") == ()


LABELLED = frozenset({"behaviour", "assay", "hazard_entries"})
# Listed by law as explosives precursors, not kept in this prep room.
NOT_KEPT = frozenset({"calcium-ammonium-nitrate", "nitromethane", "sulfur"})


def test_every_slug_in_every_table_is_a_substance() -> None:
    known = {held.slug for held in all_substances()}
    labels = {(held.slug, form.label) for held in all_substances() for form in held.forms}
    lost = []
    for table in ("behaviour", "assay", "storage", "equivalents", "hazard_entries", "groups", "solubility",
                  "miscible", "density_coefficients", "concentrated", "heats_of_solution", "ksp"):
        for r in rows(table):
            if r["substance"] and r["substance"] not in known:
                lost.append((table, r["substance"]))
            elif r.get("label") and table in LABELLED and (r["substance"], r["label"]) not in labels:
                lost.append((table, f"{r['substance']}/{r['label']}"))
    for r in rows("standardisations"):
        lost += [("standardisations", r[side]) for side in ("titrant", "primary_standard") if r[side] not in known]
    lost += [("waste", r["substance"]) for r in rows("waste")
             if r["substance"] not in known and r["substance"] != "*" and not r["substance"].startswith("group:")]
    lost += [("mixtures", c.slug) for m in all_mixtures() for c in m.components if c.slug not in {"", "water", *known}]
    for name in NAMES:
        lost += [("precursors", slug) for slug in policy(name).precursors if slug not in known | NOT_KEPT]
    lost += [("ask_first", slug) for slug in policy().ask_first if slug not in known]
    assert sorted(set(lost)) == []


def test_every_substance_has_a_hazard_entry() -> None:
    from rules.tables.hazards import hazard_entry

    assert [held.slug for held in all_substances()
            if not any(hazard_entry(held.slug, form.label) for form in held.forms)] == []


def test_other_tables_load() -> None:
    assert rows("pka", key=("substance", "step", "ionic_strength", "source_id"), numeric={"pka_25": (-12, 20)})
    assert rows("expansion", key=("material",), numeric={"volumetric_per_K": (1e-7, 1e-3)})
    assert source("ciaaw-2021").kind == "paper"


def test_classes_from_memory_are_told_of() -> None:
    """No entry passes as read that was not: published and unclassed name a text, supplier is memory (by the table's own note)."""
    from rules.tables.hazards import hazard_entry
    from rules.tables.load import source

    for held in all_substances():
        for form in held.forms:
            entry = hazard_entry(held.slug, form.label)
            assert entry is not None
            kind = source(entry.cite.source_id).kind
            if entry.status == "unclassed":
                assert kind not in ("memory", "practice") and not entry.classes
            if entry.status == "supplier":
                assert kind == "memory"
            if entry.status == "none":
                assert not entry.classes, f"{held.slug}: classes that no rule tells the source of"


def test_exposure_limits_against_the_printed_table() -> None:
    """Ontario, Regulation 833, as given in the chemicals data set in a second form (numbers with units, keyed by CAS)."""
    from chemicals.safety import STEL, TWA

    from rules.tables.exposure import exposure_limit

    for slug, cas in (("acetone", "67-64-1"), ("toluene", "108-88-3"), ("nitric-acid", "7697-37-2"), ("ammonia", "7664-41-7")):
        held = exposure_limit(slug)
        assert held is not None and (held.eight_hour, held.unit) == TWA(cas)
        assert (held.short_term, held.unit) == STEL(cas) or held.short_term is None
    assert exposure_limit("sodium-chloride") is None


def test_compounds_of_the_listed_metals_are_classed_in_law() -> None:
    """Regulation (EC) 1272/2008, Annex VI, Table 3, group entries: lead 082-001-00-6, cadmium 048-001-00-5, mercury 080-002-00-6,
    arsenic 033-002-00-5, barium salts but the sulfate 056-002-00-7; nickel salts are listed one by one."""
    from grammar.formula import composition
    from rules.tables.hazards import hazard_entry

    left = [held.slug for held in all_substances() if held.formula and held.slug != "barium-sulfate"
            and composition(held.formula).keys() & {"Pb", "Cd", "Hg", "As", "Ba", "Ni"}
            and (entry := hazard_entry(held.slug, held.forms[0].label)) and entry.status not in ("harmonised", "group")]
    assert left == []
