"""The packaged limits and protocol for pneumatic tourniquets against what stands behind them, from plan to verdict.

One figure is published: the alarm of surgical units is due beyond 15 mmHg to either side of the pressure set, read in
the abstract of BMC Biomedical Engineering, doi 10.1186/s42490-021-00053-9 (secondary). All else is `common practice, no
source`: the maker's own value, or an answer. Pressures and times of the examples are invented and worked by hand.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any, cast

import pytest

from asfound.desk.plan_tests import Proposed, propose, protocols_for, sets_for
from asfound.desk.plan_tests import tests_of as asked_by
from asfound.limits.protocol_checks import closure
from asfound.model.case import Case
from asfound.model.event import CaseHead
from asfound.model.limits import Book, Fixed, LimitKind, Percent, Sense, Sum
from asfound.model.limits import Test as Asked
from asfound.model.things import Item
from asfound.model.verdict import Outcome
from asfound.model.work import Tier
from tests.reference.test_limits_at_work import computed

SET = "common-practice-tourniquet"
WINDOW = {"pressure-in-window": Sense.WITHIN, "deviation-alarm": Sense.AT_MOST}
# What is asked of the maker's record, and on which side of it a reading has to lie (common practice, no source).
STATED = {
    "deviation-alarm-stated": Sense.AT_MOST, "pressure-set-stated": Sense.WITHIN,
    "pressure-shown-stated": Sense.WITHIN, "overshoot-stated": Sense.AT_MOST, "leak-stated": Sense.AT_MOST,
    "supply-cut-stated": Sense.AT_MOST, "delay-stated": Sense.AT_MOST, "timer-stated": Sense.WITHIN,
    "emptying-stated": Sense.AT_MOST,
}  # fmt: skip
ANSWERS = {
    "control-acts-on-its-cuff": ("channel-acts", "yes"), "stays-inflated": ("uncommanded-deflation", "no"),
    "closure-holds": ("cuff-closure-holds", "yes"),
}  # fmt: skip
SPOKEN = {(SET, name) for name in (*WINDOW, *STATED, *ANSWERS)}
"""Every limit that is held against its source here; `test_limits.py` asks for it."""


@pytest.fixture(scope="module")
def tests(book: Book) -> dict[str, Asked]:
    return asked_by(book, ["tourniquet"])


def test_every_limit_of_the_set_is_watched_and_says_how_well_it_was_read(book: Book) -> None:
    limits = book.sets[SET].limits
    assert {(SET, name) for name in limits} == SPOKEN
    for name, sense in WINDOW.items():
        limit = limits[name]
        assert isinstance(limit.bound, Fixed) and (limit.bound.value.value, limit.bound.value.unit) == (15, "mmHg")
        assert (limit.sense, str(limit.status)) == (sense, "secondary source")
        assert limit.gives_way_to == ("stated value", "maker's limit"), "the maker's own value goes first"
    for name, sense in STATED.items():
        limit = limits[name]
        stated = limit.bound.terms[1] if isinstance(limit.bound, Sum) else limit.bound
        assert isinstance(stated, Percent) and (stated.percent, stated.of) == (Decimal(100), "stated")
        assert (limit.sense, str(limit.status)) == (sense, "common practice, no source")
    for name, (test, answer) in ANSWERS.items():
        assert (limits[name].test, limits[name].answer) == (test, answer)
    assert {one.kind for one in limits.values()} == {LimitKind.COMMON_PRACTICE}


def test_what_a_limb_bears_is_nobodys_limit_here(book: Book, tests: dict[str, Asked]) -> None:
    """Published times go from one hour to two and a half; no verdict on a device hangs on them."""
    judged = {test for limit in book.sets[SET].limits.values() for test in limit.tests}
    assert "cuff-time-on-record" not in judged and "pressure-under-cuff" not in judged
    assert "clinician-decides" in tests["cuff-time-on-record"].cautions


# --- a filled sheet judged, right and wrong


def judged(
    book: Book, test: str, symbol: str, rows: list[tuple[str, dict[str, str]]], item: dict[str, Any] | None = None
) -> list[dict[str, Outcome]]:
    """Of each reading: which limit speaks, and what comes of it; by simple acceptance."""
    units = {"setting": "min" if test == "tourniquet-timer" else "mmHg", "shown": "mmHg"}
    made = computed(book, [SET], test, symbol, rows, item=item, units=units)
    found: dict[str, dict[str, Outcome]] = {f"R-x-{number}": {} for number in range(1, len(rows) + 1)}
    for one in made.verdicts:
        if one.subject in found:
            found[one.subject][one.limit.name if one.limit else ""] = one.outcome
    return list(found.values())


def stating(test: str, value: str) -> dict[str, Any]:
    return {"stated": [{"quantity": test, "value": value, "source": "the maker's answer of a worked example"}]}


@pytest.mark.parametrize(
    ("typed", "symbol", "outcome"),
    [
        ("265", "mmHg", Outcome.PASS),
        ("265.1", "mmHg", Outcome.FAIL),
        ("235", "mmHg", Outcome.PASS),
        ("234.9", "mmHg", Outcome.FAIL),
        # 1 mmHg is 133.322 Pa (NIST SP 811, from memory), so 265 mmHg are 35.330 kPa.
        ("35.32", "kPa", Outcome.PASS),
        ("35.34", "kPa", Outcome.FAIL),
    ],
)
def test_the_window_where_nothing_is_stated(book: Book, typed: str, symbol: str, outcome: Outcome) -> None:
    """250 mmHg set: 235 to 265 by the window; the maker's two limits say that no value of his is on record."""
    (found,) = judged(book, "cuff-pressure", symbol, [(typed, {"setting": "250", "shown": "250"})])
    assert found == {
        "pressure-in-window": outcome, "pressure-set-stated": Outcome.NOT_ASSESSABLE,
        "pressure-shown-stated": Outcome.NOT_ASSESSABLE,
    }  # fmt: skip


def test_a_gauge_that_shows_less_than_it_gives_fails_by_what_it_shows(book: Book) -> None:
    """250 mmHg set and in the cuff, 240 mmHg shown; ±5 mmHg stated: right by the setting, wrong by the display."""
    rows = [("250", {"setting": "250", "shown": "240"}), ("256", {"setting": "250", "shown": "255"})]
    first, second = judged(book, "cuff-pressure", "mmHg", rows, stating("cuff-pressure", "5 mmHg"))
    assert first == {"pressure-set-stated": Outcome.PASS, "pressure-shown-stated": Outcome.FAIL}
    assert second == {"pressure-set-stated": Outcome.FAIL, "pressure-shown-stated": Outcome.PASS}


def test_the_alarm_by_the_window_and_by_the_maker(book: Book) -> None:
    """16 mmHg is beyond the published window of 15 mmHg; where the maker states 20 mmHg that counts, and 21 fails."""
    rows = [(typed, {"side": "too high", "setting": "250"}) for typed in ("15", "16", "21")]
    first, second, third = judged(book, "deviation-alarm", "mmHg", rows)
    assert [one["deviation-alarm"] for one in (first, second, third)] == [Outcome.PASS, Outcome.FAIL, Outcome.FAIL]
    said = judged(book, "deviation-alarm", "mmHg", rows, stating("deviation-alarm", "20 mmHg"))
    assert said == [{"deviation-alarm-stated": one} for one in (Outcome.PASS, Outcome.PASS, Outcome.FAIL)]


def test_overshoot_is_counted_from_the_setting(book: Book) -> None:
    """Up to 10 mmHg above is stated: at 250 mmHg set 260 pass and 261 fail; at 300 mmHg 310 and 311."""
    rows = [(str(at + over), {"setting": str(at)}) for at in (250, 300) for over in (10, 11)]
    found = judged(book, "cuff-overshoot", "mmHg", rows, stating("cuff-overshoot", "10 mmHg"))
    assert [one["overshoot-stated"] for one in found] == [Outcome.PASS, Outcome.FAIL] * 2


@pytest.mark.parametrize(
    ("test", "symbol", "stated", "inside", "outside", "at"),
    [
        ("cuff-leak", "mmHg", "10 mmHg", "10", "10.1", {"part": "cuff with hose", "waited": "5"}),
        ("cuff-leak-moved", "mmHg", "10 mmHg", "10", "10.1", {"moved at": "along the hose", "waited": "5"}),
        ("supply-cut", "mmHg", "20 mmHg", "20", "21", {"supply": "mains", "after": "5"}),
        ("deviation-alarm-delay", "s", "10 s", "10", "11", {"side": "too low", "step": "30"}),
        ("cuff-emptying", "s", "15 s", "15", "16", {"hose": "as joined"}),
        ("tourniquet-timer", "min", "1 min", "61", "61.1", {"run": "without a break", "setting": "60"}),
        ("tourniquet-timer", "min", "1 min", "59", "58.9", {"run": "without a break", "setting": "60"}),
        ("cuff-pressure-held", "mmHg", "5 mmHg", "245", "244", {"setting": "250", "after": "60"}),
        ("leak-answer", "mmHg", "5 mmHg", "255", "256", {"setting": "250", "leak": "100"}),
    ],
)
def test_the_makers_value_decides(
    book: Book, test: str, symbol: str, stated: str, inside: str, outside: str, at: dict[str, str]
) -> None:
    """The values stated are invented; without one the same readings are not assessable by it."""
    rows = [(inside, at), (outside, at)]
    first, second = judged(book, test, symbol, rows, stating(test, stated))
    assert (set(first.values()), set(second.values())) == ({Outcome.PASS}, {Outcome.FAIL})
    bare = judged(book, test, symbol, rows)
    assert all(Outcome.NOT_ASSESSABLE in one.values() for one in bare)


@pytest.mark.parametrize("name", ANSWERS)
def test_each_answer_decides_both_ways(name: str, book: Book) -> None:
    (test, right), limit = ANSWERS[name], book.sets[SET].limits[name]
    at = {key: words[0] for key, words in limit.when.items()}
    wrong = "no" if right == "yes" else "yes"
    assert judged(book, test, "1", [(right, at), (wrong, at)]) == [{name: Outcome.PASS}, {name: Outcome.FAIL}]


def test_hoses_joined_as_found_are_a_finding_and_no_fault_of_the_unit(book: Book) -> None:
    (found,) = judged(book, "channel-acts", "1", [("no", {"command": "inflate the first", "joined": "as found"})])
    assert set(found.values()) == {Outcome.NO_REQUIREMENT}


def test_one_deflation_in_fifty_nine_trials_fails(book: Book) -> None:
    (found,) = judged(book, "uncommanded-deflation", "1", [("1 of 59", {"done": "key brushed"})])
    assert found == {"stays-inflated": Outcome.FAIL}


# --- the order of work, cautions, and what a plan asks for (common practice, no source, unless named)


def test_record_and_hoses_before_power_the_unit_last_what_bends_at_the_end(book: Book, tests: dict[str, Asked]) -> None:
    """Not altering first: ASTM E860-22, 4.1 (confirmed)."""
    protocol = book.protocols["tourniquet"]
    order = list(protocol.order)
    assert set(protocol.tests) <= set(order), "every test has its place"
    safe = max(order.index(one) for one in ("protective-earth", "touch-current", "applied-part-leakage"))
    for name in protocol.tests:
        test = tests[name]
        assert (order.index(name) > safe) == test.energised or name == "cuff-leak-moved", name
        assert test.connects in ("nothing", "analyser"), "never a person"
    assert order.index("tourniquet-record") == safe + 1, "read out before anything is inflated"
    assert [one for one in order if tests[one].alters not in (Tier.NONE, Tier.REVERSIBLE)] == ["cuff-leak-moved"]
    assert order[-1] == "cuff-leak-moved" and "altering-step" in tests["cuff-leak-moved"].cautions
    assert closure("tourniquet", book.protocols) == ("tourniquet", "electrical-safety", "generic")


def test_no_limb_and_no_loose_cuff_wherever_a_cuff_is_filled(book: Book) -> None:
    filled = {
        name for name, test in book.protocols["tourniquet"].tests.items()
        if (test.energised and name != "tourniquet-record") or {"setting", "waited"} & set(test.conditions)
    }  # fmt: skip
    assert {"cuff-leak", "cuff-closure-holds", "cuff-pressure", "supply-cut", "cuff-leak-moved"} <= filled
    for name in filled:
        assert {"cuff-on-a-former", "never-a-limb"} <= set(book.protocols["tourniquet"].tests[name].cautions), name
    assert "compressed-gas" in book.protocols["tourniquet"].tests["tourniquet-supply"].cautions


def test_every_topic_is_reached_and_every_test_says_what_it_is_not(book: Book, tests: dict[str, Asked]) -> None:
    protocol = book.protocols["tourniquet"]
    assert all(test.cannot_reach and test.bench_checks and test.reaches for test in protocol.tests.values())
    assert set(protocol.topics) <= {topic for test in protocol.tests.values() for topic in test.reaches}
    # A gauge at the unit cannot see a hose that is closed behind it, and the air in a bladder is not the skin.
    assert "cuff-placement" not in tests["cuff-pressure"].reaches


HEAD = {
    "case": "numb", "title": "T", "harmed": "none", "device_kind": "pneumatic-tourniquet",
    "event": {"kind": "skin lesion", "told_at": "2026-03-10 08:00 +00:00", "time_source": "none", "where": "here",
              "account": "A hand was numb."},
}  # fmt: skip


def planned(book: Book, **said: str) -> Proposed:
    item = {"what": "Tourniquet", "role": "main device", "in_use_at_event": "yes", "impounded": "yes",
            "characteristics": said}  # fmt: skip
    case = Case(folder="cases/numb", head=CaseHead.model_validate(HEAD), items={"I-1": Item.model_validate(item)})
    assert protocols_for(book, "pneumatic-tourniquet") == ("tourniquet",)
    return propose(case, asked_by(book, ["tourniquet"]), (), "I-1")


def covered(made: Proposed, test: str, condition: str) -> list[str]:
    entry = made.tests[test]
    assert isinstance(entry, dict)
    return cast("dict[str, list[str]]", entry["coverage"])[condition]


def test_a_unit_of_gas_without_mains_with_two_cuffs(book: Book) -> None:
    made = planned(book, **{"class": "not electrical", "pressure_source": "cylinder", "record": "none",
                            "timer": "none", "alarm": "none"})  # fmt: skip
    assert not made.idle
    assert not {"touch-current", "tourniquet-record", "tourniquet-timer", "tourniquet-alarms"} & set(made.tests)
    assert {"tourniquet-supply", "channel-acts", "cuff-pressure", "uncommanded-deflation"} <= set(made.tests)
    assert covered(made, "supply-cut", "supply") == ["gas"]
    assert covered(made, "tourniquet-supply", "where") == ["cylinder", "outlet of the regulator"]
    assert covered(made, "uncommanded-deflation", "done") == ["nothing", "key brushed", "other cuff let down"]
    assert "record of the unit" not in covered(made, "cuff-time-on-record", "source")


def test_a_unit_with_its_own_pump_and_one_cuff(book: Book) -> None:
    made = planned(book, **{"class": "I", "cord": "detachable", "applied_part": "BF", "pressure_source": "own pump",
                            "second_cuff": "none", "timer": "yes", "alarm": "yes", "record": "yes"})  # fmt: skip
    assert not made.idle
    assert {"protective-earth", "touch-current", "tourniquet-alarms", "tourniquet-timer"} <= set(made.tests)
    assert not {"channel-acts", "tourniquet-supply"} & set(made.tests) and "cuff-leak-moved" in made.altering
    assert covered(made, "supply-cut", "supply") == ["mains"]
    assert covered(made, "hose-fits", "fit") == ["connector of another system of the place"]
    assert SET in sets_for(book, asked_by(book, ["tourniquet"]))


def test_every_rival_explanation_can_be_found_in_the_starters(book: Book) -> None:
    made = book.starters["tourniquet"]
    head = CaseHead.model_validate(HEAD)
    assert made.is_for(head)
    assert {str(one.line) for one in made.lines.values()} == {
        "device", "accessory or consumable", "use", "set-up or maintenance", "room and supply",
        "patient or procedure effect", "not a device-made injury",
    }  # fmt: skip
    known = {topic for one in closure("tourniquet", book.protocols) for topic in book.protocols[one].topics}
    assert {topic for line in made.lines.values() for topic in line.topics} <= known
    head = CaseHead.model_validate({**HEAD, "answers": {"two-cuffs": "no", "drug-below-the-cuff": "no"}})
    assert set(made.lines) - set(made.in_play(head)) == {"wrong-cuff", "drug-passed-the-cuff"}
