"""Numbers as people type them, read into ``Decimal`` so that the typed digits are kept.

A number that can be read in two ways is never read: ``read_number`` answers with a code instead.
"""

import re
from dataclasses import dataclass
from decimal import Decimal

# Powers beyond this are typing errors; the cap keeps every later multiplication cheap.
LARGEST_EXPONENT = 30
LONGEST_NUMBER = 80

_MANTISSA = r"(?:\d+(?:[.,]\d+)*|\.\d+)"
# "500. mL": the point says that the zeros count; at the end of a sentence it is a full stop.
_TRAILING_POINT = r"\d+\.(?=\s(?:[mu]?[Ll]|[mu]?M|[mk]?g|[cd]m3|N|mol)\b)"
_POWER = r"(?:\s?[x*]\s?10(?:\^\s?\(?[-+]?\d+\)?|[-+]\d+|\d*)(?![\d.,]*[A-Za-z][\d])|[eE][-+]?\d+(?![A-Za-z\d.]))"
# "pH 10 500 mL" is two numbers: no pH has thousands.
_SPACED = r"(?<![pP][hH] )\d{1,3}(?: \d{3})+(?:[.,]\d+)?(?!\d)"
_FRACTION = r"(?:\d{1,9} )?\d{1,9}/\d{1,9}(?![/\d])"
NUMBER_PATTERN = (
    r"(?:(?<![\w)\]])[-+](?=[\d.]))?"
    rf"(?:{_FRACTION}|10\^\(?[-+]?\d+\)?|{_TRAILING_POINT}|{_SPACED}|{_MANTISSA}{_POWER}?)(?![.,]?\d)"
)

_PLAIN = re.compile(r"\d+(?:\.\d*)?|\.\d+")
_SCIENTIFIC = re.compile(rf"({_MANTISSA})(?:[eE]([-+]?\d+)|\s?[x*]\s?10(\^?)\s?\(?([-+]?)(\d*)\)?)")


@dataclass(frozen=True, slots=True)
class NumberProblem:
    """Why a number was not read, and the readings it may have had (as text to put in its place)."""

    code: str
    readings: tuple[str, ...] = ()


def comma_habit(text: str) -> str | None:
    """How commas are used inside numbers on this line: "decimal", "thousands" or None (cannot be told)."""
    if "," not in text:
        return None
    if re.search(r"(?<![\d.,])(?:0,\d|\d+,(?:\d{1,2}|\d{4,})(?![\d,]))", text):
        return "decimal"
    if re.search(r"\d,\d{3}(?:,\d{3}|\.\d)|(?<![\d,])\d+\.\d", text):
        return "thousands"
    return None


def read_number(text: str, habit: str | None = None) -> Decimal | NumberProblem:
    """Read one number. ``habit`` is the use of commas elsewhere on the line (see ``comma_habit``)."""
    text = text.strip()
    if len(text) > LONGEST_NUMBER:
        return NumberProblem("number-out-of-range")
    if _PLAIN.fullmatch(text):
        return Decimal(text)
    if text[:1] == "-":
        return NumberProblem("negative-number", (text[1:].strip(),))
    if text[:1] == "+":
        return read_number(text[1:], habit)
    if "/" in text:
        return _fraction(text)
    if text.startswith("10^"):
        return _power(Decimal(1), text[3:].strip("() "))
    scientific = _SCIENTIFIC.fullmatch(text)
    if scientific:
        mantissa = read_number(scientific[1], habit)
        if isinstance(mantissa, NumberProblem):
            return mantissa
        if scientific[2]:
            return _power(mantissa, scientific[2])
        caret, sign, digits = scientific[3], scientific[4], scientific[5]
        if not digits:
            return NumberProblem("multiplied-number", (str(mantissa * 10),))
        if not caret and not sign:
            return NumberProblem("lost-superscript", (f"{scientific[1]}e{digits}", f"{scientific[1]}e-{digits}"))
        return _power(mantissa, sign + digits)
    if " " in text:
        groups = text.split(" ")
        joined = "".join(groups)
        # "2 500 mL" may be two lots of 500 mL; "2 000" and "2 050" cannot.
        if len(groups) > 2 or groups[1].startswith("0"):
            return read_number(joined, "decimal" if "," in joined else habit)
        return NumberProblem("spaced-digits", (joined,))
    return _with_commas(text, habit)


def _power(mantissa: Decimal, exponent: str) -> Decimal | NumberProblem:
    if len(exponent) > 4 or abs(int(exponent)) > LARGEST_EXPONENT:
        return NumberProblem("number-out-of-range")
    return mantissa.scaleb(int(exponent))


def _fraction(text: str) -> Decimal | NumberProblem:
    whole, _, part = text.rpartition(" ")
    top, _, below = part.partition("/")
    if not int(below):
        return NumberProblem("number-out-of-range")
    return Decimal(whole or 0) + Decimal(top) / Decimal(below)


def _with_commas(text: str, habit: str | None) -> Decimal | NumberProblem:
    commas, points = text.count(","), text.count(".")
    if commas == 1 and points == 0:
        whole, _, rest = text.partition(",")
        if len(rest) != 3 or whole.startswith("0") or len(whole) > 3 or habit == "decimal":
            return Decimal(f"{whole}.{rest}")
        if habit == "thousands":
            return Decimal(whole + rest)
        return NumberProblem("comma-ambiguous", (whole + rest, f"{whole}.{rest}"))
    if re.fullmatch(r"\d{1,3}(?:,\d{3})+(?:\.\d+)?", text):
        return Decimal(text.replace(",", ""))
    if re.fullmatch(r"\d{1,3}(?:\.\d{3})+,\d+", text) or re.fullmatch(r"\d{1,3}(?:\.\d{3}){2,}", text):
        return Decimal(text.replace(".", "").replace(",", "."))
    return NumberProblem("number-unclear")


def _split(text: str) -> list[str]:
    return text.split()


SPELLED = {
    word: value
    for value, word in enumerate(
        _split(
            "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
            "sixteen seventeen eighteen nineteen"
        )
    )
}
SPELLED.update(nought=0, naught=0)
SPELLED.update({w: 10 * n for n, w in enumerate(_split("twenty thirty forty fifty sixty seventy eighty ninety"), 2)})
PARTS = {
    "half": Decimal("0.5"),
    "third": Decimal(1) / Decimal(3),
    "quarter": Decimal("0.25"),
    "fifth": Decimal("0.2"),
    "tenth": Decimal("0.1"),
    "twentieth": Decimal("0.05"),
    "hundredth": Decimal("0.01"),
}


_DIGIT_WORD = "(?:zero|oh|nought|naught|one|two|three|four|five|six|seven|eight|nine)"
POINT_PATTERN = rf"(?:(?:{_DIGIT_WORD}|ten|twenty)\s)?point(?:\s{_DIGIT_WORD}){{1,6}}"
_POINT = re.compile(rf"(?:(\w+)\s)?point\s((?:{_DIGIT_WORD}\s?)+)")
_ONES_AS_ZERO = re.compile(r"\b(?:oh|nought|naught)\b")


def spelled_number(words: str) -> Decimal | None:
    """The value of a number in words ("two hundred and fifty", "three quarters of a", "half a"), or None."""
    decimal = _POINT.fullmatch(words.lower().strip())
    if decimal is not None:
        whole = spelled_number(decimal[1]) if decimal[1] else Decimal(0)
        digits = "".join(str(SPELLED[d]) for d in _ONES_AS_ZERO.sub("zero", decimal[2]).split())
        return None if whole is None else whole + Decimal(f"0.{digits}")
    total, current, seen = Decimal(0), Decimal(0), False
    for word in re.split(r"[\s-]+", words.lower().strip()):
        single = word[:-1] if word.endswith("s") and word[:-1] in PARTS else word
        if word in ("and", "a", "an", "of"):
            continue
        seen = True
        if word.isdigit() or re.fullmatch(r"\d+\.\d+", word):
            current += Decimal(word)
        elif word in SPELLED:
            current += SPELLED[word]
        elif word == "hundred":
            current = (current or Decimal(1)) * 100
        elif word == "thousand":
            total, current = total + (current or Decimal(1)) * 1000, Decimal(0)
        elif single in PARTS:
            after_and = bool(re.search(rf"\band\s+(?:a\s+)?(?:one\s+)?{word}", words.lower()))
            if "and" in words.lower() and after_and:
                current += PARTS[single]
            else:
                current = (current or Decimal(1)) * PARTS[single]
        else:
            return None
    if not seen:
        return Decimal(1) if re.fullmatch(r"\s*an?\s*", words.lower()) else None
    return total + current
