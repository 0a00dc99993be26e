"""Texts that have no safe reading: stable codes, what is said about them, and suggestions that work when sent."""

from dataclasses import dataclass

from grammar.facts import Facts, ReadingError
from grammar.normalise import Normalised
from grammar.request import Misread

EXAMPLE = "250 mL of 0.1 M sodium chloride"


@dataclass(frozen=True, slots=True)
class Failure:
    """What is said for a code. ``{}`` in either text stands for the typed piece."""

    message: str
    remedy: str


FAILURES: dict[str, Failure] = {
    "empty": Failure("There is nothing to read.", f"Type what to make, for example: {EXAMPLE}."),
    "text-too-long": Failure("The text is longer than 2000 characters.", "Type one request in one or two sentences."),
    "not-a-request": Failure(
        "This does not read as a request for a solution.",
        f"Type what, how strong and how much, for example: {EXAMPLE}.",
    ),
    "not-english": Failure(
        "This does not look like English, and only English is read so far.",
        f"Type it in English, for example: {EXAMPLE}.",
    ),
    "no-substance": Failure("No substance was named.", "Name the substance, for example: sodium chloride or NaCl."),
    "number-without-role": Failure(
        "The number {} has no unit or word that tells what it is.", "Write its unit (mL, M, %) or leave it out."
    ),
    "unknown-unit": Failure("{} is no unit known here.", "Use mL, L, cm3, dm3, g, mg, M, mM, g/L, mg/L or %."),
    "unit-without-number": Failure(
        "The unit {} stands without a number.", "Write the number before it, for example 1 M."
    ),
    "unit-asked": Failure("{}", "Type the amount in mL, L or g."),
    "amount-without-unit": Failure(
        "The amount {} has no unit. Is it in millilitres?", "Type the amount with its unit: 250 mL."
    ),
    "negative-number": Failure("A negative number ({}) cannot be made up.", "Type it without the minus sign."),
    "number-out-of-range": Failure("The number {} cannot be an amount.", "Check the digits and the power of ten."),
    "comma-ambiguous": Failure(
        "{} can be read as thousands or as a decimal.", "Type it without the comma, or with a point."
    ),
    "spaced-digits": Failure("{} may be one number or two.", "Join the digits, or put a unit after each number."),
    "lost-superscript": Failure(
        "The power of ten in {} has lost its superscript.", "Write it as 1e3 or 1e-3, or with ^."
    ),
    "multiplied-number": Failure("{} is a multiplication.", "Type the product."),
    "limit-sign": Failure(
        "A tolerance or limit ({}) is not read.",
        "Give the amount alone; write 'accurate' or 'approximately' for how close.",
    ),
    "number-unclear": Failure(
        "The number {} can be read in more than one way.", "Type it with one decimal point only."
    ),
    "count-unclear": Failure("{} is not a number of people or groups.", "Type a whole number."),
    "two-strengths": Failure(
        "There are two strengths; {} is the second.", "Say which is to be made: '0.25 M from 6 M stock'."
    ),
    "two-source-strengths": Failure("There are two strengths for the source.", "Give one strength for the source."),
    "two-volumes": Failure("There are two volumes; {} is the second.", "Give one volume to make."),
    "two-volumes-each": Failure("There are two volumes for each person.", "Give one volume each."),
    "two-masses": Failure("There are two masses; {} is the second.", "Give one mass."),
    "mass-and-volume": Failure(
        "A strength, a volume and a mass ({}) are given together.", "Leave out the mass, or the strength."
    ),
    "masses-unclear": Failure(
        "It is not clear which of the masses are in a litre and which in the whole; {} is one of them.",
        "Write the unit after each mass: 'NaCl 8 g/L and KCl 0.2 g/L'.",
    ),
    "parts-of-what": Failure(
        "It is not said what the parts ({}) are of: the concentrated reagent, or one of the strength named.",
        "Give the strength to make and the stock: '3 M from 18 M stock'.",
    ),
    "volumes-of-oxygen": Failure(
        "{}: volumes are a strength of hydrogen peroxide only.", "Write the volume in mL, or the strength in M or %."
    ),
    "two-substances": Failure("More than one substance is named; {} is the second.", "Ask for one solution at a time."),
    "several-solutions": Failure("Several solutions are asked for at once.", "Ask for one solution at a time."),
    "lots-or-fold": Failure(
        "{} can be so many lots, or a solution so many times as strong.",
        "Write '5 portions of 500 mL', or '5X' and then the name.",
    ),
    "brackets-unclear": Failure(
        "What stands in brackets ({}) is not understood, and it may be part of the name.",
        "Leave it out, or write the name in full.",
    ),
    "two-counts": Failure("The numbers of people or groups do not agree.", "Give one number of people or groups."),
    "two-vessels": Failure("Two vessels are named.", "Name one vessel."),
    "hydrate-conflict": Failure(
        "Two different waters of crystallisation are given; {} is the second.", "Give the one on the bottle."
    ),
    "each-or-total": Failure(
        "It is not said whether the volume is for each or for all.",
        "Write 'each' after the volume, or leave out the number of people.",
    ),
    "portion-unclear": Failure(
        "It is not said how many portions of {} are needed.", "Write how many: '20 students, 50 mL each'."
    ),
    "ratio-not-read": Failure(
        "The ratio {} can be read in more than one way.", "Give the strength of the stock and the strength to make."
    ),
    "ratio-two-meanings": Failure(
        "{} can mean one part in so many, or one part and so many more.",
        "Write '1 in 10' (10 mL made up to 100 mL) or '1 + 10' (10 mL and 100 mL).",
    ),
    "dilution-unclear": Failure(
        "It is not clear whether the strength and volume are those before or after the dilution ({}).",
        "Write 'dilute 1 M stock 1 in 10, 100 mL wanted'.",
    ),
    "ratio-of-what": Failure(
        "{} can be a volume in a volume, or a mass in a volume.", "Write it as a percentage with its basis."
    ),
    "amount-changed": Failure(
        "'{}' changes an amount in a way that is not read.", "Give the strength and the amount themselves, in numbers."
    ),
    "saturated": Failure(
        "How strong a saturated solution is depends on the temperature and the solid left in it.",
        "Give a strength, for example 5 M or 300 g/L.",
    ),
    "negation": Failure("What is not wanted ('{}') is not read.", "Say what is wanted, and leave the rest out."),
    "water-added": Failure(
        "{} is water to add to a solution, so the amount to make is not said.",
        "Give the final volume, or the strength and volume of the solution that is there.",
    ),
    "two-bases": Failure(
        "Two things are said to be counted by the strength; {} is the second.", "Name one: '100 mg/L as Cu'."
    ),
    "stocks-unclear": Failure(
        "It is not clear which stock belongs to which substance ({}).",
        "Give one stock for each, in the same order: 'from 1 M and 5 M stocks'.",
    ),
    "series-unclear": Failure(
        "The strengths of the series are not clear ({}).", "List them: '0, 2, 4 and 6 mg/L, 50 mL each'."
    ),
    "spare-unclear": Failure("The spare and the total are in different kinds of unit.", "Give the spare in percent."),
    "broken-word": Failure("{} looks like part of a broken word.", "Type the name without the space."),
    "each-of-whom": Failure(
        "{}: it is not said whether the volume is for each student or for each pair.",
        "Write '50 mL per student' or '50 mL per pair'.",
    ),
    "range": Failure("{} is a range.", "Give one value."),
    "amount-of-substance": Failure(
        "{} is an amount of substance, not a strength.", "Give a strength (mol/L) and a volume."
    ),
    "solvent-with-strength": Failure("The solvent is itself a solution ({}).", "Ask for one solution at a time."),
}


def misread(code: str, span: tuple[int, int], detail: str = "", suggestions: tuple[str, ...] = ()) -> Misread:
    """A ``Misread`` for a span of the text as typed."""
    failure = FAILURES[code]
    return Misread(code, failure.message.format(detail), failure.remedy, span, suggestions)


def from_trouble(trouble: ReadingError, normal: Normalised, facts: Facts) -> Misread:
    """The ``Misread`` of a chunk that could not be read, with what had been understood."""
    span = normal.span(trouble.start, trouble.end)
    typed = normal.typed[span[0] : span[1]]
    detail = " ".join(typed.split())[:60]
    if trouble.code in ("unknown-unit", "unit-asked"):
        detail = trouble.detail
    suggestions = [normal.typed[: span[0]] + typed_in + normal.typed[span[1] :] for typed_in in trouble.readings]
    failure = FAILURES[trouble.code]
    return Misread(
        trouble.code, failure.message.format(detail), failure.remedy, span, tuple(suggestions[:3]), _understood(facts)
    )


def _understood(facts: Facts) -> dict[str, str]:
    found: dict[str, str] = {}
    if facts.strengths:
        found["strength"] = f"{facts.strengths[0].quantity.value} {facts.strengths[0].quantity.unit}"
    if facts.volumes:
        found["volume"] = f"{facts.volumes[0].quantity.value} {facts.volumes[0].quantity.unit}"
    if facts.runs:
        found["substance"] = " ".join(str(t) for t in facts.runs[0].tokens)
    return found
