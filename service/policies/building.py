"""From a local policy to the bench plans are made on, and what the law does not let it do. Pure."""

from dataclasses import replace
from functools import lru_cache
from typing import Any

from rules.house import Ask, Cap, House
from rules.policies import Policy, policy, with_house
from rules.tables.groups import group_names
from rules.tables.substances import substance
from service.bench import Bench
from service.policies.shape import AskFirstEntry, LocalPolicy, Named
from service.problems import FieldError, Problem


def bench_under(local: LocalPolicy, number: int, base: Bench) -> Bench:
    """The bench with the ware and rules of ``base`` under a local policy."""
    house = house_of(local)
    lab = replace(base.lab, piston_least=house.piston_least_pct / 100)
    return Bench(lab, with_house(policy(local.pack), house, number), base.rules)


def house_of(local: LocalPolicy) -> House:
    """What the rules read of a local policy."""
    flat: dict[str, Any] = {}
    for part in (local.tolerances, local.limits, local.allowances, local.small_volumes, local.keeping):
        flat |= part.model_dump()
    return House(
        **flat,
        student_mol_L=local.students.acids_and_alkalis_mol_L,
        student_caps=tuple(Cap(c.substance, c.group, c.most_mol_L) for c in local.students.caps),
        ask_first=tuple(
            Ask(e.substance, e.group, e.action, e.reason, e.two_person, e.above_mol_L, e.above_g)
            for e in local.ask_first
        ),
        precursor_pct=tuple((p.substance, p.above_pct) for p in local.precursors),
    )


def refuse_faults(local: LocalPolicy) -> None:
    """Raises Problem for names that are not known, and where the policy is looser than the law of its pack."""
    unknown = _unknown(local)
    if unknown:
        raise Problem("invalid-request", "The policy names what is not held here.", tuple(unknown))
    looser = _looser(local, policy(local.pack))
    if looser:
        detail = f"A local policy may only be stricter than its pack of the law, '{local.pack}'."
        raise Problem("looser-than-the-law", detail, tuple(looser))


def _unknown(local: LocalPolicy) -> list[FieldError]:
    lists: tuple[tuple[str, tuple[Named, ...]], ...] = (
        ("/ask_first", local.ask_first),
        ("/students/caps", local.students.caps),
    )
    found = [
        fault
        for where, entries in lists
        for n, entry in enumerate(entries)
        for fault in _name_faults(f"{where}/{n}", entry)
    ]
    for n, limit in enumerate(local.precursors):
        if not _held(limit.substance):
            found.append(FieldError(f"/policy/precursors/{n}/substance", "is no substance held here"))
    return found


def _name_faults(where: str, entry: Named) -> list[FieldError]:
    if entry.substance is not None and not _held(entry.substance):
        return [
            FieldError(f"/policy{where}/substance", "is no substance held here; GET /v1/substances gives the slugs")
        ]
    if entry.group is not None and entry.group not in group_names():
        return [FieldError(f"/policy{where}/group", "is no reactive group", group_names())]
    return []


def _looser(local: LocalPolicy, law: Policy) -> list[FieldError]:
    found = []
    for n, limit in enumerate(local.precursors):
        where = f"/policy/precursors/{n}"
        listed = law.precursor_limits(limit.substance)
        if not listed:
            message = f"is no explosives precursor under '{law.name}': put it on the list of what is asked about first"
            found.append(FieldError(f"{where}/substance", message))
        elif (lowest := listed[0].limit_pct) is None:
            message = (
                "cannot be set: the law lists it at any strength; the list of what is asked about first can hold it"
            )
            found.append(FieldError(f"{where}/above_pct", message))
        elif limit.above_pct > lowest:
            found.append(
                FieldError(f"{where}/above_pct", f"is above the {lowest:g} % of the law ({listed[0].law.upper()})")
            )
    found += [fault for n, entry in enumerate(local.ask_first) for fault in _beside_the_shipped(n, entry, law)]
    return found


def _beside_the_shipped(n: int, entry: AskFirstEntry, law: Policy) -> list[FieldError]:
    """An entry for what is on the shipped list already can add a second person or a refusal, never a limit."""
    listed = law.ask_first.get(entry.substance or "")
    limited = entry.above_mol_L is not None or entry.above_g is not None
    if listed is None or not limited:
        return []
    field = "above_mol_L" if entry.above_mol_L is not None else "above_g"
    message = f"cannot be set: {entry.substance} is on the shipped list at any strength and amount"
    return [FieldError(f"/policy/ask_first/{n}/{field}", message)]


@lru_cache(maxsize=1024)
def _held(slug: str) -> bool:
    try:
        substance(slug)
    except KeyError:
        return False
    return True
