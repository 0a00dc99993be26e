"""What a kind of problem is."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of problem: its permanent ``slug``, status, what it means and what to do."""

    slug: str
    status: int
    title: str
    meaning: str
    remedy: str
