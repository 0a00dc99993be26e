"""From the words of a request to one substance in one form, or to the question that must be asked first.

A name never resolves by likeness: near names are only suggested. A bare name that fits several forms is a
question, unless the table marks one form as what the trade overwhelmingly means, and then it is an assumption.
"""

import re
from dataclasses import dataclass, replace

from grammar.request import Component, Misread, Named, Prepare, Source
from rules.plan import Open, Option
from rules.tables.solubility import Solubility, solubility
from rules.tables.substances import Form, Match, Substance
from service.planner.matching import form_name, form_word, forms_of, matches
from service.planner.unheld import Choose, product, unknown, which_of_the_two


@dataclass(frozen=True, slots=True)
class Resolved:
    """One substance, the form whose mass the strength counts, and the form that is measured."""

    substance: Substance
    counted: Form
    measured: Form
    assumption: str | None = None


#: A molar mass typed from a label agrees with the computed one within this share (rounded atomic weights).
MASS_AGREES = 0.005

Outcome = Resolved | Open | Misread

_OXIDATION_STATE = re.compile(r"\([IV]+(?:,[IV]+)?\)")


def resolve(component: Component, choose: Choose, form_matters: bool, identity_matters: bool = True) -> Outcome:
    """Settle which substance and form ``component`` means.

    ``choose`` builds the request in which a form is settled; ``form_matters`` is False where only the solute
    counts (dilution of a stock), so that no question is asked about a solid nobody will weigh, and
    ``identity_matters`` is False where only the ratio of two strengths counts, whichever substance it is.
    """
    found = matches(component.solute)
    if not found:
        return which_of_the_two(component.solute, choose) or product(component, choose) or unknown(component.solute)
    pairs = forms_of(found, component.solute.water)
    if not pairs:
        return _no_such_form(found, component.solute, choose)
    pairs = _by_molar_mass(pairs, component.solute)
    if not pairs:
        return _other_molar_mass(found, component.solute)
    substances = {s.slug for s, _ in pairs}
    source = component.source.named if component.source else None
    if len(substances) > 1 and source is not None and form_matters:
        # "EDTA from its disodium salt": of what the name may mean, what the source is.
        held = {m.substance.slug for m in matches(source)}
        pairs = [pair for pair in pairs if pair[0].slug in held] or pairs
        substances = {s.slug for s, _ in pairs}
    if len(substances) == 1 and source is not None and form_matters:
        return _from_named_form(component, pairs, source, choose)
    if len(substances) > 1 and not identity_matters:
        kind, form = max(pairs, key=lambda pair: _dissolves(pair[0]))
        typed = component.solute.as_typed or component.solute.name
        return Resolved(
            kind,
            form,
            form,
            f"Which substance '{typed}' is does not change the volume; the label must repeat the stock's.",
        )
    if len(substances) > 1 or (len(pairs) > 1 and form_matters):
        return _choose_between(component, pairs, choose)
    return (_formula_without_water(component, pairs, choose) if form_matters else None) or _single(
        component, pairs, form_matters
    )


def _by_molar_mass(pairs: list[tuple[Substance, Form]], named: Named) -> list[tuple[Substance, Form]]:
    """The pairs whose molar mass is the one typed beside the name; all of them where none was typed."""
    if named.molar_mass is None:
        return pairs
    typed = float(named.molar_mass)
    kinds = list(dict.fromkeys(kind.slug for kind, _ in pairs))
    every = [(kind, f) for kind, _ in pairs for f in kind.forms] if named.water is None and len(kinds) == 1 else pairs
    near = ((k, f) for k, f in every if f.molar_mass and abs(f.molar_mass - typed) <= MASS_AGREES * typed)
    return list(dict.fromkeys(near))


def _other_molar_mass(found: tuple[Match, ...], named: Named) -> Misread:
    forms = [(m.substance, f) for m in found for f in m.substance.forms if f.molar_mass]
    masses = "; ".join(f"{form_name(kind, f)} {f.molar_mass:.2f}" for kind, f in forms)
    return Misread(
        "molar-mass-disagrees",
        f"No form of it has a molar mass of {named.molar_mass} g/mol: {masses}.",
        "Read the formula on the bottle, and leave the molar mass out or correct it.",
    )


def _dissolves(kind: Substance) -> float:
    held = solubility(kind.slug, 20.0)
    return held.g_anhydrous_per_100g_water if isinstance(held, Solubility) else 0.0 if held is None else 1e9


def _single(component: Component, pairs: list[tuple[Substance, Form]], form_matters: bool) -> Resolved:
    kind, form = pairs[0]
    if not form_matters:
        form = next((f for f in kind.forms if f.water == "0"), form)
    named = component.solute
    said = (
        named.water is not None
        or named.molar_mass is not None
        or bool(named.cas)
        or any(m.label for m in matches(named))
    )
    if form_matters and form.water not in ("0", "x") and not said:
        return Resolved(
            kind, form, form, f"{kind.name}: no form was stated; it is sold as the {form.label} ({form.formula})."
        )
    return Resolved(kind, form, form)


def _formula_without_water(component: Component, pairs: list[tuple[Substance, Form]], choose: Choose) -> Open | None:
    """A formula typed without water, of a salt sold only as a hydrate: its mass depends on which is meant."""
    kind, form = pairs[0]
    named = component.solute
    if named.cas or named.water is not None or not named.formula or len(pairs) != 1 or form.water in ("0", "x"):
        return None
    dry = kind.with_water("0")
    if dry is None:
        return None
    typed = named.as_typed or named.formula
    return Open(
        "form",
        f"{typed} was typed without water, and {kind.name} is sold as the {form.label}. Which is in the bottle?",
        tuple(Option(f.key.replace("/", "-"), form_name(kind, f), choose(kind, f)) for f in (form, dry)),
    )


def _choose_between(component: Component, pairs: list[tuple[Substance, Form]], choose: Choose) -> Outcome:
    kinds = list(dict.fromkeys(s.slug for s, _ in pairs))
    if len(kinds) == 1:
        kind = pairs[0][0]
        usual = [f for _, f in pairs if f.unstated]
        if len(usual) == 1:
            said = f"{kind.name}: no form was stated, so the {form_word(usual[0])} form is taken ({usual[0].formula})."
            return Resolved(kind, usual[0], usual[0], said)
        about, text = "form", f"Which {kind.name} is it? It is sold in {len(pairs)} forms, and their masses differ."
    else:
        about = "oxidation-state" if _differ_in_oxidation(pairs) else "which-substance"
        text = f"'{component.solute.as_typed or component.solute.name}' may mean {len(kinds)} substances. Which one is in the bottle?"
    options = tuple(
        Option(form.key.replace("/", "-"), form_name(kind, form), choose(kind, form)) for kind, form in pairs
    )
    return Open(about, text, options)


def _from_named_form(
    component: Component, pairs: list[tuple[Substance, Form]], source: Named, choose: Choose
) -> Outcome:
    """The strength counts one form and another is weighed ("0.1 M nickel chloride from the hexahydrate")."""
    kind = pairs[0][0]
    source_found = matches(source) if (source.name or source.formula or source.cas) else (Match(kind, None, "", ""),)
    weighed = [(s, f) for s, f in forms_of(source_found, source.water) if s.slug == kind.slug]
    if not weighed:
        return _no_such_form((Match(kind, None, "", ""),), source, choose)
    if len(weighed) > 1:
        return _choose_between(component, weighed, choose)
    measured = weighed[0][1]
    stated = component.solute.water is not None or any(m.label for m in matches(component.solute))
    counted = pairs[0][1] if stated and len(pairs) == 1 else measured
    if not stated and component.solute.formula:
        # "10 g/L CuSO4 from the pentahydrate": the formula as typed is what the strength counts.
        counted = kind.with_water("0") or measured
    strength = component.strength
    by_mass = (
        strength is not None
        and "mol" not in strength.unit
        and strength.unit not in ("N", "mN", "mEq/L")
        and not strength.of
    )
    if by_mass and counted is measured and not stated and measured.water not in ("0", "x"):
        return _water_counted(kind, measured, choose)
    return Resolved(kind, counted, measured)


def _water_counted(kind: Substance, measured: Form, choose: Choose) -> Open | Resolved:
    """ "10 % sodium carbonate from the decahydrate": the ten parts are of the one or of the other."""
    dry = kind.with_water("0")
    said = f"The strength by mass counts the {measured.label} as it is weighed, with its water."
    if dry is None:
        return Resolved(kind, measured, measured, said)
    as_weighed = choose(kind, measured)

    def dried(c: Component) -> Component:
        if (c.solute.name, c.solute.water) != (kind.name, measured.water):
            return c
        source = replace(c.source or Source(), kind="solid", named=Named(water=measured.water))
        return replace(c, solute=replace(c.solute, water="0"), source=source)

    without = replace(as_weighed, components=tuple(dried(c) for c in as_weighed.components))
    return Open(
        "water-counted",
        f"Does the strength count the {measured.label} as it is weighed, or {kind.name} without its water?",
        (
            Option("as-weighed", f"the {measured.label} as it is weighed", as_weighed),
            Option("without-water", f"{kind.name} without water", without),
        ),
        remedy="Name the form that the strength counts, for example 'anhydrous sodium carbonate from the decahydrate'.",
    )


def _no_such_form(found: tuple[Match, ...], named: Named, choose: Choose) -> Open:
    kind = found[0].substance
    forms = kind.sold_forms or kind.forms
    asked = "anhydrous form" if named.water == "0" else f"form with {named.water} H2O"
    text = f"No {asked} of {kind.name} is known here. Which of these is in the bottle?"
    return Open(
        "form",
        text,
        tuple(Option(f.key.replace("/", "-"), form_name(kind, f), choose(kind, f)) for f in forms),
        remedy="Read the formula on the bottle; the hydrate must match it.",
    )


def _differ_in_oxidation(pairs: list[tuple[Substance, Form]]) -> bool:
    stems = {_OXIDATION_STATE.sub("", s.name) for s, _ in pairs}
    return len(stems) == 1 and all(_OXIDATION_STATE.search(s.name) for s, _ in pairs)


def settle_form(request: Prepare, index: int) -> Choose:
    """A builder of the request in which component ``index`` is a named substance in a named form."""

    def choose(kind: Substance, form: Form) -> Prepare:
        component = request.components[index]
        named = Named(
            name=kind.name,
            water=form.water if form.label not in ("pure", "solution") else None,
            as_typed=form_name(kind, form),
        )
        source = component.source
        if source is not None and source.named is not None:
            source = (
                replace(source, named=None) if _only_names(source) else replace(source, named=Named(water=named.water))
            )
        changed = replace(component, solute=named, source=source)
        return replace(request, components=(*request.components[:index], changed, *request.components[index + 1 :]))

    return choose


def _only_names(source: Source) -> bool:
    return source.strength is None and source.purity is None and source.density is None
