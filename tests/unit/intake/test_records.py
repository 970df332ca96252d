"""One record at a time: each slip is told by its rule, at its line and column, with words that help."""

from __future__ import annotations

from typing import Any

import pytest

from asfound.intake import read_partial, read_record, read_yaml
from asfound.model.base import Record
from asfound.model.bench import Instrument, Settings
from asfound.model.event import CaseHead
from asfound.model.limits import Limit
from asfound.model.reasoning import Explanation
from asfound.model.testimony import Clock, Evidence
from asfound.model.things import Connection, Item, RoomPoint, Scene, ServiceEvent
from asfound.model.work import Gate, Plan, Sheet
from tests.unit.intake.places import rows

ITEM = "what: pad\nrole: cable\nin_use_at_event: yes\nimpounded: yes\n"
GATE = "gate: sealed\nat: 2026-03-09 15:12 -05:00\nby: examiner\n"
SHEET = "test: flow\nitem: I-1\n"
LIMIT = "title: t\ntest: output-power\nquantity: power\nsense: at most\nkind: maker\nstatus: confirmed\n"

# model, text, (rule, line, column), a piece of what is said
SLIPS: list[tuple[type[Record], str, tuple[str, int, int], str]] = [
    # Fields
    (Item, "what: pad\nrole: cable\nin_use_at_event: yes\n", ("field-missing", 1, 1), "there is no “impounded” here"),
    (Item, ITEM + "serail: 5\n", ("field-unknown", 5, 1), "“serial” is perhaps meant"),
    (Item, ITEM + "colour: red\n", ("field-unknown", 5, 1), "a known field is needed"),
    (Item, ITEM + "last_maintenance:\n  by: shop\n", ("field-missing", 5, 1), "there is no “result” here"),
    (Item, ITEM + "stated:\n- quantity: q\n  value: 3 W\n", ("field-missing", 6, 3), "there is no “source” here"),
    # A comma between braces ends a text, for YAML; what follows is a name with nothing behind it.
    (Connection, "{from: I-1, to: I-2, by: plug, locked}\n", ("field-unknown", 1, 32), "text with a comma between { }"),
    (Connection, "from_: I-1\nfrom: I-2\nto: I-3\n", ("field-unknown", 1, 1), "“from_” is not known"),
    (Sheet, "", ("shape-wrong", 0, 0), "nothing stands here; a mapping of fields is needed"),
    # Shapes
    (Item, "- what: pad\n", ("shape-wrong", 1, 1), "a list stands here; a mapping of fields"),
    (Item, "pad\n", ("shape-wrong", 1, 1), "found “pad”; a mapping of fields"),
    (Item, ITEM + "names: pad\n", ("shape-wrong", 5, 8), "Write it in square brackets: [pad]."),
    (Item, ITEM + "names:\n", ("shape-wrong", 5, 7), "nothing stands here; a list is needed"),
    (Item, ITEM + "names:\n- [a]\n", ("shape-wrong", 6, 3), "a list stands here; a text is needed"),
    # Lists of records: what an entry holds at the least is shown, whatever stands there instead.
    (
        Sheet,
        "checks: {what: leads nulled, at: 2026-03-09 15:12 Z, ok: yes}\n",
        ("shape-wrong", 1, 9),
        "a mapping stands here; a list is needed. Write each entry on a line of its own, as in "
        "- {what: …, at: …, ok: yes}.",
    ),
    (Sheet, "checks: leads nulled\n", ("shape-wrong", 1, 9), "as in - {what: …, at: …, ok: yes}."),
    (Sheet, "checks: [leads nulled]\n", ("shape-wrong", 1, 10), "with its fields, as in - {what: …, at: …, ok: yes}."),
    (Sheet, "checks:\n", ("shape-wrong", 1, 8), "Take the line out if there is nothing to say."),
    (Explanation, "needs: {claim: c}\n", ("shape-wrong", 1, 8), "as in - {claim: …}."),
    (Clock, "comparisons:\n  C-1: {at: x}\n", ("shape-wrong", 1, 1), "{at: …, reference: …, offset: …, doubt: …}."),
    (Item, ITEM + "characteristics: class I\n", ("shape-wrong", 5, 18), "a mapping is needed"),
    (Item, ITEM + "last_maintenance: May\n", ("shape-wrong", 5, 19), "a mapping of fields is needed"),
    (Item, ITEM + "note: [R-output-2]\n", ("shape-wrong", 5, 7), "Put quotation marks around"),
    (Item, ITEM + "lot: [a, b]\n", ("shape-wrong", 5, 6), "a list stands here"),
    (Limit, LIMIT + "bound: 3 W\n", ("shape-wrong", 7, 8), "a mapping of fields is needed"),
    (Limit, LIMIT + "when:\n  mode: cut\n", ("shape-wrong", 8, 9), "[cut]"),
    # Words
    (Item, ITEM.replace("cable", "main"), ("word-unknown", 2, 7), "The list is: main device, accessory"),
    (Item, ITEM.replace("cable", "Cabel"), ("word-unknown", 2, 7), "Write “cable” if that is meant"),
    (Item, ITEM + "biohazard: perhaps\n", ("word-unknown", 5, 12), "yes, no, not known"),
    (Gate, GATE.replace("sealed", "[sealed]"), ("word-unknown", 1, 7), "a list stands here"),
    (Limit, LIMIT + "bound: {kind: fix, value: 3 W}\n", ("word-unknown", 7, 15), "fixed, percent, current from power"),
    (Limit, LIMIT + "bound: {value: 3 W}\n", ("field-missing", 7, 8), "there is no “kind” here"),
    (Limit, LIMIT + "bound: {kind: percent, percent: 3}\n", ("field-missing", 7, 8), "there is no “of” here"),
    (Limit, LIMIT + "bound: {kind: percent, percent: x, of: y}\n", ("value-not-a-number", 7, 33), "a decimal number"),
    (Limit, LIMIT + "bound: {kind: percent, percent: 3, of: y, off: z}\n", ("field-unknown", 7, 43), "“off”"),
    (
        Limit,
        LIMIT + "bound:\n  kind: greatest\n  among:\n  - kind: fixed\n    value: 3\n",
        ("amount-without-unit", 11, 12),
        "Write the unit after the number, as in 3 W.",
    ),
    (Limit, LIMIT.replace("maker", "organisations policy"), ("word-unknown", 5, 7), "organisation's policy"),
    # Ids, keys
    (Item, ITEM + "part_of: i-3\n", ("id-malformed", 5, 10), "Write I-3, if that is meant."),
    (Item, ITEM + "part_of: the generator\n", ("id-malformed", 5, 10), "found “the generator”"),
    (RoomPoint, "what: x\nkind: y\nitems: [I-1, 'I 2']\n", ("id-malformed", 3, 14), "Write I-2, if that is meant."),
    (Gate, GATE.replace("examiner", "Dr X"), ("word-malformed", 3, 5), "Write dr-x, if that is meant."),
    (CaseHead, "case: Case 7\n", ("word-malformed", 1, 7), "Write case-7, if that is meant."),
    (Scene, "settings:\n  one: {item: I-1, control: c, value: v}\n", ("id-malformed", 2, 3), "found “one”"),
    (CaseHead, "people:\n  Dr X:\n    title: t\n", ("word-malformed", 2, 3), "found “Dr X”"),
    (Plan, "tests:\n  Output power: {item: I-1, why: w}\n", ("word-malformed", 2, 3), "Write output-power"),
    (Item, ITEM + "part_of: [I-3]\n", ("shape-wrong", 5, 10), "Without brackets and hyphen, I-3, where one is meant."),
    (
        Scene,
        "settings:\n- {item: I-1, control: c, value: v}\n",
        ("shape-wrong", 1, 1),
        "a name of its own, an id where it is a record (A-1:)",
    ),
    # Values
    (Item, ITEM + "kit: ''\n", ("value-blank", 5, 6), "nothing stands here; a text is needed"),
    (Item, ITEM.replace("pad", ""), ("value-blank", 1, 6), "nothing stands here"),
    (Item, ITEM + "single_use: maybe\n", ("not-yes-or-no", 5, 13), "Write yes or no."),
    (Item, ITEM + "single_use:\n", ("not-yes-or-no", 5, 12), "nothing stands here"),
    (Item, ITEM + "collected_at: yesterday\n", ("time-unreadable", 5, 15), "a date, time and zone"),
    (Item, ITEM + "collected_at: 2026-03-09 15:12\n", ("time-without-zone", 5, 15), "offset from UTC"),
    (Item, ITEM + "collected_at: 2026-02-30 15:12 Z\n", ("time-unreadable", 5, 15), "a date that exists"),
    (Item, ITEM + "collected_at: 0026-03-09 15:12 Z\n", ("time-unreadable", 5, 15), "from 1900 to 2199"),
    (Item, ITEM + "collected_at: 03/09/2026 3:12 PM\n", ("time-unreadable", 5, 15), "2026-03-09 15:12 -05:00"),
    (ServiceEvent, "items: []\nkind: k\non: 3.9.2026\nby: b\nresult: r\n", ("date-unreadable", 3, 5), "2026-03-09"),
    (ServiceEvent, "items: []\nkind: k\non: 2026-02-29\nby: b\nresult: r\n", ("date-unreadable", 3, 5), "exists"),
    (Clock, "what: w\nresolution: 1s\n", ("amount-unreadable", 2, 13), "a number and its unit"),
    (Clock, "what: w\nresolution: 1\n", ("amount-without-unit", 2, 13), "1 W"),
    (Clock, "what: w\nresolution: [1 s]\n", ("amount-unreadable", 2, 13), "a list stands here"),
    (
        Clock,
        "what: w\ncomparisons:\n- {at: 2026-03-09 15:12 Z, reference: r, offset: '5:30', doubt: 1 s}\n",
        ("duration-unreadable", 3, 50),
        "40 min",
    ),
    (Settings, "low_range_share: 0,1\n", ("value-not-a-number", 1, 18), "decimal"),
    (Settings, "repeats_wanted: 2.5\n", ("value-not-a-number", 1, 17), "a whole number is needed"),
    (Settings, "two_person_shop: perhaps\n", ("not-yes-or-no", 1, 18), "yes or no is needed"),
    (Item, ITEM + "serial: {}\n", ("reason-not-single", 5, 9), "Write the text itself, where there is one"),
    (Sheet, SHEET + "repeats_of: [S-a, S-b]\n", ("shape-wrong", 3, 13), "not a list of 2"),
    (
        Item,
        ITEM + "serial:\n  not_known: a\n  not_recorded: b\n",
        ("reason-not-single", 5, 1),
        "2 reasons stand here: not_recorded, not_known",
    ),
    (Item, ITEM + "serial: {not_recorded: }\n", ("reason-not-single", 5, 9), "no reason stands here"),
    (Item, ITEM + "serial: {reason: worn off}\n", ("field-unknown", 5, 10), "not_recorded"),
    (Item, ITEM + "serial: {text: worn off}\n", ("field-unknown", 5, 10), "“text” is not known"),
    (Item, ITEM + "serial: {not_recorded: [a]}\n", ("shape-wrong", 5, 24), "a text is needed"),
    (Item, ITEM + "serial: {not_recorded: ' '}\n", ("value-blank", 5, 24), "a text is needed"),
    (Explanation, "explanation: e\nline: device\nstatus: proven\n", ("word-unknown", 3, 9), "supported, weakened"),
    (
        Evidence,
        "sha256: x\nkind: log\nshows: s\nkept_elsewhere: {keeper: k, place: p, size: s, why: w, where: h}\n",
        ("field-unknown", 4, 56),
        "“where” is not known",
    ),
    (
        Instrument,
        "what: w\nserial: s\nfunctions:\n  f:\n    quantity: q\n    ranges:\n    - {from: 0 W, to: 5 W, accuracy: {}}\n",  # noqa: E501
        ("field-missing", 7, 7),
        "there is no “resolution” here",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("model", "text", "where", "said"), SLIPS)
def test_a_slip_is_told_where_it_stands(model: type[Record], text: str, where: tuple[str, int, int], said: str) -> None:
    record, problems = read_record(model, read_yaml("a.yml", text.encode()), subject="I-9")
    assert record is None
    assert where in rows(problems)
    (problem,) = [one for one, row in zip(problems, rows(problems), strict=True) if row == where]
    assert said in f"{problem.headline()} {problem.mend}"
    assert problem.subject == "I-9"
    # Only what is missing besides may be told besides: these texts have no second slip.
    assert {row[0] for row in rows(problems) if row != where} <= {"field-missing"}


def test_a_message_reads_as_one_line() -> None:
    _, problems = read_record(Item, read_yaml("cases/a/items.yml", (ITEM + "biohazard: perhaps\n").encode()))
    assert [problem.headline() for problem in problems] == [
        "cases/a/items.yml:5:12 reject word-unknown — found “perhaps”; one of these is needed: yes, no, not known."
    ]


def test_the_description_of_a_missing_field_is_told() -> None:
    _, problems = read_record(CaseHead, read_yaml("case.yml", b"case: a\nevent: {kind: fire}\n"))
    (told,) = [problem for problem in problems if "“told_at”" in problem.found]
    assert told.mend == "Add a line “told_at: …”; it says: when it happened, as told."


def test_a_sound_record_is_built_with_what_was_typed() -> None:
    text = ITEM + "serial: 0012\nlot: {not_recorded: worn off}\nexpiry: NO\nowner: 12:30\n"
    record, problems = read_record(Item, read_yaml("a.yml", text.encode()))
    assert not problems and record is not None
    # YAML 1.1 makes these 10, false and 750 (its sections on !!int, !!bool and sexagesimals).
    assert (record.serial, record.expiry, record.owner) == ("0012", "NO", "12:30")


def test_what_the_reader_of_the_file_refused_is_not_told_twice() -> None:
    document = read_yaml("a.yml", b"what: &a pad\nrole: cable\nin_use_at_event: yes\nimpounded: yes\nkit: *a\n")
    assert {problem.rule for problem in document.problems} == {"yaml-anchor-or-alias"}
    record, problems = read_record(Item, document)
    assert record is not None and record.kit is None and not problems
    document = read_yaml("a.yml", b"kit: &a pad\nwhat: *a\nrole: cable\nin_use_at_event: yes\nimpounded: yes\n")
    record, problems = read_record(Item, document)
    assert record is None and problems == ()


def test_a_record_below_a_key_has_its_places() -> None:
    text = "I-1:\n  what: pad\nI-2:\n  what: lead\n  role: cable\n  in_use_at_event: yes\n  impounded: x\n"
    document = read_yaml("items.yml", text.encode())
    _, first = read_record(Item, document, ("I-1",), "I-1")
    _, second = read_record(Item, document, ("I-2",), "I-2")
    assert set(rows(first)) == {("field-missing", 1, 1)} and len(first) == 3
    assert rows(second) == [("not-yes-or-no", 7, 14)]


HEAD = """\
case: a-1
title: t
event:
  kind: fire
  told_at: 2026-03-09 15:12 Z
  time_source: c
  where: w
  account: a
harmed: none
"""
KEEP = frozenset(("case", "title", "event", "harmed", "stage"))

PARTIAL: list[tuple[str, tuple[tuple[str | int, ...], ...] | None]] = [
    ("", ()),
    ("$schema: x.json\n", ()),
    ("severity: bad\n", (("severity",),)),
    ("severity: bad\nexaminer: Dr X\n", (("severity",), ("examiner",))),
    ("people:\n  a: {title: e}\n  Dr X: {title: x}\n  b: {}\n", (("people", "Dr X"), ("people", "b"))),
    ("colour: red\n", (("colour",),)),
    ("asked: {by: a, at: 2026, how: letter}\n", (("asked",),)),
    ("authority: {by: a, at: 2026-03-09 15:12 Z, how: spoken, confirmed_at: x}\n", (("authority", "confirmed_at"),)),
    ("asked_for:\n- {what: w, of: o, at: 2026-03-09, answer: a}\n- what: w\n", (("asked_for",),)),
    ("outcome: {not_known: a, not_recorded: b}\n", (("outcome",),)),
    ("stage: closed\n", None),
]  # fmt: skip


@pytest.mark.parametrize(("more", "dropped"), PARTIAL)
def test_what_cannot_be_read_is_left_out_as_far_as_the_rest_can_stand(more: str, dropped: Any) -> None:
    partial = read_partial(CaseHead, read_yaml("case.yml", (HEAD + more).encode()), KEEP)
    if dropped is None:
        assert partial.record is None and partial.problems
        return
    assert partial.record is not None and partial.record.case == "a-1"
    assert set(partial.dropped) == set(dropped)
    assert bool(partial.problems) is bool(dropped)


def test_a_fault_in_the_event_itself_leaves_no_head_but_one_in_its_extras_does() -> None:
    broken = HEAD.replace("kind: fire", "kind: flood")
    assert read_partial(CaseHead, read_yaml("case.yml", broken.encode()), KEEP).record is None
    extra = HEAD.replace("  where: w\n", "  where: w\n  aware_at: noon\n")
    partial = read_partial(CaseHead, read_yaml("case.yml", extra.encode()), KEEP)
    assert partial.record is not None and partial.record.event.aware_at is None
    assert partial.dropped == (("event", "aware_at"),)
    assert rows(partial.problems) == [("time-unreadable", 8, 13)]
