"""What a text says so far, as fields a person can look over: no chemistry, no look-up beyond names, nothing stored."""

from typing import Any

from grammar import canonical, read
from grammar.request import Ask, Check, Combine, Component, Container, Misread, Named, Prepare, Quantity, Series, Source
from service.pipeline import known_names
from service.reply import problem_document

Fields = list[tuple[str, str]]
_SOURCES = {"solid": "the solid", "stock": "a stock", "concentrated": "the concentrated reagent"}


def reading(text: str) -> dict[str, Any]:
    """``read_as`` and ``fields`` of the text, or the ``problem`` with what was understood before reading stopped."""
    found = read(text, known=known_names)
    if isinstance(found, Misread):
        return {"problem": problem_document(found)}
    return {"read_as": canonical(found), "fields": [{"name": name, "value": value} for name, value in fields(found)]}


def fields(request: Prepare | Combine | Series | Ask | Check) -> Fields:
    """Name and value of everything that was read, in the order of the sentence a technician would say."""
    if isinstance(request, Combine):
        return [("substance", _named(solute)) for solute in request.solutes]
    if isinstance(request, Check):
        return [("answer to check", _said(request.claimed)), *fields(request.request)]
    if isinstance(request, Ask):
        asked: Fields = [("question", request.topic.replace("-", " "))]
        asked += [("at hand", _said(request.available))] if request.available else []
        asked += [("wanted in", request.to)] if request.to else []
        return [*asked, *fields(request.request)]
    if isinstance(request, Series):
        found = _component(request.component)
        found += [("strength", _said(strength)) for strength in request.strengths]
        found += [("each", _said(request.each))] if request.each else []
        return [*found, *([("blank", "yes")] if request.blank else []), *_rest(request.solvent, request.set_aside)]
    return _prepare(request)


def _prepare(request: Prepare) -> Fields:
    found: Fields = []
    for component in request.components:
        found += _component(component)
    found += [("amount", _said(request.total))] if request.total else []
    if request.portions:
        lots = f", {request.portions.sets} times" if request.portions.sets != 1 else ""
        spare = f", {request.portions.spare_percent} % spare" if request.portions.spare_percent else ""
        each = _said(request.portions.each)
        found.append(("portions", f"{request.portions.count} {request.portions.who}, {each} each{lots}{spare}"))
    found += [("vessel", _container(request.container))] if request.container else []
    found += [("bottle", _container(request.bottle))] if request.bottle else []
    found += [("for", f"{request.purpose} work")] if request.purpose else []
    found += [("temperature", _said(request.temperature))] if request.temperature else []
    found += [("kept at", _said(request.kept_at))] if request.kept_at else []
    found += [("pH", str(request.ph))] if request.ph is not None else []
    if request.solvent_volume:
        found.append(("amount of", "solvent, not of solution"))
    return [*found, *_rest(request.solvent, request.set_aside)]


def _component(component: Component) -> Fields:
    found: Fields = [("substance", _named(component.solute))]
    found += [("strength", _said(component.strength))] if component.strength else []
    found += [("mass", _said(component.mass))] if component.mass else []
    found += [("for the reaction", component.reaction)] if component.reaction else []
    return [*found, *([("from", _source(component.source))] if component.source else [])]


def _source(source: Source) -> str:
    parts = [_named(source.named) if source.named else "", _SOURCES.get(source.kind or "", "")]
    parts += [_said(part) for part in (source.strength, source.density, source.purity, source.volume) if part]
    return ", ".join(filter(None, parts))


def _named(named: Named) -> str:
    words = named.as_typed or named.name or named.formula or ""
    return f"{words} (CAS {named.cas})".strip() if named.cas and named.cas not in words else words


def _container(container: Container) -> str:
    size = f"{_said(container.nominal)} " if container.nominal else ""
    return f"{size}{container.material + ' ' if container.material else ''}{container.kind.replace('-', ' ')}"


def _said(quantity: Quantity) -> str:
    return f"{quantity.value} {quantity.unit}{f' as {quantity.of}' if quantity.of else ''}"


def _rest(solvent: str | None, set_aside: tuple[str, ...]) -> Fields:
    return [*([("solvent", solvent)] if solvent else []), *(("set aside", words) for words in set_aside)]
