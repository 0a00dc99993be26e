"""A name that is no one substance held here: two substances, a product of no fixed strength, or nothing known."""

from collections.abc import Callable

from grammar.request import Component, Misread, Named, Prepare
from rules.plan import Open, Option
from rules.tables.household import sold_as
from rules.tables.substances import Form, Substance, by_formula, by_name, suggest
from service.planner.matching import form_name, forms_of

#: Builds the request in which a form is settled.
Choose = Callable[[Substance, Form], Prepare]


def which_of_the_two(named: Named, choose: Choose) -> Open | None:
    """A name and a formula that are two substances ("copper sulfate (CuCl2)"): which of them is in the bottle."""
    if not named.name or not named.formula:
        return None
    by_both = [forms_of(found, named.water) for found in (by_name(named.name), by_formula(named.formula))]
    if not all(by_both):
        return None
    pairs = list(dict.fromkeys(pair for group in by_both for pair in group))
    options = tuple(
        Option(form.key.replace("/", "-"), form_name(kind, form), choose(kind, form)) for kind, form in pairs
    )
    text = f"'{named.name}' and '{named.formula}' are not the same substance. Which one is in the bottle?"
    return Open("which-substance", text, options)


def product(component: Component, choose: Choose) -> Open | None:
    """ "vinegar": a product whose strength differs from bottle to bottle; a solution of what it holds is offered."""
    named = component.solute
    kind = None if component.source is not None or named.formula or named.cas else sold_as(named.name)
    if kind is None:
        return None
    form = (kind.sold_forms or kind.forms)[0]
    return Open(
        "which-substance",
        f"{named.as_typed or named.name} is {kind.name} of a strength that differs from bottle to bottle. "
        f"Is a solution of {kind.name} wanted?",
        (Option(kind.slug, kind.name, choose(kind, form)),),
        remedy=f"Ask for {kind.name} with its strength, or to dilute the product give the strength on its label.",
    )


def unknown(named: Named) -> Misread:
    typed = named.as_typed or named.name or named.formula or named.cas or ""
    if named.name and (named.formula or named.cas) and by_name(named.name):
        other = named.formula or named.cas
        return Misread(
            "name-and-formula-disagree",
            f"'{named.name}' and '{other}' are not the same substance.",
            "Send the one that is on the bottle.",
            suggestions=(named.name, str(other)),
        )
    if not typed:
        return Misread(
            "substance-missing",
            "No substance was named.",
            "Name the substance, for example '0.1 M sodium chloride, 250 mL'.",
        )
    mistyped = typed.replace("I", "l")  # "NaCI" with a capital i
    near = (mistyped,) if mistyped != typed and by_formula(mistyped) else suggest(named.name) if named.name else ()
    hint = f" Near by: {', '.join(near)}." if near else ""
    return Misread(
        "substance-unknown",
        f"'{typed}' is not a substance this lab holds data on.{hint}",
        "Check the spelling on the bottle, or give the formula or the CAS number.",
        suggestions=near,
    )
