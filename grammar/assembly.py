"""From facts to a request: which strength is to be made, which is the source's, what is the name."""

import re
from dataclasses import replace

from grammar import mixing, portions, roles, series, several, statements, words
from grammar.facts import Facts, ReadingError, Run
from grammar.naming import Known, Reading, merge, read_run, same
from grammar.normalise import Normalised
from grammar.request import Combine, Component, Container, Named, Prepare, Purpose, Quantity, Series, Source, SourceKind
from grammar.roles import at

_DILUTED = re.compile(r"(?i:dilut|stock|conc|from|bottle|fold|times|working)")


class Assembly:
    """Gives roles to the facts of one text."""

    def __init__(self, facts: Facts, normal: Normalised, known: Known) -> None:
        self.facts, self.normal, self.known = facts, normal, known
        facts.notes[:0] = normal.notes
        self.notes, self.aside = facts.notes, facts.aside

    def _typed(self, start: int, end: int) -> str:
        first, last = self.normal.span(start, end)
        return " ".join(self.normal.typed[first:last].split())

    def _runs(self, place: str) -> list[Reading]:
        text = self.normal.text
        for run in self.facts.runs:
            if run.start > 2 and text[run.start - 1] in ")]" and run.place == place:
                # "(CH2O)n": what is glued to a bracket belongs to what stands in it.
                raise ReadingError("brackets-unclear", run.start - 1, run.end)
        return [
            read_run(run, self._typed(run.start, run.end), self.known) for run in self.facts.runs if run.place == place
        ]

    def _amounts(self, place: str) -> list[int]:
        bottled = self.facts.density is not None
        found = [f for f in (*self.facts.strengths, *self.facts.masses) if f.place == place]
        return [f.amount.start_pos for f in found if not (bottled and f.amount.kind == "percent")]

    def request(self) -> Prepare | Combine | Series:
        facts = self.facts
        named, titles = statements.without_title(facts, self._runs("open"), self.normal.text, self.known)
        self.aside += titles
        target, left = merge(self._without_generic(named), self._amounts("open"))
        sources, source_left = merge(self._without_generic(self._runs("source"), keep=False), self._amounts("source"))
        self._solvent()
        statements.molar_masses(facts, target + sources)
        statements.one_more(facts, self.normal.text)
        if facts.dilution is not None:
            facts.dilution_said = _DILUTED.search(self.normal.text) is not None
        if mixing.asked(facts, target + sources):
            return self._combine(target + sources)
        statements.strong_in_parts(facts, target + sources, self.normal.text)
        target, also = mixing.other_names(target, left, self.known)
        self.aside += also
        self._set_aside(left + source_left)
        if facts.series or facts.series_named or facts.repeats or (facts.each and not facts.counts):
            made = self._series(target, sources)
            if made is not None:
                return made
        target = statements.counted_by(facts, mixing.said_twice(target, self.known), sources)
        target, sources = statements.salt_of_the_ion(facts, target, sources)
        if len(target) > 1:
            return self._several(target, sources)
        sources = mixing.parts_of_a_buffer(facts, target, sources)
        if len(sources) > 1:
            raise _at_run(sources[1].run, "two-substances")
        for reading in target + sources:
            self.notes += reading.notes
        roles.in_the_flask(facts)
        roles.restated(facts, self.notes)
        statements.strength_said_twice(facts, self.normal.text)
        strength, source_strength = roles.strengths(facts)
        total, source_volume = roles.volumes(facts, self.notes)
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
        strange = self.known is not None and bool(solute.name) and not self.known(solute.name.lower())
        if words.NON_ENGLISH.search(self.normal.text if strange else solute.name):
            raise ReadingError("not-english", 0, len(self.normal.text))
        if source is not None and source.named is not None and same(source.named, solute):
            solute = replace(solute, molar_mass=solute.molar_mass or source.named.molar_mass)
            source = replace(source, named=None)
        if source == Source():
            source = None
        named_by = (target or sources)[0]
        if not named_by.chemical and not (facts.strengths or facts.volumes or facts.masses or facts.each):
            raise _at_run(named_by.run, "not-a-request")
        mass, total = roles.masses(facts, strength, total)
        if facts.moles is not None:
            strength = roles.from_moles(facts, strength, total, self.notes)
        reaction = self._typed(*facts.reaction) if facts.reaction else None
        unnamed = not (solute.name or solute.formula or solute.cas) or not named_by.chemical
        if facts.medium is not None and (unnamed or (strength is None and mass is None)):
            raise at(facts.medium, "solvent-with-strength")
        component = Component(solute, strength, mass, source, reaction, facts.also)
        return self._prepare((component, *self._medium(solute)), total)

    def _medium(self, *solutes: Named) -> tuple[Component, ...]:
        """ "0.5 M iron(III) chloride in 0.1 M HCl": what the solution is made in counts as one more solute."""
        strength = self.facts.medium
        if strength is None:
            return ()
        found, left = merge(self._runs("medium"))
        named = [r.named for r in found]
        if len(found) != 1 or left or not found[0].chemical or any(same(named[0], solute) for solute in solutes):
            raise at(strength, "solvent-with-strength")
        self.notes.append(f"{found[0].named.as_typed} counted as a second solute of the solution")
        return (Component(found[0].named, strength.quantity),)

    def _series(self, target: list[Reading], sources: list[Reading]) -> Series | None:
        """ "0, 2, 4 and 6 mg/L copper, 50 mL each, from 1000 mg/L": several strengths of one solute."""
        facts = self.facts
        found = series.strengths(facts)
        if found is None:
            if facts.series:
                raise at(facts.series[-1], "series-unclear")
            return None
        wanted, stock = found
        if len(target) > 1 or len(sources) > 1:
            raise _at_run((target + sources)[-1].run, "two-substances")
        if not target and not sources:
            raise ReadingError("no-substance", 0, len(self.normal.text))
        solute = (target or sources)[0].named
        source = self._source(sources[0] if target and sources else None, stock, None)
        zero = any(not f.quantity.value for f in facts.series)
        return Series(
            Component(solute, source=source),
            wanted,
            series.each(facts),
            facts.blank or zero,
            facts.solvent,
            self._harmless(),
        )

    def _several(self, target: list[Reading], sources: list[Reading]) -> Prepare:
        """ "0.1 M NaCl and 0.05 M KCl in 250 mL": several solutes in one volume."""
        facts = self.facts
        statements.one_volume(facts)
        made = several.components(facts, target, sources, self.normal.text)
        if made is None:
            raise _at_run(target[1].run, "two-substances", several.same_strength(facts, target))
        for reading in target + sources:
            self.notes += reading.notes
        if facts.reaction:
            made = (replace(made[0], reaction=self._typed(*facts.reaction)), *made[1:])
        several.one_solution(facts, made, (0, len(self.normal.text)))
        several.used_masses(facts, made)
        total, stock_volume = roles.volumes(facts, self.notes)
        if stock_volume is not None:
            raise _at_run(target[1].run, "two-substances")
        _, total = roles.masses(facts, None, total)
        return self._prepare((*made, *self._medium(*(c.solute for c in made))), total)

    def _prepare(self, components: tuple[Component, ...], total: Quantity | None) -> Prepare:
        facts = self.facts
        shared = portions.portions(facts, self.notes, (0, len(self.normal.text)))
        portions.each_of_whom(self.normal.text, shared, facts)
        if facts.spare is not None or facts.spare_amount is not None:
            total, shared = portions.with_spare(facts, total, shared, self.notes)
        self._odd()
        container, bottle = self._vessels()
        statements.peroxide_only(components, facts.strengths)
        made = Prepare(
            components,
            total,
            shared,
            container,
            bottle,
            facts.solvent,
            facts.solvent_volume,
            self._purpose(),
            facts.temperature,
            facts.ph,
            facts.kept_at,
            self._harmless(),
            tuple(self.notes),
        )
        return statements.with_water_by_mass(facts, made)

    def _without_generic(self, readings: list[Reading], keep: bool = True) -> list[Reading]:
        """ "the salt is 95 % pure": words such as "salt" name nothing beside a name; alone they are kept."""
        if self.facts.mixing:
            return readings
        kept: list[Reading] = []
        for reading in readings:
            named = reading.named
            if named.name.lower() not in words.GENERIC or named.formula or named.cas:
                kept.append(reading)
            elif named.water is not None:
                kept.append(replace(reading, named=replace(named, name="")))
        return readings if keep and not any(r.named.name or r.named.formula or r.named.cas for r in kept) else kept

    def _harmless(self) -> tuple[str, ...]:
        """What was set aside. Raises when a word in it may change an amount: such a word is read or refused."""
        for start, end in self.aside:
            change = words.CHANGES.search(self.normal.text, start, end)
            if change is not None:
                raise ReadingError("amount-changed", *change.span())
        return tuple(self._typed(*span) for span in self.aside)

    # -- the source -----------------------------------------------------------------------------------------------

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
        for reading in readings:
            if reading.run.joined_by in ("AND", "WITH") or any(c.isdigit() for c in reading.named.as_typed):
                raise _at_run(reading.run, "two-substances")
            if reading.run.bracketed and not words.HARMLESS.fullmatch(reading.named.as_typed):
                raise _at_run(reading.run, "brackets-unclear")
            if statements.names_what_was_measured(self.facts, reading, self.normal.text):
                raise _at_run(reading.run, "two-substances")
            self.aside.append((reading.run.start, reading.run.end))

    def _odd(self) -> None:
        letters = [t for t in self.facts.odd if str(t) not in "\"'*#"]
        if len(letters) > 3:
            raise ReadingError("not-a-request", letters[0].start_pos, letters[0].end_pos)
        self.aside += [(t.start_pos, t.end_pos) for t in letters]

    def _no_substance(self, total: Quantity | None, strength: Quantity | None) -> ReadingError:
        end = len(self.normal.text)
        if total is None and strength is None and not self.facts.masses and self.facts.each is None:
            return ReadingError("not-a-request", 0, end)
        return ReadingError("no-substance", 0, end)

    # -- mixing ---------------------------------------------------------------------------------------------------

    def _combine(self, readings: list[Reading]) -> Combine:
        spans = [*self.aside, *([self.facts.reaction] if self.facts.reaction else [])]
        ordered = sorted(readings, key=lambda r: r.run.start)
        return Combine(tuple(r.named for r in ordered), "; ".join(self._typed(*span) for span in spans))


def _at_run(run: Run, code: str, readings: tuple[str, ...] = ()) -> ReadingError:
    return ReadingError(code, run.start, run.end, "", readings)
