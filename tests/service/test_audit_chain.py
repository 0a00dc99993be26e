"""The hash chain notices every change, and the head file every cut."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.audit.chain import EMPTY, Entry, Event, Head, check, entry_hash, link
from service.audit.head_file import HeadFile, parse

AT = "2026-11-25T09:30:00.000000Z"


def _log(count: int) -> list[Entry]:
    return link(
        EMPTY, AT, [Event("a.technician", "plan.answered", f"P{n}", b'{"n":%d}' % n) for n in range(1, count + 1)]
    )


def _head(entry: Entry) -> Head:
    return Head(entry.seq, entry.hash)


def test_a_whole_log_is_whole() -> None:
    log = _log(5)
    assert check(log, *(_head(e) for e in log)) is None
    assert check([]) is None
    assert check([], EMPTY) is None


def test_a_chain_made_in_two_goes_is_the_chain_made_in_one() -> None:
    events = [Event("a", "e", str(n), b"{}") for n in range(6)]
    first = link(EMPTY, AT, events[:2])
    assert first + link(_head(first[-1]), AT, events[2:]) == link(EMPTY, AT, events)


@given(place=st.integers(0, 5), field=st.sampled_from(["at", "actor", "event", "subject", "body", "prev_hash", "hash"]))
def test_any_changed_field_is_named_at_its_entry(place: int, field: str) -> None:
    log = _log(6)
    old = getattr(log[place], field)
    if field in ("hash", "prev_hash"):
        new = ("1" if old[0] == "0" else "0") + old[1:]
    else:
        new = old + b" " if isinstance(old, bytes) else old + " "
    log[place] = log[place]._replace(**{field: new})
    broken = check(log)
    assert broken is not None
    assert broken.seq == place + 1
    assert broken.code in ("altered", "unlinked")


@pytest.mark.parametrize("place", range(5))
def test_a_missing_entry_is_named(place: int) -> None:
    log = _log(6)
    del log[place]
    broken = check(log)
    assert broken is not None
    assert (broken.seq, broken.code) == (place + 1, "missing")


def test_swapped_and_inserted_entries_are_named() -> None:
    log = _log(4)
    broken = check([log[0], log[2], log[1], log[3]])
    assert broken is not None
    assert (broken.seq, broken.code) == (2, "missing")
    broken = check([log[0], log[0]._replace(seq=2), *log[1:]])
    assert broken is not None
    assert (broken.seq, broken.code) == (2, "unlinked")


def test_a_cut_tail_is_seen_only_with_a_head_from_outside() -> None:
    log = _log(6)
    assert check(log[:4]) is None
    broken = check(log[:4], _head(log[5]))
    assert broken is not None
    assert (broken.seq, broken.code) == (5, "cut")


def test_a_log_that_was_rebuilt_is_seen_with_an_older_receipt() -> None:
    log = _log(4)
    rebuilt = link(EMPTY, AT, [Event("a.technician", "plan.answered", "other", b"{}") for _ in range(4)])
    assert check(rebuilt) is None
    broken = check(rebuilt, _head(log[2]))
    assert broken is not None
    assert (broken.seq, broken.code) == (3, "rewritten")


def test_a_clock_that_ran_backwards_is_named_and_a_small_difference_is_not() -> None:
    first = link(EMPTY, "2026-11-25T09:30:10.000000Z", [Event("a", "e", "1", b"")])
    late = link(_head(first[0]), "2026-11-25T09:30:08.000000Z", [Event("a", "e", "2", b"")])
    assert check(first + late) is None
    early = link(_head(first[0]), "2026-11-25T09:29:08.000000Z", [Event("a", "e", "2", b"")])
    broken = check(first + early)
    assert broken is not None
    assert (broken.seq, broken.code) == (2, "clock")


@given(st.lists(st.text(), min_size=4, max_size=4), st.lists(st.text(), min_size=4, max_size=4))
def test_no_two_different_entries_share_a_hash(one: list[str], other: list[str]) -> None:
    def digest(parts: list[str]) -> str:
        return entry_hash("0" * 64, 1, AT, Event(parts[0], parts[1], parts[2], parts[3].encode()))

    assert (digest(one) == digest(other)) == (one == other)


def test_moving_a_letter_between_fields_changes_the_hash() -> None:
    one = entry_hash("0" * 64, 1, AT, Event("ab", "c", "d", b""))
    assert one != entry_hash("0" * 64, 1, AT, Event("a", "bc", "d", b""))


def test_the_head_file_only_moves_forward(tmp_path: Path) -> None:
    log = _log(3)
    with HeadFile(tmp_path / "new folder" / "head") as file:
        assert file.read() == EMPTY
        file.advance(_head(log[2]))
        file.advance(_head(log[0]))
        assert file.read() == _head(log[2])
        assert parse(file.path.read_bytes()) == _head(log[2])
        kept = file.set_aside("disagrees")
        assert file.read() == EMPTY
        assert parse(kept.read_bytes()) == _head(log[2])


@pytest.mark.parametrize("content", [b"x", b"7 abc\n", b"0" * 86])
def test_a_file_that_is_no_head_is_refused(content: bytes) -> None:
    with pytest.raises(ValueError, match=r"head|int"):
        parse(content)
