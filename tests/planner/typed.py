"""Typed requests in few words, for tests of the planner that must not depend on how a sentence is read."""

from decimal import Decimal

from grammar.request import Component, Named, Prepare, Quantity, Source


def quantity(text: str) -> Quantity:
    """ "500 mL" as a quantity."""
    value, unit = text.split(" ", 1)
    return Quantity(Decimal(value), unit)


def part(strength: str, name: str, stock: str = "", water: str | None = None) -> Component:
    """One solute: strength (empty for none), name, strength of the stock (empty for the solid)."""
    source = Source(kind="stock", strength=quantity(stock)) if stock else None
    return Component(
        Named(name=name, water=water, as_typed=name), quantity(strength) if strength else None, source=source
    )


def prepare(
    total: str, *parts: Component, ph: str = "", temperature: str = "", confirmed: tuple[str, ...] = ()
) -> Prepare:
    """A request for ``total`` of a solution with those parts."""
    return Prepare(
        parts,
        total=quantity(total) if total else None,
        ph=Decimal(ph) if ph else None,
        temperature=quantity(temperature) if temperature else None,
        confirmed=confirmed,
    )
