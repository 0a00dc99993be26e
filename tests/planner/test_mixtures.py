"""Named mixtures: scaled from the published recipe, cited, refused or asked about where the recipe says so."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typed import part, prepare

from rules.tables.mixtures import all_mixtures
from rules.tables.substances import substance
from service.bench import default_bench
from service.blend_reply import add_blends
from service.pipeline import Judged, consider
from service.planner.mixtures import settle_mixtures
from service.reply import plan_document

BENCH = default_bench()


def made(total: str, name: str, strength: str = "", stock: str = "", confirmed: tuple[str, ...] = ()) -> Judged:
    return consider(prepare(total, part(strength, name, stock), confirmed=confirmed), BENCH)


def masses(judged: Judged) -> dict[str, float]:
    assert judged.outcome in ("planned", "held"), (judged.plan.problem, judged.plan.opens)
    return {m.ingredient.substance.slug: m.amount.value for m in judged.plan.measures if m.ingredient is not None}


def molar(judged: Judged) -> dict[str, float]:
    return {i.substance.slug: i.target_mol_L for i in judged.plan.ingredients if i.target_mol_L is not None}


def fired(judged: Judged) -> set[str]:
    return {f.rule for f in judged.findings if f.result == "fired"}


def test_pbs_has_its_published_molarities() -> None:
    """Cold Spring Harbor: 8, 0.2, 1.44, 0.245 g/L are 137, 2.7, 10 and 1.8 mmol/L."""
    found = made("500 mL", "PBS")
    assert masses(found) == pytest.approx(
        {
            "sodium-chloride": 4.0,
            "potassium-chloride": 0.1,
            "disodium-hydrogen-phosphate": 0.72,
            "potassium-dihydrogen-phosphate": 0.1225,
        }
    )
    assert molar(found) == pytest.approx(
        {
            "sodium-chloride": 0.137,
            "potassium-chloride": 0.0027,
            "disodium-hydrogen-phosphate": 0.0101,
            "potassium-dihydrogen-phosphate": 0.0018,
        },
        rel=0.01,
    )
    assert "recipe-source" in fired(found)
    assert plan_document(found.plan)["recipe"]["citations"][0]["source_id"] == "cshp-rec8247"


def test_tae_is_two_molar_tris_one_molar_acetate() -> None:
    """242 g / 121.135 g/mol = 2.0 mol; 57.1 mL of glacial acid at 17.4 mol/L = 1.0 mol; 0.05 mol EDTA is 100 mL of 0.5 mol/L."""
    found = made("1 L", "TAE", "50 X")
    assert molar(found)["tris-hydroxymethyl-aminomethane"] == pytest.approx(2.0, rel=0.002)
    assert masses(found)["acetic-acid"] == pytest.approx(57.1)
    assert masses(found)["acetic-acid"] / 1000 * 17.4 == pytest.approx(1.0, rel=0.01)
    assert masses(found)["edta-disodium"] == pytest.approx(100.0)


def test_tbe_is_89_millimolar() -> None:
    """10.8 g tris and 5.5 g boric acid a litre: both 89 mmol/L; 4 mL of 0.5 mol/L EDTA: 2 mmol/L."""
    found = made("1 L", "TBE")
    assert molar(found) == pytest.approx(
        {"tris-hydroxymethyl-aminomethane": 0.0892, "boric-acid": 0.0890, "edta-disodium": 0.002}, rel=0.005
    )


def test_concentrate_is_diluted_by_its_ratio() -> None:
    """2 L of 1x from 50x takes 40 mL."""
    assert next(iter(masses(made("2 L", "TAE", "1 X", "50 X")).values())) == pytest.approx(40.0)
    assert next(iter(masses(made("2 L", "TAE", "", "50 X")).values())) == pytest.approx(40.0)


def test_fold_scales_the_nearest_published_strength() -> None:
    assert masses(made("1 L", "PBS", "10 X"))["sodium-chloride"] == pytest.approx(80.0)
    five = made("1 L", "PBS", "5 X")
    assert masses(five)["sodium-chloride"] == pytest.approx(40.0)
    assert "recipe-scaled" in fired(five)


def test_benedict_limewater_fehling() -> None:
    found = masses(made("250 mL", "Benedict's"))
    assert found == pytest.approx({"sodium-citrate": 43.25, "sodium-carbonate": 25.0, "copper-ii-sulfate": 4.325})
    assert masses(made("250 mL", "Fehling's A"))["copper-ii-sulfate"] == pytest.approx(17.32)
    lime = made("1 L", "limewater")
    assert masses(lime) == pytest.approx({"calcium-hydroxide": 3.0})
    assert "saturate" in {s.action for s in lime.plan.steps}
    assert "concentration" not in plan_document(lime.plan)["product"]


def test_saline_by_percent() -> None:
    assert masses(made("1 L", "saline", "0.9 %")) == pytest.approx({"sodium-chloride": 9.0})


def test_another_form_is_recomputed_mole_for_mole() -> None:
    """1.44 g of the anhydrous salt is 1.44 x 358.14 / 141.96 = 3.633 g of the dodecahydrate."""
    found = made("1 L", "PBS", confirmed=("form:disodium-hydrogen-phosphate/dodecahydrate",))
    assert masses(found)["disodium-hydrogen-phosphate"] == pytest.approx(1.44 * 358.14 / 141.96, rel=1e-4)
    assert molar(found)["disodium-hydrogen-phosphate"] == pytest.approx(0.01014, rel=1e-3)


@pytest.mark.parametrize(
    ("name", "rule"),
    [
        ("piranha", "recipe-refused"),
        ("aqua regia", "recipe-refused"),
        ("Nessler's", "recipe-without-amounts"),
        ("universal indicator", "recipe-without-amounts"),
        ("Brady's", "recipe-without-amounts"),
    ],
)
def test_refused_without_amounts(name: str, rule: str) -> None:
    found = made("250 mL", name)
    assert found.outcome == "refused"
    assert rule in fired(found)
    assert not found.plan.measures
    assert not found.plan.ingredients


def test_one_name_several_recipes_is_asked() -> None:
    for name in ("Lugol's iodine", "Fehling's", "phenolphthalein", "LB", "saline"):
        found = made("100 mL", name)
        assert found.outcome == "question", name
        assert found.plan.opens[0].options
    lugol = made("100 mL", "Lugol's iodine", confirmed=("recipe:lugol-stain",))
    assert masses(lugol) == pytest.approx({"potassium-iodide": 2.0, "iodine": 1.0})
    assert "recipe-keeps-it-dissolved" in fired(lugol)


def test_molar_strength_of_a_mixture_is_not_guessed() -> None:
    found = made("1 L", "PBS", "0.1 mol/L")
    assert found.outcome == "question"
    assert found.plan.opens[0].about == "unit-unsupported"


def test_a_foreign_part_is_still_judged() -> None:
    """The recipe keeps its own parts in solution, not what somebody adds."""
    found = consider(prepare("500 mL", part("", "PBS"), part("0.05 mol/L", "calcium chloride", water="2")), BENCH)
    assert found.outcome in ("held", "refused")


def test_memory_is_said() -> None:
    assert "recipe-from-memory" in fired(made("100 mL", "tyrode"))


@settings(max_examples=30, deadline=None)
@given(
    name=st.sampled_from(["PBS", "TAE", "TBE", "Benedict's", "biuret reagent", "crayfish saline"]),
    factor=st.integers(2, 8),
)
def test_amounts_scale_with_the_volume(name: str, factor: int) -> None:
    one, more = made("250 mL", name), made(f"{250 * factor} mL", name)
    assert {k: v * factor for k, v in masses(one).items()} == pytest.approx(masses(more))


def test_every_recipe_is_worked_out_or_says_why_not() -> None:
    """Each part ends as the substance and the amount of its row."""
    for mixture in all_mixtures():
        request = prepare("1 L", part("", mixture.name), confirmed=(f"recipe:{mixture.key}",))
        plan = consider(request, BENCH).plan
        found = settle_mixtures(plan, request)
        if plan.opens or plan.problem or found is None:
            assert plan.opens or plan.problem or plan.recipe is not None, mixture.key
            continue
        wanted = [p for p in mixture.components if p.amount is not None and p.slug != "water"]
        assert [i.substance.slug for i in plan.ingredients] == [p.slug for p in wanted], mixture.key
        per = 1000 if mixture.per == "1 L" else float(mixture.per.split()[0])
        for item, row in zip(plan.ingredients, wanted, strict=True):
            assert row.amount is not None
            if row.unit == "g" and item.mass_g is not None:
                assert item.mass_g == pytest.approx(row.amount * 1000 / per, rel=1e-5), (mixture.key, row.slug)
            if row.unit in ("mol", "mmol") and item.moles is not None:
                moles = row.amount / (1000 if row.unit == "mmol" else 1)
                assert item.moles == pytest.approx(moles * 1000 / per, rel=1e-5), (mixture.key, row.slug)
            if row.unit == "mL":
                assert item.volume_mL == pytest.approx(row.amount * 1000 / per, rel=1e-4), (mixture.key, row.slug)
            assert item.substance is substance(row.slug)


def test_reply_names_the_product() -> None:
    document: dict[str, dict[str, object]] = {"product": {}}
    add_blends(made("1 L", "PBS").plan, document)
    assert document["product"]["name"] == "phosphate-buffered saline, 1x"
