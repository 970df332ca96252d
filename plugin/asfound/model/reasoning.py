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
    """The finding: fact only, no opinion."""
    about: Refs
    """Items the finding is about."""
    rests_on: Refs
    """Readings, derived results, inspection rows, photographs, statements, logs."""
    note: Prose | None = None
    """What else is to be said of it."""


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
    """What would have to be true."""
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
    """Where it was published."""
    says: Prose
    """What it says, in own words."""
    conditions: Prose | None = None
    """How the conditions there match those of the event, and where they do not."""


class Explanation(Record):
    """A rival explanation; explanations.yml, keyed X-..."""

    explanation: Text
    """The explanation in one sentence."""
    line: Line
    """Which line of thought it belongs to: the device, its use, the patient, something else."""
    explains: Literal["mechanism", "reason"] = "mechanism"
    """How it happened, or why it came to be so. Only explanations of the same are rivals."""
    starters: tuple[Slug, ...] = ()
    """The lines of starter lists it takes up; one whose topic it has is taken up as well."""
    items: Refs = ()
    """The items it depends on, beyond those its evidence is about."""
    topic: Slug | None = None
    """What a test must be able to reach to speak to this: a key of the protocols' `reaches`."""
    mechanism: Prose | None = None
    """How it would have come about."""
    needs: tuple[Need, ...] = ()
    """What would have to be true for it, each with what shows it."""
    would_show: Prose | None = None
    """What would be seen if it were so."""
    reached_by: tuple[TestName, ...] = ()
    """Planned tests that can speak to it."""
    supports: Refs = ()
    """Findings and results for it."""
    contradicts: Refs = ()
    """Findings and results against it."""
    answer: Prose | None = None
    """What is said to contradictions."""
    status: Status
    """How it stands after the evidence."""
    why: Prose | None = None
    """Why it stands so."""
    not_in_play: Told | None = None
    """Why this line was set aside without a test; cites the record that shows it."""
    arithmetic: Refs = ()
    """Derived results and findings that carry the arithmetic of dose: heat, current, flow, energy."""
    not_computable: Told | None = None
    """Why that arithmetic cannot be done."""
    literature: tuple[Literature, ...] = ()
    """What others have published of it."""
    not_tested: Told | None = None
    """Why nothing was done to test it."""


class ConfidenceLevel(StrEnum):
    """How strongly a conclusion is held; words with fixed meanings."""

    ESTABLISHED = "established"
    PROBABLE = "probable"
    POSSIBLE = "possible"
    UNDETERMINED = "undetermined"


class Opinion(Record):
    """One part of the conclusion."""

    text: Prose
    """The opinion, in words no stronger than its level."""
    level: ConfidenceLevel
    """How strongly it is held."""
    rests_on: Refs = ()
    """The explanations and findings it rests on."""
    explanations: Refs = ()
    """The explanations it names: one, or several that act together. None for *undetermined*."""


class Carried(Record):
    """A strongest fact for the first page."""

    text: Prose
    """One sentence that carries the conclusion."""
    rests_on: Refs
    """What it rests on: findings, readings, results."""


class OpenPoint(Record):
    """Something that stays open."""

    text: Prose
    """What stays open, in one sentence."""
    rests_on: Refs = ()
    """What it rests on."""


class Undetermined(Record):
    """What an *undetermined* must list."""

    tried: tuple[Text, ...] = ()
    """What was tried."""
    missing: tuple[Text, ...] = ()
    """What was missing."""
    would_settle: tuple[Text, ...] = ()
    """What would settle it."""


class Conclusion(Record):
    """conclusion.yml: mechanism (how it happened) and reason (why it came to be so) kept apart."""

    by: Role
    """Who concludes, by role."""
    mechanism: Opinion
    """How the harm came about."""
    reason: Opinion
    """Why it came to that."""
    carried_by: tuple[Carried, ...] = ()
    """Sentences that carry it, each with what it rests on."""
    stays_open: tuple[OpenPoint, ...] = ()
    """What stays open."""
    limits_of_work: Prose | None = None
    """What could not be done, and what that means."""
    alternatives: Refs = ()
    """Explanations left open."""
    would_settle: Prose | None = None
    """What would settle it."""
    undetermined: Undetermined | None = None
    """Why nothing more can be said."""
    no_problem_found: YesNo = False
    """Whether the report says that no fault was found."""
    use_reviewed: dict[str, Text] = {}
    """Where use is in question: what was looked at in display, label, training, alarm, layout."""


class ExceptionRecord(Record):
    """A reject lifted on purpose; exceptions.yml, keyed Q-..."""

    rule: Slug
    """Name of the rule that is lifted."""
    subject: Ref | None = None
    """The record it concerns; without it, the case as a whole."""
    by: Role
    """Who lifted it, by role."""
    at: Moment
    why: Prose
    """Why it is lifted; printed on the first page."""
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
    """What was decided: to report, or not."""
    reasons: Prose
    """Why it was so decided."""
    by: Role
    """Who decided, by role."""
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
    """When the report was sent."""
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
    """The report, or what else shows it."""


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
    """Whether the releasing party may attend."""
    copy_of_results: YesNo
    """Whether results are to be handed over."""


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
    """Whom it went to, by role."""
    parties: tuple[Text, ...] = ()
    """The parties in interest it speaks to, as under `party` in case.yml."""
    from_counsel: YesNo = False
    """Whether it is counsel's letter stating that these parties were told; it then stands for a notice to each."""
    what: Prose
    """What was said."""
    sent_at: Moment
    examination_at: Moment | None = None
    """When the examination it announces is to begin."""
    reply_by: Moment | None = None
    """By when a reply was asked for."""
    reply: Told | None = None
    """What was replied."""
    answer: Answer | None = None
    """The reply in a word."""
    answered_at: Moment | None = None
    """When a reply came."""
    consents_to: Refs = ()
    """What the reply consents to."""
    release: Release | None = None
    """For a thing that goes to a party: the terms. `concerns` names the thing or the custody line."""
    evidence: Refs = ()
    """The notice and the reply."""
    urgent: YesNo = False
    """Whether others may be in danger."""
    still_at_risk: YesNoUnknown | None = None
    """Who may still be at risk."""
    hold: HoldBack | None = None
    """For an urgent warning: what is to be held back from use."""
    concerns: Ref | None = None
    """What it is about."""
