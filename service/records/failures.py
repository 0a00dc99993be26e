"""How a preparation fails on the bench: why it cannot be used, and what not to try."""

#: Kind -> (reason, advice). Common practice, no source.
FAILURES: dict[str, tuple[str, str]] = {
    "overshot": (
        "The mark was passed: what was drawn off or added can no longer be known.",
        "Do not draw off or add solid to save it.",
    ),
    "spilt": ("Some was spilt: how much is left in it cannot be known.", "Clear the spill by the safety data sheet."),
    "not_dissolved": (
        "It did not dissolve: what is in solution is less than what was weighed.",
        "Ask again at a lower strength, or look at the plan's steps for the way it dissolves.",
    ),
    "other_failure": ("It was given up.", "See the deviations for why."),
}
