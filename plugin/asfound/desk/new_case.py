"""The first files of a case, from the answers of the first hour: commented, each with the line for its schema.

The same answers give the same bytes. Times, roles and words are answers; nothing is taken from a clock or made up.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from asfound.desk.refused import Refused
from asfound.desk.yaml_text import Plain, block
from asfound.intake import read_record, read_yaml
from asfound.model.base import Record
from asfound.model.event import CaseHead
from asfound.model.things import Item, ItemRole
from asfound.model.work import Gates
from asfound.problems import Problem

_LONGEST = 40


class InUse(Struct, frozen=True):
    """A thing that was in use at the event; `why_not` where it was not impounded."""

    what: str
    role: ItemRole
    why_not: str = ""


class Answers(Struct, frozen=True):
    """What is asked in the first hour. Empty texts: not known yet, and then nothing is written of it."""

    case: str
    title: str
    device_kind: str
    event_kind: str
    harmed: str
    told_at: str
    time_source: str
    where: str
    account: str
    safe_at: str = ""
    safe_by: str = ""
    safe_how: str = ""
    in_use: tuple[InUse, ...] = ()
    collected_by: str = ""
    collected_at: str = ""
    asked_by: str = ""
    asked_at: str = ""
    asked_how: str = ""
    examiner: str = ""
    jurisdiction: tuple[str, ...] = ()
    outcome_class: str = ""
    aware_at: str = ""


def identity(told_at: str, device_kind: str) -> str:
    """An identity made of the day of the event and the kind of device: `2026-05-04-syringe-pump`."""
    day = told_at[:10]
    return re.sub(r"[^a-z0-9]+", "-", f"{day}-{device_kind}".lower()).strip("-")[:_LONGEST].strip("-")


def new_case(answers: Answers, lines: Mapping[str, str]) -> dict[str, str]:
    """The texts of the new files by name, case.yml last. `lines` are the first lines, by name of the file.

    Raises Refused with every problem where an answer cannot be read as it should.
    """
    made = {"items.yml": _items(answers), "gates.yml": _gates(answers), "case.yml": _head(answers)}
    texts = {name: f"{lines[name]}\n{text}" for name, text in made.items() if text}
    problems: list[Problem] = []
    for name, text in texts.items():
        document = read_yaml(name, text.encode())
        problems += document.problems
        if not document.readable or document.data is None:
            continue
        kinds: dict[str, type[Record]] = {"case.yml": CaseHead, "gates.yml": Gates}
        if name in kinds:
            problems += read_record(kinds[name], document)[1]
        else:
            for ref in map(str, document.data):
                problems += read_record(Item, document, (ref,), ref)[1]
    if problems:
        raise Refused("an answer cannot be written down as it is", problems=problems)
    return texts


_Field = tuple[str, str, Plain]
"""What a comment says of it, its name, its value; a value that is empty is left out, with its comment."""


def _text(fields: Sequence[_Field]) -> str:
    out: list[str] = []
    for said, name, value in fields:
        if not value:
            continue
        out += [f"# {line}" for line in said.splitlines()]
        try:
            out += block(name, value, 0, 2)
        except ValueError as error:
            raise Refused(f"{name} cannot be written: {error}") from None
    return "".join(f"{line}\n" for line in out)


def _head(answers: Answers) -> str:
    asked: dict[str, Plain] = {"by": answers.asked_by, "at": answers.asked_at, "how": answers.asked_how}
    event: dict[str, Plain] = {
        "kind": answers.event_kind, "told_at": answers.told_at, "time_source": answers.time_source,
        "where": answers.where, "account": answers.account,
    }  # fmt: skip
    if answers.aware_at:
        event["aware_at"] = answers.aware_at
    text = _text(
        (
            ("Its identity for ever: small letters, digits, hyphens.", "case", answers.case),
            ("", "title", answers.title),
            ("open: what is missing is listed and not refused. in review, once it is ready to be cross-examined.",
             "stage", "open"),
            ("Protocols are chosen by it: asfound plan.", "device_kind", answers.device_kind),
            ("As it was told, before anyone explained it; no opinion.", "event", event),
            ("patient, staff, visitor or none.", "harmed", answers.harmed),
            ("As a clinician tells it; reporting clocks go by it.", "outcome_class", answers.outcome_class),
            ("Whose reporting clocks run: see the page Reporting.", "jurisdiction", list(answers.jurisdiction)),
            ("Roles, never names.", "people", {role: {"title": role.replace("-", " ")} for role in _roles(answers)}),
            ("", "examiner", answers.examiner),
            ("Who asked for the examination. Who allowed it goes under authority, with how it was said.",
             "asked", asked if answers.asked_by else {}),
        )
    )  # fmt: skip
    return text + _NEXT.format(case=answers.case)


_NEXT = """\
# What to do next, in this order; asfound check says what is still needed.
#   Pictures of the whole, of the middle and close, before anything is moved:
#     asfound evidence add DCIM/*.JPG --case {case} --as-found --by ROLE
#   Settings, connections and what loses its memory without power: scene.yml
#   Every hand-over, with seals: custody.csv
#   The plan, before the first reading: asfound plan {case}
"""


def _roles(answers: Answers) -> Iterator[str]:
    given = (answers.examiner, answers.asked_by, answers.safe_by, answers.collected_by)
    yield from dict.fromkeys(role for role in given if role)


def _items(answers: Answers) -> str:
    fields: list[_Field] = []
    for number, thing in enumerate(answers.in_use, start=1):
        record: dict[str, Plain] = {"what": thing.what, "role": str(thing.role), "in_use_at_event": "yes"}
        record["impounded"] = "no" if thing.why_not else "yes"
        if thing.why_not:
            record["why_not_impounded"] = thing.why_not
        else:
            if answers.collected_by:
                record["collected_by"] = answers.collected_by
            if answers.collected_at:
                record["collected_at"] = answers.collected_at
        fields.append(("", f"I-{number}", record))
    if not fields:
        return ""
    return (
        "# Everything that was in use at the event, whether it could be had or not. To be added when they are known:\n"
        "# maker and model (under an alias), serial or lot, condition_on_collection, characteristics, stated values.\n"
        + _text(fields)
    )


def _gates(answers: Answers) -> str:
    if not answers.safe_at:
        return ""
    gate: dict[str, Plain] = {"gate": "made safe", "at": answers.safe_at, "by": answers.safe_by}
    if answers.safe_how:
        gate["note"] = answers.safe_how
    return (
        "# Dated facts that allow the next step, written as they happen and never changed to fit: asfound gate.\n"
        + _text([("", "gates", {"G-1": gate})])
    )
