"""From facts to a request: which strength is to be made, which is the source's, what is the name."""

from dataclasses import replace
from decimal import Decimal

from grammar import words
from grammar.facts import Fact, Facts, ReadingError, Run
from grammar.naming import Known, Reading, merge, read_run, same
from grammar.normalise import Normalised
from grammar.request import Combine, Component, Container, Portions, Prepare, Purpose, Quantity, Source, SourceKind


class Assembly:
    """Gives roles to the facts of one text."""

    def __init__(self, facts: Facts, normal: Normalised, known: Known) -> None:
        self.facts, self.normal, self.known = facts, normal, known
        self.notes = list(normal.notes)
        self.aside = [self._typed(*span) for span in facts.aside]

    def _typed(self, start: int, end: int) -> str:
        first, last = self.normal.span(start, end)
        return " ".join(self.normal.typed[first:last].split())

    def _runs(self, place: str) -> list[Reading]:
        return [
            read_run(run, self._typed(run.start, run.end), self.known) for run in self.facts.runs if run.place == place
        ]

    def request(self) -> Prepare | Combine:
        facts = self.facts
        target, left = merge(self._runs("open"))
        sources, source_left = merge([r for r in self._runs("source") if r.named.name.lower() not in words.GENERIC])
        self._solvent()
        if self._mixes(target):
            return self._combine(target, sources)
        self._set_aside(left + source_left)
        if len(target) > 1:
            raise _at_run(target[1].run, "two-substances")
        if len(sources) > 1:
            raise _at_run(sources[1].run, "two-substances")
        for reading in target + sources:
            self.notes += reading.notes
        strength, source_strength = self._strengths()
        total, source_volume = self._volumes()
        source = self._source(sources[0] if sources else None, source_strength, source_volume)
        if target:
            solute = target[0].named
        elif (
            source is not None
            and source.named is not None
            and (source.named.name or source.named.formula or source.named.cas)
        ):
            solute, source = source.named, replace(source, named=None)
        else:
            raise self._no_substance(total, strength)
        if words.NON_ENGLISH.search(solute.name):
            raise ReadingError("not-english", 0, len(self.normal.text))
        if source is not None and source.named is not None and same(source.named, solute):
            source = replace(source, named=None)
        if source == Source():
            source = None
        named_by = (target or sources)[0]
        if not named_by.chemical and not (facts.strengths or facts.volumes or facts.masses or facts.each):
            raise _at_run(named_by.run, "not-a-request")
        portions = self._portions()
        mass = None
        if facts.masses:
            mass, total = self._masses(strength, total)
        if facts.odd:
            self._odd()
        container, bottle = self._vessels()
        component = Component(solute, strength, mass, source, self._typed(*facts.reaction) if facts.reaction else None)
        return Prepare(
            (component,),
            total,
            portions,
            container,
            bottle,
            facts.solvent,
            facts.solvent_volume,
            self._purpose(),
            facts.temperature,
            facts.ph,
            tuple(self.aside),
            tuple(self.notes),
        )

    # -- strengths and volumes ------------------------------------------------------------------------------------

    def _strengths(self) -> tuple[Quantity | None, Quantity | None]:
        facts = self.facts
        found = _distinct(facts.strengths)
        target = [f for f in found if f.place != "source"]
        source = [f for f in found if f.place == "source" and not f.loose]
        loose = [f for f in found if f.place == "source" and f.loose]
        if len(target) == 2 and target[1].after_to and not target[0].after_to and not source:
            if target[1].quantity.unit == "%" and target[0].amount.kind != "percent":
                raise _at(target[1], "two-strengths")
            source, target = [target[0]], [target[1]]
            facts.source_opener = facts.source_opener or "dilute"
        if (
            facts.diluted
            and len(target) == 1
            and not target[0].after_to
            and not source
            and len(_distinct(facts.volumes)) == 2
        ):
            # "10 mL of 6 M acid diluted to 100 mL": what was diluted is the source, its result is not said.
            source, target = target, []
            facts.source_opener = "dilute"
        for fact in loose:
            if not target and (source or facts.label_strength or facts.source_opener != "dilute"):
                target.append(fact)
            elif not source and facts.label_strength is None:
                source.append(fact)
            else:
                raise _at(fact, "two-strengths")
        if len(target) > 1:
            raise _at(target[1], "two-strengths")
        if len(source) > 1:
            raise _at(source[1], "two-source-strengths")
        if not target and source and facts.source_opener == "conc" and source[0].quantity.unit != "%":
            target, source = source, []
        strength = target[0].quantity if target else None
        if strength is not None and strength.unit == "%" and facts.basis:
            strength = Quantity(strength.value, facts.basis)
        return strength, source[0].quantity if source else None

    def _volumes(self) -> tuple[Quantity | None, Quantity | None]:
        facts = self.facts
        found = _distinct(facts.volumes)
        target = [f for f in found if f.place != "source"]
        source = [f for f in found if f.place == "source"]
        if len(target) == 2 and target[1].after_to and not target[0].after_to and not source and facts.source_opener:
            source, target = [target[0]], [target[1]]
        if not target and source and (source[-1].loose or facts.source_opener == "conc"):
            target.append(source.pop())
        if len(target) > 1:
            raise _at(target[1], "two-volumes")
        if len(source) > 1:
            raise _at(source[1], "two-volumes")
        if not target and facts.vessel_volume is not None and facts.each is None:
            target = [facts.vessel_volume]
            self.notes.append("the size of the vessel taken as the volume to make")
        return target[0].quantity if target else None, source[0].quantity if source else None

    def _masses(self, strength: Quantity | None, total: Quantity | None) -> tuple[Quantity | None, Quantity | None]:
        """A mass is the amount to make when no volume is given; beside a volume it is the solute's mass."""
        found = _distinct(self.facts.masses)
        if len(found) > 1:
            raise _at(found[1], "two-masses")
        if total is None and self.facts.each is None:
            return None, found[0].quantity
        if strength is not None:
            raise _at(found[0], "mass-and-volume")
        return found[0].quantity, total

    def _source(self, reading: Reading | None, strength: Quantity | None, volume: Quantity | None) -> Source | None:
        facts = self.facts
        kind = facts.source_words
        purity = facts.purity
        label = facts.label_strength
        if label is not None:
            if "solid" in kind and purity is None:
                purity = label
            elif strength is None:
                strength = label
            else:
                raise ReadingError("two-source-strengths", 0, len(self.normal.text))
        named = reading.named if reading else None
        source_kind: SourceKind | None = None
        if "concentrated" in kind:
            source_kind = "concentrated"
        elif "solid" in kind or purity is not None:
            source_kind = "solid"
        elif "stock" in kind or (strength is not None and label is None):
            source_kind = "stock"
        elif named is not None and named.water is not None:
            source_kind = "solid"
        source = Source(source_kind, named, strength, facts.density, purity, volume)
        return None if source == Source() else source

    # -- the rest -------------------------------------------------------------------------------------------------

    def _portions(self) -> Portions | None:
        facts = self.facts
        if facts.each is None:
            if facts.counts or facts.class_size is not None or facts.sets is not None:
                raise ReadingError("each-or-total", 0, len(self.normal.text))
            return None
        who = facts.each_who or (facts.counts[-1][1] if facts.counts else "students")
        count: int | None = None
        others = [c for c in facts.counts if c[1] == who] or [c for c in facts.counts if not facts.each_who]
        if others:
            count = others[0][0]
            if any(c[0] != count for c in others):
                raise ReadingError("two-counts", 0, len(self.normal.text))
        heads = facts.class_size or next((c[0] for c in facts.counts if c[1] == "students"), None)
        if count is None and heads is not None:
            if who == "pairs":
                count = (heads + 1) // 2
                self.notes.append(f"{heads} students are {count} pairs")
            elif who == "students":
                count = heads
        if count is None:
            raise ReadingError("portion-unclear", facts.each.amount.start_pos, facts.each.amount.end_pos)
        if who == "pairs" and heads is not None and count != (heads + 1) // 2:
            raise ReadingError("two-counts", 0, len(self.normal.text))
        if facts.volumes:
            raise _at(facts.volumes[0], "two-volumes")
        return Portions(count, facts.each.quantity, facts.sets or 1, facts.spare or Decimal(0), who)

    def _vessels(self) -> tuple[Container | None, Container | None]:
        container = bottle = None
        for kind, nominal, material in self.facts.vessels:
            made = Container(kind, nominal, material)
            if kind == "bottle":
                bottle = bottle or made
            elif container is None or container == made:
                container = made
            else:
                raise ReadingError("two-vessels", 0, len(self.normal.text))
        return container, bottle

    def _solvent(self) -> None:
        readings = self._runs("solvent")
        if not readings:
            return
        if len(readings) > 1 or readings[0].named.water is not None:
            raise _at_run(readings[-1].run, "two-substances")
        self.facts.solvent = readings[0].named.name or readings[0].named.formula

    def _purpose(self) -> Purpose | None:
        purposes: tuple[Purpose, ...] = ("standard", "accurate", "approximate")
        return next((p for p in purposes if p in self.facts.purposes), None)

    def _set_aside(self, readings: list[Reading]) -> None:
        self.aside += [r.named.as_typed for r in readings]

    def _odd(self) -> None:
        letters = [t for t in self.facts.odd if str(t) not in "\"'*#"]
        if len(letters) > 3:
            raise ReadingError("not-a-request", letters[0].start_pos or 0, letters[0].end_pos or 0)
        self.aside += [str(t) for t in letters]

    def _no_substance(self, total: Quantity | None, strength: Quantity | None) -> ReadingError:
        end = len(self.normal.text)
        if total is None and strength is None and not self.facts.masses and self.facts.each is None:
            return ReadingError("not-a-request", 0, end)
        return ReadingError("no-substance", 0, end)

    # -- mixing ---------------------------------------------------------------------------------------------------

    def _mixes(self, target: list[Reading]) -> bool:
        named = [r for r in target if r.named.name or r.named.formula]
        if len(named) < 2:
            return False
        joined = any(r.run.joined_by in ("WITH", "AND", "TO", "IN") for r in named[1:])
        if self.facts.mixing:
            return joined
        return joined and not (self.facts.strengths or self.facts.volumes or self.facts.masses)

    def _combine(self, target: list[Reading], sources: list[Reading]) -> Combine:
        purpose = "; ".join([*self.aside, *([self._typed(*self.facts.reaction)] if self.facts.reaction else [])])
        return Combine(tuple(r.named for r in target + sources), purpose)


def _distinct(facts: list[Fact]) -> list[Fact]:
    """Facts without exact repeats in the same clause ("0.1 M ... 0.1 M" is said twice, not two strengths)."""
    kept: list[Fact] = []
    for fact in facts:
        if not any(k.quantity == fact.quantity and k.place == fact.place for k in kept):
            kept.append(fact)
    return kept


def _at(fact: Fact, code: str) -> ReadingError:
    return ReadingError(code, fact.amount.start_pos, fact.amount.end_pos)


def _at_run(run: Run, code: str) -> ReadingError:
    return ReadingError(code, run.start, run.end)
