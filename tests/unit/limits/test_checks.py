"""One limit, and the tests it belongs to: each fault at its place, and a near miss that is none."""

from __future__ import annotations

from typing import Any

import pytest

from asfound.limits import ENTRIES
from tests.unit.limits.support import SET_FILE, TEST, build, limit_set, only, protocol, the_fault

FAULTS: list[tuple[str, dict[str, Any], tuple[str | int, ...]]] = [
    ("limit-clause-missing", {"clause": None}, ("limits", "leak", "clause")),
    ("limit-clause-missing", {"clause": "n/a"}, ("limits", "leak", "clause")),
    ("limit-clause-missing", {"document": "Another", "edition": "?"}, ("limits", "leak", "edition")),
    ("limit-test-unknown", {"test": "leek"}, ("limits", "leak", "test")),
    ("limit-test-unknown", {"also": ["leak", "flow"]}, ("limits", "leak", "also", 1)),
    ("limit-shape-wrong", {"bound": None}, ("limits", "leak")),
    ("limit-shape-wrong", {"around": "stated"}, ("limits", "leak", "around")),
    ("limit-shape-wrong", {"sense": "within"}, ("limits", "leak")),
    ("limit-shape-wrong", {"sense": "monotonic", "bound": None}, ("limits", "leak")),
    ("limit-shape-wrong", {"answer": "yes"}, ("limits", "leak", "answer")),
    (
        "limit-shape-wrong",
        {"bound": {"kind": "percent", "percent": "-20", "of": "stated"}},
        ("limits", "leak", "bound", "percent"),
    ),
    (
        "limit-shape-wrong",
        {"bound": {"kind": "percent", "percent": "0", "of": "rated_output"}},
        ("limits", "leak", "bound", "percent"),
    ),
    (
        "limit-shape-wrong",
        {"bound": {"kind": "current from power", "percent": "-1.5", "of": "rated_output", "load": "200 Ω"}},
        ("limits", "leak", "bound", "percent"),
    ),
    (
        "limit-shape-wrong",
        {"bound": {"kind": "current from power", "percent": "1.5", "of": "rated_output", "load": "0 Ω"}},
        ("limits", "leak", "bound", "load"),
    ),
    (
        "limit-shape-wrong",
        {"sense": "within", "around": "stated", "highest_of": None, "bound": {"kind": "fixed", "value": "-5 µA"}},
        ("limits", "leak", "bound", "value"),
    ),
    (
        "limit-quantity-differs",
        {"bound": {"kind": "current from power", "percent": "1.5", "of": "rated_output", "load": "200 W"}},
        ("limits", "leak", "bound", "load"),
    ),
    ("limit-shape-wrong", {"bound": {"kind": "greatest", "among": []}}, ("limits", "leak", "bound")),
    ("limit-shape-wrong", {"bound": {"kind": "sum", "terms": []}}, ("limits", "leak", "bound")),
    (
        "limit-shape-wrong",
        {"sense": "at least", "permitted": {"up_to": "500 µA", "needs": ["ground_intact"]}},
        ("limits", "leak", "permitted"),
    ),
    (
        "limit-shape-wrong",
        {
            "sense": "between",
            "bound": None,
            "low": {"kind": "fixed", "value": "2 mA"},
            "high": {"kind": "fixed", "value": "300 µA"},
        },
        ("limits", "leak", "low"),
    ),
    (
        "limit-unit-unknown",
        {"bound": {"kind": "fixed", "value": "300 ua"}},
        ("limits", "leak", "bound", "value"),
    ),
    (
        "limit-quantity-differs",
        {"bound": {"kind": "fixed", "value": "300 mΩ"}},
        ("limits", "leak", "bound", "value"),
    ),
    ("limit-quantity-differs", {"quantity": "leakage"}, ("limits", "leak", "quantity")),
    (
        "limit-quantity-differs",
        {"bound": {"kind": "sum", "terms": [{"kind": "fixed", "value": "1 µA"}, {"kind": "fixed", "value": "1 V"}]}},
        ("limits", "leak", "bound", "terms", 1, "value"),
    ),
    (
        "limit-quantity-differs",
        {"permitted": {"up_to": "0.5 kΩ", "needs": ["ground_intact"]}},
        ("limits", "leak", "permitted", "up_to"),
    ),
    # The highest of several meets "at least" where the lowest does not.
    ("limit-shape-wrong", {"sense": "at least", "highest_of": ["polarity"]}, ("limits", "leak", "highest_of")),
    ("limit-condition-unknown", {"highest_of": ["polarty"]}, ("limits", "leak", "highest_of", 0)),
    ("limit-condition-unknown", {"when": {"earth": ["opened"]}}, ("limits", "leak", "when", "earth", 0)),
    ("limit-condition-unknown", {"unless": {"earth": ["opened"]}}, ("limits", "leak", "unless", "earth", 0)),
    ("limit-condition-unknown", {"when": {"load": ["200"]}}, ("limits", "leak", "when", "load", 0)),
    ("limit-condition-unknown", {"only": {"load": ["100 Ω", "200 W"]}}, ("limits", "leak", "only", "load", 1)),
    ("limit-condition-unknown", {"unless": {"load": ["200 ohms each"]}}, ("limits", "leak", "unless", "load", 0)),
    (
        "limit-condition-unknown",
        {"exempt": {"condition": "dial", "at_or_below_percent": "10", "of": "rated_output"}},
        ("limits", "leak", "exempt", "condition"),
    ),
    (
        "limit-condition-unknown",
        {"sense": "monotonic", "bound": None, "series_over": "dial"},
        ("limits", "leak", "series_over"),
    ),
]


@pytest.mark.parametrize(("rule", "changes", "path"), FAULTS, ids=lambda value: str(value)[:60])
def test_fault_stands_at_its_place(rule: str, changes: dict[str, Any], path: tuple[str | int, ...]) -> None:
    fault = only(rule, limit_set(_of_its_sense(changes)))
    assert (fault.file, fault.path) == (SET_FILE, path)


def _of_its_sense(changes: dict[str, Any]) -> dict[str, Any]:
    """The highest of a group speaks only under "at most", which is the sense of the limit that is changed here."""
    return ({"highest_of": []} if "sense" in changes else {}) | changes


SOUND: list[dict[str, Any]] = [
    {},
    {"clause": None, "kind": "common practice", "status": "common practice, no source"},
    {"clause": None, "kind": "exemplar"},
    {"clause": None, "kind": "own history"},
    {"clause": None, "kind": "organisation's policy"},
    {"clause": "page 12", "kind": "maker"},
    {"bound": {"kind": "fixed", "value": "0.3 mA"}},
    {"bound": {"kind": "current from power", "percent": "1", "of": "rated_output", "load": "200 Ω"}},
    {
        "bound": {
            "kind": "greatest",
            "among": [{"kind": "fixed", "value": "3 µA"}, {"kind": "percent", "percent": "15", "of": "setting"}],
        }
    },
    {"sense": "within", "around": "stated", "bound": {"kind": "percent", "percent": "20", "of": "stated"}},
    {"sense": "within", "around": "stated", "bound": {"kind": "fixed", "value": "0 µA"}},
    {"sense": "monotonic", "bound": None, "series_over": "setting"},
    {"sense": "between", "bound": None}
    | {"low": {"kind": "fixed", "value": "200 µA"}, "high": {"kind": "fixed", "value": "1 mA"}},
    {"permitted": {"up_to": "500 µA", "needs": ["ground_intact"]}},
    {"scale": "nominal mains"},
    {"strict": "yes"},
    {"when": {"load": ["0.2 kΩ"], "class": ["I"]}},
    {"only": {"kind of device": ["mobile x-ray generator"]}},
    {"exempt": {"condition": "setting", "at_or_below_percent": "10", "of": "rated_output"}},
    # A derived result has a quantity of its own.
    {"result": "linearity", "quantity": "ratio", "bound": {"kind": "fixed", "value": "20 %"}},
]


@pytest.mark.parametrize("changes", SOUND, ids=lambda value: str(value)[:60])
def test_sound_limit_is_kept(changes: dict[str, Any]) -> None:
    book, faults = build(limit_set(_of_its_sense(changes)))
    assert faults == ()
    assert "leak" in book.sets["ours"].limits


def test_scale_is_for_currents_only() -> None:
    resistance = {"quantity": "resistance", "unit": "mΩ", "units": []}
    changes = {"quantity": "resistance", "bound": {"kind": "fixed", "value": "0.2 Ω"}, "scale": "nominal mains"}
    fault = only("limit-quantity-differs", limit_set(changes), protocols=(protocol(resistance),))
    assert fault.path == ("limits", "leak", "scale")


def test_a_current_from_power_bounds_currents_only() -> None:
    resistance = {"quantity": "resistance", "unit": "mΩ", "units": []}
    bound = {"kind": "current from power", "percent": "1.5", "of": "rated_output", "load": "200 Ω"}
    fault = only(
        "limit-quantity-differs",
        limit_set({"quantity": "resistance", "bound": bound}),
        protocols=(protocol(resistance),),
    )
    assert fault.path == ("limits", "leak", "bound")


def test_what_lacks_is_added_and_what_is_too_much_taken_out() -> None:
    lacking = only("limit-shape-wrong", limit_set({"bound": None}))
    assert lacking.found == 'the sense "at most" has no "bound"' and lacking.mend == "Add bound to the limit."
    beyond = only("limit-shape-wrong", limit_set({"around": "stated"}))
    assert beyond.found == 'the sense "at most" has a "around"' and beyond.mend.startswith("Take it out")


def test_yes_or_no_wants_an_answer_and_a_number_wants_a_bound() -> None:
    answer = {"test": "stops", "quantity": "yes or no", "sense": "answer", "answer": "yes", "bound": None}
    bare = {"when": {}, "highest_of": []}
    assert build(limit_set(answer | bare))[1] == ()
    fault = only("limit-shape-wrong", limit_set(answer | bare | {"test": "leak", "quantity": "electric current"}))
    assert fault.path == ("limits", "leak", "sense")


def test_limit_that_cannot_decide_is_left_out_and_one_without_clause_stays() -> None:
    book, _ = build(limit_set({"bound": None}))
    assert book.sets["ours"].limits == {}
    book, _ = build(limit_set({"clause": None}))
    assert list(book.sets["ours"].limits) == ["leak"]


def test_all_faults_in_one_run() -> None:
    _, faults = build(limit_set({"clause": None, "highest_of": ["polarty"], "when": {"earth": ["opened"]}}))
    assert [fault.rule for fault in faults] == [
        "limit-clause-missing",
        "limit-condition-unknown",
        "limit-condition-unknown",
    ]


def test_missing_edition_of_the_set_is_said_at_the_set() -> None:
    fault = only("limit-clause-missing", limit_set(edition="unknown"))
    assert fault.path == ("edition",)


BY_THE_SETTING: list[tuple[dict[str, Any], tuple[str | int, ...]]] = [
    ({"sense": "within", "around": "setting", "bound": {"kind": "fixed", "value": "1 µA"}}, ("around",)),
    ({"bound": {"kind": "percent", "percent": "5", "of": "setting"}}, ("bound", "of")),
    (
        {
            "bound": {
                "kind": "sum",
                "terms": [
                    {"kind": "fixed", "value": "1 µA"},
                    {"kind": "greatest", "among": [{"kind": "percent", "percent": "5", "of": "setting"}]},
                ],
            }
        },
        ("bound", "terms", 1, "among", 0, "of"),
    ),
]


@pytest.mark.parametrize(("changes", "path"), BY_THE_SETTING, ids=["around", "percent", "within a sum"])
def test_a_bound_by_the_setting_needs_a_test_with_one(changes: dict[str, Any], path: tuple[str | int, ...]) -> None:
    """Under another name (`dial`) the readings would say nothing of the setting, and the limit never speak."""
    named = {name: column for name, column in TEST["conditions"].items() if name != "setting"}
    dial = {**named, "dial": {"title": "Setting", "unit": "W", "required": "no"}}
    whole = {"highest_of": None, **changes}
    assert build(limit_set(whole))[1] == ()
    fault = only("limit-condition-unknown", limit_set(whole), protocols=(protocol({"conditions": dial}),))
    assert fault.path == ("limits", "leak", *path) and '"dial"' in fault.needed
    # A characteristic of the device is told by its item, and by no protocol.
    if "around" in whole:
        rated = limit_set({**whole, "around": "rated_output"})
        assert build(rated, protocols=(protocol({"conditions": dial}),))[1] == ()


def test_a_unit_that_is_near_none_leads_to_those_there_are() -> None:
    """Ohms and their multiples are those of the list; the name of a quantity tells where the whole list stands."""
    bound = {"bound": {"kind": "fixed", "value": "300 furlongs"}}
    assert '"A", "mA", "uA" or "nA"' in only("limit-unit-unknown", limit_set(bound)).mend
    fault = only("protocol-unit-unknown", protocols=(protocol({"unit": "furlong", "units": []}),))
    assert '"A", "mA", "uA" or "nA"' in fault.mend
    column = {**TEST["conditions"], "load": {"title": "Load", "unit": "furlong", "required": "no"}}
    assert "page Formats" in only("protocol-unit-unknown", protocols=(protocol({"conditions": column}),)).mend
    _, faults = build(protocols=(protocol({"quantity": "zzzz"}),))
    assert ["page Formats" in one.mend for one in faults if one.rule == "protocol-unit-unknown"] == [True]


def test_a_name_that_is_near_none_leads_to_where_the_names_are() -> None:
    for changes, at in (({"cautions": ["zzzz"]}, "page Cautions"), ({"reaches": ["zzzz"]}, "--protocol NAME")):
        assert at in only("protocol-name-unknown", protocols=(protocol(changes),)).mend
    assert "--protocol NAME" in only("protocol-name-unknown", protocols=(protocol(order=["zzzz"]),)).mend


def test_near_words_are_offered() -> None:
    assert "leak" in only("limit-test-unknown", limit_set({"test": "leek"})).mend
    assert "uA" in only("limit-unit-unknown", limit_set({"bound": {"kind": "fixed", "value": "300 ua"}})).mend


PLAN_FAULTS: list[tuple[str, dict[str, Any], dict[str, Any], tuple[str | int, ...]]] = [
    ("protocol-includes-unknown", {}, {"includes": ["generik"]}, ("includes", 0)),
    ("protocol-name-unknown", {}, {"order": ["leak", "lick"]}, ("order", 1)),
    ("protocol-name-unknown", {}, {"cautions": ["carefull"]}, ("cautions", 0)),
    ("protocol-name-unknown", {"reaches": ["leak", "luck"]}, {}, ("tests", "leak", "reaches", 1)),
    ("protocol-name-unknown", {"cautions": ["careless"]}, {}, ("tests", "leak", "cautions", 0)),
    ("protocol-name-unknown", {"coverage": ["ground"]}, {}, ("tests", "leak", "coverage", 0)),
    (
        "protocol-name-unknown",
        {
            "conditions": {
                "earth": {"title": "Earth", "values": ["closed", "open"], "by_name": ["open", "opened"]},
                "polarity": {"title": "Polarity"},
            }
        },
        {},
        ("tests", "leak", "conditions", "earth", "by_name", 1),
    ),
    (
        "protocol-name-unknown",
        {
            "conditions": {
                "earth": {"title": "Earth", "values": ["closed", "open"], "unless": {"openn": {"class": ["II"]}}},
                "polarity": {"title": "Polarity"},
            }
        },
        {},
        ("tests", "leak", "conditions", "earth", "unless", "openn"),
    ),
    (
        "protocol-condition-reserved",
        {
            "conditions": {"earth": {"title": "Earth"}, "polarity": {"title": "Polarity"}, "unit": {"title": "Device"}},
            "coverage": ["earth", "unit"],
        },
        {},
        ("tests", "leak", "coverage", 1),
    ),
    ("protocol-unit-unknown", {"units": ["milliamps"]}, {}, ("tests", "leak", "units", 0)),
    ("protocol-unit-unknown", {"units": ["mΩ"]}, {}, ("tests", "leak", "units", 0)),
    ("protocol-unit-unknown", {"answer": "yes or no"}, {}, ("tests", "leak", "quantity")),
    (
        "protocol-unit-unknown",
        {
            "conditions": {
                "earth": {"title": "Earth"},
                "polarity": {"title": "Polarity"},
                "load": {"title": "Load", "unit": "ohmm"},
            }
        },
        {},
        ("tests", "leak", "conditions", "load", "unit"),
    ),
]


@pytest.mark.parametrize(("rule", "test", "head", "path"), PLAN_FAULTS, ids=lambda value: str(value)[:60])
def test_fault_of_a_protocol_stands_at_its_place(
    rule: str, test: dict[str, Any], head: dict[str, Any], path: tuple[str | int, ...]
) -> None:
    # A limit that its test no longer suits is a fault of its own, and not what is asked here.
    _, faults = build(limit_set({"when": {}}), protocols=(protocol(test, **head),))
    fault = the_fault(tuple(one for one in faults if one.rule.startswith("protocol-")))
    assert (fault.rule, fault.path) == (rule, path)


def test_quantity_of_a_test_is_of_the_list() -> None:
    _, faults = build(protocols=(protocol({"quantity": "leakage"}),))
    assert {(fault.rule, fault.path) for fault in faults} == {
        ("protocol-unit-unknown", ("tests", "leak", "quantity")),
        ("limit-quantity-differs", ("limits", "leak", "quantity")),
    }


def test_test_without_a_known_unit_is_left_out_of_the_book() -> None:
    book, faults = build(protocols=(protocol({"unit": "uAmp"}),))
    assert "leak" not in book.protocols["bench"].tests
    assert [fault.path for fault in faults] == [("tests", "leak", "unit")]


def test_protocols_stand_once_and_not_in_a_circle() -> None:
    only("protocol-twice", protocols=(protocol(), protocol()))
    one = protocol(includes=["other"])
    two = protocol(protocol="other", includes=["bench"], tests={}, order=[])
    _, faults = build(protocols=(one, two))
    assert [fault.rule for fault in faults] == ["protocol-includes-circle"] * 2


def test_test_has_one_meaning_in_reach() -> None:
    other = protocol(protocol="other")
    # Side by side they may share a name; a plan chooses between them.
    assert build(protocols=(protocol(), other))[1] == ()
    _, faults = build(protocols=(protocol(includes=["other"]), other))
    assert {(fault.rule, fault.path) for fault in faults} == {
        ("protocol-test-twice", ("tests", "leak")),
        ("protocol-test-twice", ("tests", "stops")),
    }


def test_every_rule_has_an_entry_and_every_entry_a_test() -> None:
    tested = {rule for rule, *_ in FAULTS} | {rule for rule, *_ in PLAN_FAULTS}
    tested |= {"protocol-twice", "protocol-includes-circle", "protocol-test-twice"}
    # These are tested with the book.
    tested |= {"limit-set-twice", "limit-extends-unknown", "limit-extends-circle"}
    tested |= {"limit-loosened", "limit-confirmed-by-nobody"}
    # This with the starter lists, and these with the reporting duties.
    tested |= {"starter-twice"}
    tested |= {"reporting-set-twice", "reporting-duty-twice", "reporting-clock-never-chosen"}
    tested |= {"reporting-count-beyond"}
    # And these with the lists of words.
    tested |= {"word-list-unknown", "word-list-closed", "word-entry-twice", "word-phrase-unreadable"}
    tested |= {"word-example-wrong", "word-allowance-too-wide"}
    assert {entry.name for entry in ENTRIES} == tested
    assert all(entry.source and entry.status and entry.mend and not entry.liftable for entry in ENTRIES)
