"""Which problems are refusals: the sentence was understood, and what it asks for cannot be."""

#: Problems that were understood and cannot be made by anyone; every other problem means the text was not understood.
CANNOT_BE_MADE = frozenset(
    {
        "over-hundred-percent",
        "total-implausible",
        "purity-impossible",
        "temperature-impossible",
        "volume-percent-of-solid",
        "reagent-impossible",
        "no-molar-mass",
        "basis-not-in-substance",
        "strength-not-positive",
        "total-not-positive",
        "stock-without-strength",
    }
)
