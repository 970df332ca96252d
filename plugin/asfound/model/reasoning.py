"""What is concluded and on what it rests: findings, explanations, conclusion, exceptions, duties."""

from __future__ import annotations

from enum import StrEnum
from typing import Literal

from pydantic import Field

from asfound.model.base import (
    Day,
    Moment,
    Prose,
    Record,
    Ref,
    Refs,
    Role,
    Slug,
    TestName,
    Text,
    Told,
    YesNo,
    YesNoUnknown,
)


class Finding(Record):
    """A fact, resting on records; findings.yml, keyed F-..."""

    text: Prose
    about: Refs
    """Items the finding is about."""
    rests_on: Refs
    """Readings, derived results, inspection rows, photographs, statements, logs."""
    note: Prose | None = None


class Line(StrEnum):
    """Where an explanation looks for the cause."""

    DEVICE = "device"
    ACCESSORY = "accessory or consumable"
    USE = "use"
    SET_UP = "set-up or maintenance"
    ROOM = "room and supply"
    OTHER_DEVICE = "other device"
    PATIENT = "patient or procedure effect"
    NOT_DEVICE = "not a device-made injury"
    UNKNOWN = "unknown"


class Status(StrEnum):
    """How an explanation stands."""

    SUPPORTED = "supported"
    WEAKENED = "weakened"
    RULED_OUT = "ruled out"
    NOT_TESTED = "not tested"
    UNDETERMINED = "undetermined"
    REFERRED = "referred to clinician"


class Need(Record):
    """Something that would have to be true for the explanation to hold."""

    claim: Text
    topic: Slug | None = None
    """What a test must be able to reach to speak to this; without it, the explanation's topic."""
    tested_by: tuple[TestName, ...] = ()
    """Planned tests able to see it."""
    shown_by: Refs = ()
    """Findings and results each of which shows it by itself. What only shows it together is two needs."""
    shown_false_by: Refs = ()
    """Findings and results each of which shows by itself that it is not so."""
    detects: Text | None = None
    """The smallest departure that what looked for it would have seen. Without it nothing is ruled out."""


class Literature(Record):
    """A publication an explanation leans on. It is no test of these things."""

    source: Text
    says: Prose
    conditions: Prose | None = None
    """How the conditions there match those of the event, and where they do not."""


class Explanation(Record):
    """A rival explanation; explanations.yml, keyed X-..."""

    explanation: Text
    line: Line
    explains: Literal["mechanism", "reason"] = "mechanism"
    """How it happened, or why it came to be so. Only explanations of the same are rivals."""
    starters: tuple[Slug, ...] = ()
    """The lines of starter lists it takes up; one whose topic it has is taken up as well."""
    items: Refs = ()
    """The items it depends on, beyond those its evidence is about."""
    topic: Slug | None = None
    """What a test must be able to reach to speak to this: a key of the protocols' `reaches`."""
    mechanism: Prose | None = None
    needs: tuple[Need, ...] = ()
    would_show: Prose | None = None
    reached_by: tuple[TestName, ...] = ()
    """Planned tests that can speak to it."""
    supports: Refs = ()
    """Findings and results for it."""
    contradicts: Refs = ()
    """Findings and results against it."""
    answer: Prose | None = None
    """What is said to contradictions."""
    status: Status
    why: Prose | None = None
    not_in_play: Told | None = None
    """Why this line was set aside without a test; cites the record that shows it."""
    arithmetic: Refs = ()
    """Derived results and findings that carry the arithmetic of dose: heat, current, flow, energy."""
    not_computable: Told | None = None
    """Why that arithmetic cannot be done."""
    literature: tuple[Literature, ...] = ()
    not_tested: Told | None = None


class ConfidenceLevel(StrEnum):
    """How strongly a conclusion is held; words with fixed meanings."""

    ESTABLISHED = "established"
    PROBABLE = "probable"
    POSSIBLE = "possible"
    UNDETERMINED = "undetermined"


class Opinion(Record):
    """One part of the conclusion."""

    text: Prose
    level: ConfidenceLevel
    rests_on: Refs = ()
    explanations: Refs = ()
    """The explanations it names: one, or several that act together. None for *undetermined*."""


class Carried(Record):
    """A strongest fact for the first page."""

    text: Prose
    rests_on: Refs


class OpenPoint(Record):
    """Something that stays open."""

    text: Prose
    rests_on: Refs = ()


class Undetermined(Record):
    """What an *undetermined* must list."""

    tried: tuple[Text, ...] = ()
    missing: tuple[Text, ...] = ()
    would_settle: tuple[Text, ...] = ()


class Conclusion(Record):
    """conclusion.yml: mechanism (how it happened) and reason (why it came to be so) kept apart."""

    by: Role
    mechanism: Opinion
    reason: Opinion
    carried_by: tuple[Carried, ...] = ()
    stays_open: tuple[OpenPoint, ...] = ()
    limits_of_work: Prose | None = None
    alternatives: Refs = ()
    """Explanations left open."""
    would_settle: Prose | None = None
    undetermined: Undetermined | None = None
    no_problem_found: YesNo = False
    """Whether the report says that no fault was found."""
    use_reviewed: dict[str, Text] = {}
    """Where use is in question: what was looked at in display, label, training, alarm, layout."""


class ExceptionRecord(Record):
    """A reject lifted on purpose; exceptions.yml, keyed Q-..."""

    rule: Slug
    subject: Ref | None = None
    """The record it concerns; without it, the case as a whole."""
    by: Role
    at: Moment
    why: Prose
    effect: Prose
    """Effect on the conclusion."""


class Recipient(StrEnum):
    """Whom a report is for."""

    AGENCY = "agency"
    """The authority for medical devices."""
    MAKER = "maker"
    LABOUR = "labour safety authority"


class Duty(Record):
    """A reporting duty: the decision, its reasons, what was sent; duties.yml, keyed D-...

    The due date is computed. No report that is handed over prints this record.
    """

    duty: Slug
    """Name of the duty on the page of reporting duties."""
    decision: Text
    reasons: Prose
    by: Role
    at: Moment
    report: YesNo | None = None
    """Whether the decision is to report."""
    class_: Text | None = Field(default=None, alias="class")
    """Which of the duty's time limits applies, where the duty leaves it to this record."""
    manufacturer_informed_at: Moment | None = None
    """When the manufacturer was informed, where that starts a clock of the manufacturer's."""
    due: Day | None = None
    """A due date somebody wrote down; it is compared with the one computed."""
    sent_at: Moment | None = None
    to: Text | None = None
    """To whom, in words."""
    sent_to: tuple[Recipient, ...] = ()
    """To whom, in the words of the duty."""
    device_available: Told | None = None
    """What the report says of the device: whether it can be evaluated."""
    device_returned: Told | None = None
    """What the report says of the device: whether it went back to the maker, and on which date."""
    codes: dict[Text, Text] = {}
    """Codes of adverse events that whoever reports chose: the code, and its term as the list has it."""
    keep_until: Day | None = None
    """Until when the file of the event is kept, at the least."""
    evidence: Refs = ()


class Answer(StrEnum):
    """What came back on a notice."""

    CONSENTS = "consents"
    DOES_NOT_OBJECT = "does not object"
    DECLINES = "declines to attend"
    OBJECTS = "objects"
    NO_ANSWER = "no answer"
    GONE = "gone"
    """The party no longer exists, and nobody stands for it."""


class Release(Record):
    """On what terms a thing goes to a party."""

    by_counsel: YesNo
    """Whether it goes through counsel."""
    procedure: Refs = ()
    """The procedure by which the party will examine it."""
    right_to_attend: YesNo
    copy_of_results: YesNo


class HoldBack(Record):
    """What is to be held back from use until the hazard is understood."""

    lots: tuple[Text, ...] = ()
    """Lots of a consumable or an accessory, as their label reads."""
    models: tuple[Text, ...] = ()
    """Models, in the words of items.yml."""
    items: Refs = ()
    """Things of this case whose kind is meant."""
    sister_units: tuple[Text, ...] = ()
    """Other units of the same kind, by serial number or place."""
    until: Told | None = None
    """Until when, or until what is known."""


class Notice(Record):
    """A notice to a party, or an urgent warning; notices.yml, keyed N-..."""

    to: Text
    parties: tuple[Text, ...] = ()
    """The parties in interest it speaks to, as under `party` in case.yml."""
    from_counsel: YesNo = False
    """Whether it is counsel's letter stating that these parties were told; it then stands for a notice to each."""
    what: Prose
    sent_at: Moment
    examination_at: Moment | None = None
    """When the examination it announces is to begin."""
    reply_by: Moment | None = None
    reply: Told | None = None
    answer: Answer | None = None
    """The reply in a word."""
    answered_at: Moment | None = None
    consents_to: Refs = ()
    release: Release | None = None
    """For a thing that goes to a party: the terms. `concerns` names the thing or the custody line."""
    evidence: Refs = ()
    urgent: YesNo = False
    still_at_risk: YesNoUnknown | None = None
    hold: HoldBack | None = None
    """For an urgent warning: what is to be held back from use."""
    concerns: Ref | None = None
