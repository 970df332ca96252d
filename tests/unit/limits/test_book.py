"""An organisation's set over the program's: it adds, it tightens, and it loosens only with a name to it."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.limits import build_book, looser, packaged
from asfound.model.limits import Fixed, Limit, LimitSet, SourceStatus
from tests.unit.limits.support import CAUTIONS, LIMIT, OVERLAY_FILE, SET, build, limit_set, only, protocol, the_fault

# What reads the same in the base and is the subject of one change each.
RICH: dict[str, Any] = {
    "strict": "yes",
    "also": ["leak"],
    "permitted": {"up_to": "500 µA", "needs": ["ground_intact", "maintenance_schedule"]},
    "exempt": {"condition": "setting", "at_or_below_percent": "10", "of": "rated_output"},
}


def overlay(changes: dict[str, Any] | None = None, **head: Any) -> LimitSet:
    return limit_set(changes, **{"set": "tighter", "extends": "ours", "document": "House rules", **head})


TIGHTER: list[dict[str, Any]] = [
    {"bound": {"kind": "fixed", "value": "0.1 mA"}},
    {"permitted": {"up_to": "400 µA", "needs": ["ground_intact", "maintenance_schedule"]}},
    {"permitted": None},
    {"exempt": None},
    {"exempt": {"condition": "setting", "at_or_below_percent": "5", "of": "rated_output"}},
    {"highest_of": ["polarity", "earth"]},
    {"note": "Read this."},
]


@pytest.mark.parametrize("changes", TIGHTER, ids=str)
def test_tighter_limit_replaces(changes: dict[str, Any]) -> None:
    book, faults = build(limit_set(RICH), overlay(RICH | changes))
    assert faults == ()
    assert book.sets["tighter"].limits["leak"] != book.sets["ours"].limits["leak"]
    assert book.sets["tighter"].authority("leak") == ("House rules", "1")


LOOSER: list[tuple[dict[str, Any], tuple[str, ...]]] = [
    ({"bound": {"kind": "fixed", "value": "301 µA"}}, ("bound",)),
    ({"bound": {"kind": "fixed", "value": "0.5 mA"}}, ("bound",)),
    ({"bound": {"kind": "percent", "percent": "20", "of": "stated"}}, ("bound",)),
    ({"strict": "no"}, ("strict",)),
    ({"when": {}}, ("when",)),
    ({"when": {"earth": ["open"], "polarity": ["normal"]}}, ("when",)),
    ({"only": {"class": ["II"]}}, ("only",)),
    ({"unless": {"class": ["II"]}}, ("unless",)),
    ({"highest_of": []}, ("highest_of",)),
    ({"gives_way_to": ["stated value"]}, ("gives_way_to",)),
    ({"kind": "type test, reference only"}, ("kind",)),
    ({"scale": "nominal mains"}, ("scale",)),
    (
        {"exempt": {"condition": "setting", "at_or_below_percent": "15", "of": "rated_output"}},
        ("exempt", "at_or_below_percent"),
    ),
    ({"exempt": {"condition": "load", "at_or_below_percent": "10", "of": "rated_output"}}, ("exempt",)),
    ({"permitted": {"up_to": "0.6 mA", "needs": ["ground_intact", "maintenance_schedule"]}}, ("permitted", "up_to")),
    ({"permitted": {"up_to": "500 µA", "needs": ["ground_intact"]}}, ("permitted", "needs")),
    ({"result": "linearity"}, ("result",)),
]


@pytest.mark.parametrize(("changes", "path"), LOOSER, ids=str)
def test_looser_limit_is_refused_and_the_tighter_stays(changes: dict[str, Any], path: tuple[str, ...]) -> None:
    base, over = limit_set(RICH), overlay(RICH | changes)
    fault = only("limit-loosened", base, over)
    assert (fault.file, fault.path) == (OVERLAY_FILE, ("limits", "leak", *path))
    book, _ = build(base, over)
    kept = book.sets["tighter"].limits["leak"]
    assert kept.bound == base.limits["leak"].bound and kept.when == base.limits["leak"].when
    assert book.sets["tighter"].authority("leak") == ("A document", "1")


@pytest.mark.parametrize(("changes", "path"), LOOSER, ids=str)
def test_looser_limit_stands_with_someone_who_answers(changes: dict[str, Any], path: tuple[str, ...]) -> None:
    by_limit = overlay(RICH | changes | {"verified_by": "chief engineer"})
    by_set = overlay(RICH | changes, verified_by="chief engineer")
    for over in (by_limit, by_set):
        book, faults = build(limit_set(RICH), over)
        assert faults == ()
        assert book.sets["tighter"].limits["leak"] == over.limits["leak"]


def test_what_was_not_exempt_or_permitted_may_not_become_so() -> None:
    for name in ("exempt", "permitted"):
        fault = only("limit-loosened", limit_set(), overlay({name: RICH[name]}))
        assert fault.path == ("limits", "leak", name)


def test_fewer_tests_is_looser() -> None:
    second = protocol(tests={"leak": protocol().tests["leak"], "flow": protocol().tests["leak"]})
    base, over = limit_set({"also": ["flow"]}), overlay()
    fault = only("limit-loosened", base, over, protocols=(second,))
    assert fault.path == ("limits", "leak", "also")
    assert build(over.model_copy(update={"set": "ours", "extends": None}), protocols=(second,))[1] == ()


def test_inherited_limit_keeps_its_document() -> None:
    new = {"set": "more", "extends": "ours", "document": "House rules", "edition": "3", "limits": {"extra": LIMIT}}
    book, faults = build(limit_set(), LimitSet.model_validate(SET | new))
    assert faults == ()
    more = book.sets["more"]
    assert list(more.limits) == ["leak", "extra"]
    assert more.authority("leak") == ("A document", "1")
    assert more.authority("extra") == ("House rules", "3")
    assert list(book.sets["ours"].limits) == ["leak"], "the set that is extended stays as it is"


def test_extending_twice_compares_with_the_tighter_one() -> None:
    first = overlay({"bound": {"kind": "fixed", "value": "100 µA"}})
    second = overlay({"bound": {"kind": "fixed", "value": "200 µA"}}, set="third", extends="tighter")
    fault = only("limit-loosened", limit_set(), first, second)
    assert fault.file == OVERLAY_FILE.replace(".yml", "1.yml")
    assert "200 µA is looser than 100 µA" in fault.found


def test_names_and_circles_of_sets() -> None:
    twice = only("limit-set-twice", limit_set(), limit_set())
    assert (twice.file, twice.path) == (OVERLAY_FILE, ("set",))
    unknown = only("limit-extends-unknown", limit_set(), overlay(extends="our"))
    assert unknown.path == ("extends",) and '"ours"' in unknown.mend
    itself = only("limit-extends-circle", limit_set(), overlay(extends="tighter"))
    assert itself.path == ("extends",)
    one, two = overlay(set="one", extends="two"), overlay(set="two", extends="one")
    book, faults = build(limit_set(), one, two)
    assert the_fault(faults).rule == "limit-extends-circle"
    assert {"ours", "one", "two"} == set(book.sets)


def test_confirmed_needs_a_reader() -> None:
    fault = only("limit-confirmed-by-nobody", limit_set(), overlay({"status": "confirmed"}))
    assert fault.path == ("limits", "leak", "status")
    read = overlay({"status": "confirmed", "verified_by": "librarian", "verified_on": "2026-01-05"})
    book, faults = build(limit_set(), read)
    assert faults == () and book.sets["tighter"].limits["leak"].status is SourceStatus.CONFIRMED


def test_order_of_files_does_not_matter() -> None:
    sets = {"b.yml": overlay({"strict": "no"}), "a.yml": limit_set({"strict": "yes"}), "c.yml": limit_set(set="other")}
    plans = {"p.yml": protocol()}
    forward = build_book({}, {}, sets, plans, cautions=CAUTIONS)
    backward = build_book({}, {}, dict(reversed(sets.items())), plans, cautions=CAUTIONS)
    assert forward == backward
    assert list(forward[0].sets) == sorted(forward[0].sets)


def test_overlay_of_a_packaged_set() -> None:
    """The example of the manual: a house value for the chassis, tighter than the American one."""
    have = packaged()
    ours = LimitSet.model_validate(
        SET
        | {
            "set": "house-2012",
            "extends": "nfpa-99-2012",
            "document": "House rules",
            "limits": {
                "touch-current-open": have.sets["asfound/limits/sets/nfpa-99-2012.yml"]
                .limits["touch-current-open"]
                .model_copy(update={"bound": Fixed.model_validate({"kind": "fixed", "value": "300 µA"})})
                .model_dump(mode="json")
            },
        }
    )
    book, faults = build_book(have.sets, have.protocols, {"house.yml": ours}, {}, cautions=have.cautions)
    assert faults == ()
    assert book.sets["house-2012"].authority("touch-current-open")[0] == "House rules"
    assert book.sets["house-2012"].authority("touch-current-closed") == ("NFPA 99", "2012")


_PLACES = st.decimals(min_value=Decimal("0.001"), max_value=Decimal(9999), places=3, allow_nan=False)


def _bounded(sense: str, value: Decimal, symbol: str) -> Limit:
    bound = {"kind": "fixed", "value": f"{value} {symbol}"}
    return Limit.model_validate(LIMIT | {"sense": sense, "bound": bound})


@given(_PLACES, _PLACES)
def test_of_two_bounds_one_is_looser_unless_they_are_equal(one: Decimal, other: Decimal) -> None:
    for sense in ("at most", "at least"):
        mine, theirs = _bounded(sense, one, "µA"), _bounded(sense, other, "µA")
        assert bool(list(looser(mine, theirs))) + bool(list(looser(theirs, mine))) == (one != other)
        assert not list(looser(mine, mine))


@given(_PLACES)
def test_the_unit_of_a_bound_does_not_matter(value: Decimal) -> None:
    assert not list(looser(_bounded("at most", value, "mA"), _bounded("at most", value * 1000, "µA")))


@pytest.mark.parametrize(
    ("sense", "new", "old", "is_looser"),
    [
        # NIST SP 811, B.8: an interval of 1.8 °F is one of 1 °C; a temperature of 40 °F is one of 4.4 °C.
        ("within", "40 degF", "10 degC", True),
        ("within", "1.8 degF", "1 degC", False),
        ("within", "1.7 degF", "1 degC", False),
        ("within", "1.9 degF", "1 degC", True),
        ("at most", "40 degF", "10 degC", False),
        ("at most", "40 degF", "4 degC", True),
    ],
)
def test_a_width_in_degrees_is_compared_as_a_width(sense: str, new: str, old: str, is_looser: bool) -> None:
    def limit(value: str) -> Limit:
        around = {"around": "setting"} if sense == "within" else {}
        bound = {"kind": "sum", "terms": [{"kind": "fixed", "value": value}]}
        return Limit.model_validate(LIMIT | {"quantity": "temperature", "sense": sense, "bound": bound} | around)

    assert bool(list(looser(limit(new), limit(old)))) is is_looser


@pytest.mark.parametrize(
    ("sort", "name", "other"),
    [
        ({}, "test", "touch-current"),
        ({}, "quantity", "voltage"),
        ({"sense": "answer", "bound": None, "answer": "yes", "quantity": "yes or no"}, "answer", "no"),
        ({"sense": "monotonic", "bound": None, "series_over": "setting"}, "series_over", "port"),
        ({"sense": "within", "around": "setting"}, "around", "stated"),
    ],
    ids=lambda one: one if isinstance(one, str) else "",
)
def test_a_limit_that_asks_something_else_was_not_shown_to_be_as_tight(
    sort: dict[str, Any], name: str, other: str
) -> None:
    old = Limit.model_validate(LIMIT | sort)
    new = Limit.model_validate(LIMIT | sort | {name: other})
    assert list(looser(old, old)) == []
    assert ((name,), f"{name.replace('_', ' ')} differs from the limit that is replaced") in list(looser(new, old))


FIXED = {"kind": "fixed", "value": "100 µA"}
SHARE = {"kind": "percent", "percent": "5", "of": "setting"}
POWER = {"kind": "current from power", "percent": "1", "of": "rated_output", "load": "200 ohm"}


@pytest.mark.parametrize(
    ("new", "old", "says"),
    [
        (SHARE | {"percent": "6"}, SHARE, "6 % of the setting is looser than 5 % of the setting"),
        (SHARE | {"percent": "4"}, SHARE, ""),
        (SHARE | {"percent": "4", "of": "rated_output"}, SHARE, "cannot be compared"),
        (POWER | {"percent": "2"}, POWER, "is looser than"),
        (POWER | {"percent": "0.5"}, POWER, ""),
        (POWER | {"percent": "0.5", "of": "stated"}, POWER, "cannot be compared"),
        (POWER | {"percent": "0.5", "load": "100 ohm"}, POWER, "cannot be compared"),
        (SHARE, FIXED, "cannot be compared"),
        ({"kind": "greatest", "among": [FIXED, SHARE]}, {"kind": "sum", "terms": [FIXED, SHARE]}, "cannot be compared"),
        ({"kind": "greatest", "among": [FIXED]}, {"kind": "greatest", "among": [FIXED, SHARE]}, "cannot be compared"),
        ({"kind": "fixed", "value": "1 V"}, FIXED, "cannot be compared"),
    ],
)  # fmt: skip
def test_what_cannot_be_compared_was_not_shown_to_be_as_tight(
    new: dict[str, Any], old: dict[str, Any], says: str
) -> None:
    found = [text for path, text in looser(*(Limit.model_validate(LIMIT | {"bound": one}) for one in (new, old)))]
    assert [says in text for text in found] == ([True] if says else [])


def test_both_ends_of_a_range_are_looked_at() -> None:
    """From 90 to 100 µA: an end that moves outwards is looser, whatever the other does."""
    between = LIMIT | {"sense": "between", "bound": None}

    def limit(low: str, high: str) -> Limit:
        ends = {"low": {"kind": "fixed", "value": f"{low} µA"}, "high": {"kind": "fixed", "value": f"{high} µA"}}
        return Limit.model_validate(between | ends)

    for low, high, paths in (("91", "99", []), ("89", "99", [("low",)]), ("91", "101", [("high",)]),
                             ("89", "101", [("low",), ("high",)])):  # fmt: skip
        assert [path for path, _ in looser(limit(low, high), limit("90", "100"))] == paths


def test_a_refused_limit_takes_no_other_down_with_it() -> None:
    """What an organisation tightens stands, whatever else of its set is refused; so does a set after a second one."""
    looser_one = LIMIT | {"bound": {"kind": "fixed", "value": "400 µA"}}
    tighter_one = LIMIT | {"bound": {"kind": "fixed", "value": "100 µA"}}
    base = limit_set(limits={"leak": LIMIT, "touch": LIMIT})
    over = overlay(LIMIT).model_copy(
        update={
            "limits": {
                "leak": Limit.model_validate(looser_one),
                "touch": Limit.model_validate(tighter_one),
                "more": Limit.model_validate(tighter_one),
            }
        }
    )
    book, faults = build(base, over)
    assert [fault.rule for fault in faults] == ["limit-loosened"]
    kept = book.sets[over.set].limits
    assert {name: one.bound.value.text for name, one in kept.items() if isinstance(one.bound, Fixed)} == {
        "leak": "300 µA", "touch": "100 µA", "more": "100 µA",
    }  # fmt: skip
    twice, last = limit_set(set="ours"), limit_set(set="third")
    book, faults = build(base, twice, last)
    assert [fault.rule for fault in faults] == ["limit-set-twice"] and set(book.sets) == {"ours", "third"}
    assert set(book.sets["ours"].limits) == {"leak", "touch"}
