"""What must hold for any text: a reading, no fault, and a canonical sentence that reads back."""

from dataclasses import replace

from hypothesis import example, given, settings
from hypothesis import strategies as st

from grammar import canonical, read
from grammar.request import Combine, Component, Misread, Named, Prepare, Quantity, Series, Source, to_document

PIECES = st.sampled_from(
    [
        "0.1 M",
        "250 mL",
        "sodium chloride",
        "CuSO4.5H2O",
        "from",
        "to",
        "in",
        "for",
        "each",
        "20 students",
        "10 % spare",
        "conc",
        "stock",
        "density 1.18",
        "37 %",
        ",",
        ".",
        ";",
        "(",
        ")",
        "water",
        "mix",
        "dilute",
        "make",
        "please",
        "with",
        "and",
        "pH 7",
        "25 °C",
        "1,000 mL",
        "x",
        "½",
        "-",
        "5 g",
        "hexahydrate",
        "beaker",
        "250 mL beaker",
        "label says",
        "pure",
        "N/10",
        "M/",
        "1:10",
        "1 in 10",
        "1+9",
        "ten-fold",
        "dilution",
        "series",
        "0, 2, 4 mg/L",
        "0.5 M",
        "and a blank",
        "stocks",
        "x2",
        "6 x 100 mL",
        "spare",
        "(as N)",
        "KCl",
        "1 kg of water",
        "in 0.1 M HCl",
        "2 mmol",
        "1e400",
        "ppm",
        "as",
        "Cu",
        "²",
        "·5H₂O",
        "a",
        "half",
        "titration",
        "iron(III)",
        "7647-14-5",
        "kept at 4 °C",
        "brown bottle",
        "{{",
        "\x00",
        "🧪",
        "'",
        '"',
        "\\",
        "#",
        "=",
        "2 x",
        "1 000",
        "of",
    ]
)
NAMES = st.sampled_from(
    ["sodium chloride", "potassium nitrate", "iron(III) chloride", "2-propanol", "unobtainium", "oxalic acid"]
)
FORMULAS = st.sampled_from([None, "NaCl", "CuSO4", "(NH4)2SO4", "K3[Fe(CN)6]", "Na2S2O3"])
WATERS = st.sampled_from([None, "0", "0.5", "1", "2", "5", "7", "10", "18", "x"])
DIGITS = st.decimals(min_value="0.00001", max_value="99999", places=5).map(
    lambda d: d.normalize() if d == d.to_integral() else d
)
STRENGTH_UNITS = st.sampled_from(
    ["mol/L", "mmol/L", "g/L", "mg/L", "% w/v", "% w/w", "% v/v", "%", "N", "m", "ppm", "mol/kg", "g/100mL"]
)


@given(st.text(max_size=300))
@settings(max_examples=1000, deadline=None)
@example("\ud800")
@example("0" * 2000)
@example("(" * 2000)
@example("1 " * 1000)
@example("a " * 1000)
@example("CuSO4." * 300)
@example("0.1 M " * 300)
@example("x10^" * 400)
def test_any_text_has_a_reading(text: str) -> None:
    assert to_document(read(text))["kind" if not isinstance(read(text), Misread) else "code"]


@given(st.lists(PIECES, max_size=14), st.booleans())
@settings(max_examples=1000, deadline=None)
def test_any_mixture_of_phrases_reads_back_or_is_refused(pieces: list[str], spaced: bool) -> None:
    reading = read((" " if spaced else "").join(pieces))
    if isinstance(reading, Prepare | Series):
        again = read(canonical(reading))
        # Words glued together ("diluteN") name nothing, so such a reading never gets a plan; it must only never turn into another.
        assert again == reading or (not spaced and isinstance(again, Misread))


@st.composite
def prepares(draw: st.DrawFn) -> Prepare:
    solute = Named(draw(NAMES), draw(FORMULAS), draw(WATERS))
    source = None
    if draw(st.booleans()):
        source = draw(
            st.sampled_from(
                [
                    Source("concentrated"),
                    Source("concentrated", strength=Quantity(draw(DIGITS), "%")),
                    Source("stock", strength=Quantity(draw(DIGITS), "mol/L")),
                    Source("solid", purity=Quantity(draw(DIGITS), "%")),
                ]
            )
        )
    component = Component(solute, Quantity(draw(DIGITS), draw(STRENGTH_UNITS)), source=source)
    total = Quantity(draw(DIGITS), draw(st.sampled_from(["mL", "L", "uL", "g", "kg"])))
    purpose = draw(st.sampled_from([None, "accurate", "approximate", "standard"]))
    return Prepare((component,), total, purpose=purpose, solvent=draw(st.sampled_from([None, "water", "ethanol"])))


@given(prepares())
@settings(max_examples=500, deadline=None)
def test_canonical_sentence_of_any_request_gives_it_back(request: Prepare) -> None:
    assert read(canonical(request)) == request


SPELLINGS = [
    [
        "0.1 M",
        "0.1 mol/L",
        "0.1 mol dm-3",
        "0.1 mol dm⁻³",
        "0.1 molar",
        "0,1 M",
        "M/10",
        "a tenth molar",
        "0.1 mol per litre",
        "10^-1 M",
    ],
    [
        "250 mL",
        "250 ml",
        "250mL",
        "250 cm3",
        "250 cm³",
        "250 mls",
        "250 cc",
        "250 millilitres",
        "two hundred and fifty mL",
    ],
    [
        "CuSO4.5H2O",
        "CuSO4·5H2O",
        "CuSO4*5H2O",
        "CuSO4 x 5H2O",
        "CuSO₄•5H₂O",
        "CuSO4.5H20",
        "CuSO4 pentahydrate",
        "CuSO4-5-water",
    ],
]


@given(*(st.sampled_from(group) for group in SPELLINGS), st.permutations([0, 1, 2]))
@settings(max_examples=300, deadline=None)
def test_equal_spellings_give_equal_requests(strength: str, volume: str, name: str, order: list[int]) -> None:
    parts = [strength, volume, name]
    assert read(", ".join(parts[i] for i in order)) == read("0.1 M, 250 mL, CuSO4.5H2O")


def test_words_that_change_nothing_change_nothing() -> None:
    plain = read("250 mL of 0.1 M sodium chloride")
    assert isinstance(plain, Prepare)
    assert read("Hello, please could you make me 250 mL of 0.1 M sodium chloride solution, thanks!") == plain
    assert replace(plain, set_aside=("x",)) == plain


def test_combine_reads_back() -> None:
    reading = read("mix bleach with vinegar")
    assert isinstance(reading, Combine)
    assert read(canonical(reading)) == reading
