"""What happened, to whom, who asked, who examines: case.yml and injury.yml."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from asfound.model.base import (
    Amount,
    Day,
    Moment,
    Prose,
    Record,
    Refs,
    Role,
    Slug,
    Text,
    Told,
    YesNo,
    YesNoUnknown,
)

CASE_ID_PATTERN = r"^[a-z0-9][a-z0-9-]{0,39}$"
CaseId = Annotated[str, Field(pattern=CASE_ID_PATTERN)]


class EventKind(StrEnum):
    """What kind of event it was."""

    SKIN_LESION = "skin lesion"
    SHOCK = "shock"
    NO_THERAPY = "no therapy"
    TOO_MUCH = "too much"
    TOO_LITTLE = "too little"
    ALARM_MISSED = "alarm missed"
    FIRE = "fire"
    MECHANICAL = "mechanical"
    OTHER = "other"


class Harmed(StrEnum):
    """Who was harmed."""

    PATIENT = "patient"
    STAFF = "staff"
    VISITOR = "visitor"
    NONE = "none"


class Severity(StrEnum):
    """Words of ISO 14971 (from memory): the possible or actual consequence."""

    NEGLIGIBLE = "negligible"
    MINOR = "minor"
    SERIOUS = "serious"
    CRITICAL = "critical"
    CATASTROPHIC = "catastrophic"


class OutcomeClass(StrEnum):
    """The classes by which reporting duties are chosen; their meanings are those of 21 CFR 803.3 (secondary)."""

    DEATH = "death"
    SERIOUS_INJURY = "serious injury"
    """Life-threatening, or lasting impairment or damage, or treatment needed to prevent these."""
    MALFUNCTION = "malfunction"
    NONE = "none"
    NOT_YET_KNOWN = "not yet known"


class StaffHarm(StrEnum):
    """What happened to a worker, in the classes of 29 CFR 1904.39."""

    DEATH = "death"
    ADMISSION = "in-patient admission"
    AMPUTATION = "amputation"
    EYE = "loss of an eye"
    NONE = "none of these"
    NOT_YET_KNOWN = "not yet known"


class Stage(StrEnum):
    """How far the case is. *Issued* is derived from editions, never typed."""

    OPEN = "open"
    IN_REVIEW = "in review"
    HELD = "held for joint examination"


class Confidentiality(StrEnum):
    """Who may read it; counsel decides."""

    INTERNAL = "internal"
    PRIVILEGED = "privileged, at the direction of counsel"
    RELEASED = "released to the parties"
    PUBLIC = "public"


class Event(Record):
    """The event as it was told, before anyone explained it."""

    kind: EventKind
    """What kind of event it was."""
    told_at: Moment
    """When it happened, as told."""
    time_source: Told
    """Which clock or person that time comes from."""
    where: Text
    """Place in general words: theatre, ward, transport."""
    account: Prose
    """What happened, as reported, sources named, no opinion."""
    aware_at: Moment | None = None
    """When staff of the organisation first learned of it."""
    aware_by: Role | None = None
    """Which role learned of it."""


class Person(Record):
    """Somebody in the case, by role."""

    title: Text
    """What the role is, in words: circulating assistant, examiner, reviewer."""
    qualification: Told | None = None
    """Training and experience for this kind of device; asked for examiners and reviewers."""
    organisation: Text | None = None
    """Where the role sits, in general words: the hospital, an outside firm, the maker."""
    party: Text | None = None
    """Which party in interest the person stands for: maker, owner, injured side, insurer. Who stands for none, as an
    examiner from outside, has none."""


class Asked(Record):
    """Who asked for the examination."""

    by: Role
    """Who asked, by role or in general words."""
    at: Moment
    how: Text
    """Letter, telephone, in person."""


class Authority(Record):
    """Who allowed the examination of these items."""

    by: Role
    """Who gave the authority to examine."""
    at: Moment
    how: Text
    """Written, or spoken; a spoken one is confirmed later."""
    confirmed_at: Moment | None = None
    """When a spoken authority was confirmed in writing."""


class Interest(Record):
    """The examiner's declaration: any tie to the device, its use or its trade."""

    by: Role
    """Who declares, by role."""
    at: Moment
    maintained: YesNo
    """Whether they maintained it."""
    set_up: YesNo
    """Whether they set it up."""
    used: YesNo
    """Whether they used it."""
    bought: YesNo
    """Whether they bought it."""
    sold: YesNo
    """Whether they sold it."""
    supervised_user: YesNo
    """Whether they supervise whoever used it."""
    paid_by: Text
    """Who pays for the work."""
    mitigation: Prose | None = None
    """What balances a yes: an outside reviewer, a second examiner."""

    @property
    def ties(self) -> tuple[str, ...]:
        """Names of the questions answered yes."""
        return tuple(
            name
            for name in ("maintained", "set_up", "used", "bought", "sold", "supervised_user")
            if getattr(self, name)
        )


class AskedFor(Record):
    """A document or thing that was asked for."""

    what: Text
    """What was asked for: a log, a record, a thing."""
    of: Text
    """Of whom, by role or party."""
    at: Day
    """When it was asked for."""
    answer: Told
    """Received (then cite it), refused, no answer."""
    evidence: Refs = ()
    """The letter or message."""


class ReportIdentity(Record):
    """What ISO/IEC 17025:2017, 7.8.2.1 asks a report to carry beyond what other files hold."""

    examined_at: Text
    """Where the work was done."""
    customer: Text
    """For whom, by role or organisation in general words."""
    authorised_by: Role | None = None
    """Who authorises the report."""
    sampling: Text = "Not applicable: the items themselves were examined, no sample was drawn from a larger lot."
    """How samples were taken, or that none were."""
    deviations: Prose = "None."
    """Additions to, deviations from or exclusions from the method."""
    outside_results: Text = "None: no result comes from an external provider."
    """What results of others are in the report, or that there are none."""


class Hold(Record):
    """A hold for joint examination: while it lasts, nothing is done that alters the evidence."""

    since: Moment
    why: Prose
    """Why the things are held."""
    items: Refs = ()
    """The items held; none means all."""
    by: Role | None = None
    """Who asked for it."""
    ended_at: Moment | None = None
    """When the hold ended: the joint examination began, or the parties agreed to end it."""
    ended_how: Prose | None = None
    """How it ended: by consent, order or lapse."""
    evidence: Refs = ()
    """The letter or order."""


class Storage(Record):
    """How a sealed store keeps what is in it."""

    place: Text
    """The store, in the words of custody.csv."""
    temperature: Told | None = None
    """The range of temperature it keeps."""
    access: tuple[Text, ...] = ()
    """Who can open it, by role."""
    charging: Told | None = None
    """What is kept on charge, since a flat battery can erase a log; or that nothing there holds one."""
    note: Prose | None = None
    """What else is to be said of it."""


class CaseHead(Record):
    """case.yml: the identity of a case and the ground it stands on."""

    case: CaseId
    """The case's identity: small letters, digits, hyphens; unique in the repository; never changed."""
    title: Text
    """What it is called on the docket."""
    summary: Prose | None = None
    """Two lines for the first page: what happened and what was impounded, without blame."""
    stage: Stage = Stage.IN_REVIEW
    """How far the case is; without it every rule is asked."""
    confidentiality: Confidentiality | None = None
    """Who may read it."""
    device_kind: Slug | None = None
    """Key of the main device's kind; protocols are chosen by it."""
    event: Event
    """What happened, as told."""
    harmed: Harmed
    """Who was harmed."""
    severity: Severity | None = None
    """How bad it could have been."""
    outcome: Told | None = None
    """Outcome as reported by a clinician, in general terms."""
    outcome_class: OutcomeClass | None = None
    """The class of the outcome, for reporting duties: as a clinician tells it, not as the examiner judges."""
    staff_harm: tuple[StaffHarm, ...] = ()
    """Where a worker was harmed: what happened to that person, for reporting duties."""
    maker_known: YesNo | None = None
    """Whether the maker of the device is known, for reporting duties; taken as known where nothing is said."""
    people: dict[Role, Person] = {}
    """Who takes part, by role and never by name."""
    examiner: Role | None = None
    """Role of whoever examines; a key of `people`."""
    reviewer: Role | None = None
    """Role of whoever reviews; a key of `people`."""
    asked: Asked | None = None
    """Who asked for the examination, when and how."""
    authority: Authority | None = None
    """Whose authority the examination rests on."""
    first_touch: Moment | None = None
    """When the examiner first touched an item."""
    parties_missing: dict[Text, Told] = {}
    """Why a party in interest is not on record: `maker`, `owner` or `injured side`, and the reason."""
    held: Hold | None = None
    """The hold for joint examination, if there is or was one."""
    storage: tuple[Storage, ...] = ()
    """The sealed stores of the custody record."""
    retain_until: Day | None = None
    """Until when the items are kept, at the least."""
    scope: Prose | None = None
    """What was to be examined, and what was not."""
    questions: tuple[Text, ...] = ()
    """The questions put to the examiner."""
    asked_for: tuple[AskedFor, ...] = ()
    """What was asked of others, and what came of it."""
    declaration: Interest | None = None
    """What ties the examiner has to the things examined, or none."""
    entered_later: Prose | None = None
    """Why the order of commits says nothing of the order of work: the case was worked on paper, say, and entered
    afterwards. Nothing is then shown, nor contradicted, by commits."""
    jurisdiction: tuple[Text, ...] = ()
    """Whose rules of reporting apply, in the words of the page *Reporting*."""
    others_at_risk: YesNoUnknown | None = None
    """Whether others may still be at risk."""
    others_at_risk_why: Prose | None = None
    """Why, and what was done about it."""
    answers: dict[Slug, YesNoUnknown] = {}
    """Answers to the questions of the starter lists: `rf-used: yes`, `laser-in-the-room: no`."""
    set_aside: dict[Slug, Told] = {}
    """Lines of the starter lists that are not in play, and why."""
    earlier_events: Told | None = None
    """Search for earlier similar events and recalls: where, when, what was found."""
    report: ReportIdentity | None = None
    """What the report as a document says of itself."""


class Lesion(Record):
    """A lesion as seen; facts from clinicians."""

    site: Text
    """Where on the body, in general terms."""
    shape: Told | None = None
    """Its shape."""
    size: Amount | None = None
    """Its size, with the unit."""
    edge: Told | None = None
    """How its edge looks."""
    distance_to_device: Told | None = None
    """How far from the device or its part, as observed."""


class Injury(Record):
    """injury.yml: what was seen, by whom, when; not the examiner's diagnosis."""

    first_seen_at: Moment
    seen_by: Role
    """Who saw it, by role."""
    lesions: tuple[Lesion, ...] = ()
    """Each lesion that was seen."""
    skin_before: Told | None = None
    """How the skin was before."""
    depth_as_charted: Told | None = None
    """Depth as clinicians charted it."""
    body_position: Told | None = None
    """How the person lay or sat."""
    time_in_position: Told | None = None
    """How long in that position."""
    solutions_used: Told | None = None
    """Solutions used on the skin."""
    pooling_seen: YesNoUnknown | None = None
    """Whether fluid was seen to pool."""
    perfusion_low: YesNoUnknown | None = None
    """Whether blood flow was low, as charted."""
    sensation: YesNoUnknown | None = None
    """What the person could feel."""
    drugs_affecting_skin: Told | None = None
    """Drugs that affect the skin or its supply."""
    evidence: Refs = ()
    """Photographs and records of it."""
    note: Prose | None = None
    """What else is to be said of it."""
