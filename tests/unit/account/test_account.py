"""The account of a thing: nothing overlaps, nothing is left out, whatever the log says."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.account import Account, ClashKind, HoleKind, Keeping, account_of
from asfound.model.base import Moment
from asfound.model.things import CustodyKind, CustodyLine

START = dt.datetime(2026, 3, 2, 10, 0, tzinfo=dt.timezone(dt.timedelta(hours=-6)))


def moment(minutes: int) -> Moment:
    at = START + dt.timedelta(minutes=minutes)
    return Moment.read(at.isoformat(sep=" ", timespec="minutes").replace("-06:00", " -06:00"))


def line(
    number: int,
    left: int | None,
    came: int | None,
    giver: str = "",
    taker: str = "keeper",
    *,
    kind: CustodyKind = CustodyKind.TRANSFER,
    places: tuple[str, str] = ("bench", "bench"),
    seals: tuple[str, str] = ("", ""),
    signed: str = "keeper",
) -> CustodyLine:
    return CustodyLine(
        f"C-{number}", number, ("I-1",), kind,
        None if left is None else moment(left), None if came is None else moment(came),
        giver, taker, *places, "", *seals, "", giver, signed, (), "",
    )  # fmt: skip


def kept(account: Account) -> list[tuple[Keeping, str, float | None]]:
    return [(one.keeping, one.holder, None if one.seconds is None else one.seconds / 60) for one in account.stretches]


def test_a_whole_log_is_held_carried_and_stored_without_a_space_between() -> None:
    log = [
        line(1, 60, 60, kind=CustodyKind.COLLECTED, seals=("", "7")),
        line(2, 90, 100, "keeper", "store", seals=("7", "7")),
        line(3, 500, 500, "store", "examiner", seals=("7", "")),
    ]
    account = account_of("I-1", log, moment(0))
    assert kept(account) == [
        (Keeping.BEFORE_LOG, "", 60),
        (Keeping.HELD, "keeper", 30),
        (Keeping.ON_THE_WAY, "keeper", 10),
        (Keeping.STORED, "store", 400),
        (Keeping.HELD, "examiner", None),
    ]
    assert not (account.holes or account.clashes or account.seals or account.gaps)
    assert [one.seal for one in account.stretches] == ["", "7", "7", "7", ""]


def test_another_giver_than_the_holder_leaves_a_gap_as_long_as_the_time_between() -> None:
    log = [line(1, 0, 0, kind=CustodyKind.COLLECTED), line(2, 45, 45, "porter", "examiner")]
    account = account_of("I-1", log)
    assert kept(account) == [(Keeping.GAP, "keeper", 45), (Keeping.HELD, "examiner", None)]
    assert [hole.kind for hole in account.holes] == [HoleKind.HOLDER]
    assert account.gaps[0].lines == ("C-1", "C-2")


def test_a_thing_collected_from_where_it_was_found_is_not_collected_again() -> None:
    found = line(1, 0, 30, "nurse", "nurse", kind=CustodyKind.BEFORE_CUSTODY, places=("bin", "ward"), signed="nurse")
    taken = line(2, 40, 40, "", "keeper", kind=CustodyKind.COLLECTED, places=("ward", "office"))
    account = account_of("I-1", [found, taken])
    assert [hole.kind for hole in account.holes] == [HoleKind.BEFORE_TOLD]
    assert [one[0] for one in kept(account)] == [Keeping.BEFORE_CUSTODY, Keeping.HELD, Keeping.HELD]
    other = line(2, 40, 40, "porter", "keeper", kind=CustodyKind.COLLECTED, places=("ward", "office"))
    assert HoleKind.HOLDER in {hole.kind for hole in account_of("I-1", [found, other]).holes}


def test_the_time_before_custody_that_nobody_signed_for_is_a_gap() -> None:
    found = line(1, 0, 30, "nurse", "nurse", kind=CustodyKind.BEFORE_CUSTODY, places=("bin", "ward"), signed="")
    assert kept(account_of("I-1", [found]))[0] == (Keeping.GAP, "nurse", 30)


def test_a_hand_over_without_a_time_leaves_open_when_it_was() -> None:
    log = [
        line(1, 0, 0, kind=CustodyKind.COLLECTED),
        line(2, None, None, "keeper", "porter"),
        line(3, 60, 60, "porter", "examiner"),
    ]
    account = account_of("I-1", log)
    assert kept(account)[0] == (Keeping.GAP, "porter", 60)
    assert account.gaps[0].lines == ("C-1", "C-2", "C-3")


def test_a_moment_lies_in_one_stretch_and_the_end_belongs_to_the_next() -> None:
    account = account_of("I-1", [line(1, 0, 0, kind=CustodyKind.COLLECTED), line(2, 30, 30, "keeper", "examiner")])
    at = [account.at(moment(minutes)) for minutes in (-1, 0, 29, 30, 9999)]
    assert [one.holder if one else None for one in at] == [None, "keeper", "keeper", "examiner", "examiner"]
    assert [one.holder for one in account.during(moment(10), moment(30))] == ["keeper"]
    assert [one.holder for one in account.during(moment(10), moment(31))] == ["keeper", "examiner"]
    assert [one.holder for one in account.during(moment(30), moment(30))] == ["examiner"]


def test_a_line_that_leaves_before_the_last_arrived_is_a_clash() -> None:
    log = [line(1, 30, 30, kind=CustodyKind.COLLECTED), line(2, 10, 40, "keeper", "examiner", seals=("1", ""))]
    account = account_of("I-1", log)
    assert [clash.kind for clash in account.clashes] == [ClashKind.LEFT_EARLY]
    assert kept(account)[0] == (Keeping.ON_THE_WAY, "keeper", 10)


times = st.none() | st.integers(0, 2000)
roles = st.sampled_from(["keeper", "examiner", "store", "porter", ""])
logs = st.lists(
    st.tuples(
        times, times, roles, roles, st.sampled_from(CustodyKind),
        st.tuples(st.sampled_from(["ward", "bench", ""]), st.sampled_from(["ward", "bench", ""])),
        st.tuples(st.sampled_from(["", "1", "2"]), st.sampled_from(["", "1", "2"])), st.sampled_from(["", "keeper"]),
    ),
    max_size=12,
)  # fmt: skip


@given(logs, st.none() | st.integers(0, 2000))
@settings(max_examples=400, deadline=None)
def test_whatever_the_log_says_the_stretches_join_and_fill_the_whole_span(log: list[tuple], event: int | None) -> None:
    lines = [
        line(number, left, came, giver, taker, kind=kind, places=place, seals=seals, signed=signed)
        for number, (left, came, giver, taker, kind, place, seals, signed) in enumerate(log, 1)
    ]
    account = account_of("I-1", lines, None if event is None else moment(event))
    stretches = account.stretches
    for one, other in pairwise(stretches):
        assert one.end is not None and one.end.at == other.start.at, "a space or an overlap"
        assert one.start < one.end, "a stretch without length"
    told = [at for one in lines for at in (one.released_at, one.received_at) if at is not None]
    if not lines or (not told and event is None):
        assert not stretches
        return
    assert stretches[-1].end is None
    # Every second from the first moment to the last belongs to exactly one stretch, gaps included.
    span = (stretches[-1].start.at - stretches[0].start.at).total_seconds()
    assert sum(one.seconds or 0 for one in stretches) == span
    latest = max([*told, *([moment(event)] if event is not None else [])], key=lambda at: at.at)
    assert stretches[-1].start.at == latest.at
    assert {ref for one in stretches for ref in one.lines} <= {one.id for one in lines}
    for at in told:
        here = [one for one in stretches if one.start <= at and (one.end is None or at < one.end)]
        assert len(here) <= 1 and (account.at(at) is (here[0] if here else None))


@given(logs)
@settings(max_examples=200, deadline=None)
def test_a_hole_between_two_timed_lines_shows_as_a_gap(log: list[tuple]) -> None:
    lines = [
        line(number, left, came, giver, taker, kind=kind, places=place, seals=seals, signed=signed)
        for number, (left, came, giver, taker, kind, place, seals, signed) in enumerate(log, 1)
    ]
    account = account_of("I-1", lines)
    gaps = [one for one in account.gaps if one.end is not None]
    for hole in account.holes:
        before, at = hole.before, hole.line.released_at or hole.line.received_at
        if hole.kind in {HoleKind.HOLDER, HoleKind.PLACE, HoleKind.COLLECTED_AGAIN} and before and at:
            came = before.received_at or before.released_at
            earlier = [m for one in lines[: hole.line.line - 1] for m in (one.released_at, one.received_at) if m]
            if came is not None and came.at == max(m.at for m in earlier) and came < at:
                assert any(one.start.at == came.at and one.end and one.end.at == at.at for one in gaps)
