"""What speaks: evidence files, statements, clocks, events."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from asfound.model.base import (
    Amount,
    Duration,
    Moment,
    Prose,
    Record,
    Ref,
    Refs,
    Role,
    Text,
    Told,
    YesNo,
    YesNoUnknown,
)
from asfound.model.logs import LogMap


class EvidenceKind(StrEnum):
    """What kind of file it is."""

    PHOTOGRAPH = "photograph"
    VIDEO = "video"
    LOG = "log"
    CERTIFICATE = "certificate"
    STATEMENT = "statement"
    DOCUMENT = "document"
    DRAWING = "drawing"
    DATA = "data"


class View(StrEnum):
    """From how far a photograph was taken."""

    OVERALL = "overall"
    MIDDLE = "middle"
    CLOSE = "close"
    SCREEN = "screen"


class KeptElsewhere(Record):
    """Evidence that must not enter git: only its digest is here."""

    keeper: Role
    """Who keeps it, by role."""
    place: Text
    """Where it lies, in general words."""
    size: Text
    """In bytes."""
    why: Text
    """Why it does not enter git."""


class Evidence(Record):
    """One file of evidence; evidence.yml, keyed E-..."""

    file: Text | None = None
    """Path below the case folder."""
    kept_elsewhere: KeptElsewhere | None = None
    """Where it is kept, if it must not enter git."""
    sha256: Text
    """Digest of the file (SHA-256), in hexadecimal digits."""
    kind: EvidenceKind
    """What sort of file it is."""
    shows: Prose
    """What it shows, in a sentence; also the picture's text for those who cannot see it."""
    items: Refs = ()
    """The items it shows or is about."""
    taken_at: Moment | None = None
    """When it was taken, with the offset from UTC."""
    taken_by: Role | None = None
    """Who took it, by role."""
    clock: Ref | None = None
    """The clock its time comes from (K-...), with that clock's measured offset."""
    time_not_obtainable: Told | None = None
    """Why there is no capture time: stripped by the messenger that carried it."""
    view: View | None = None
    """How near a photograph is: the whole, or a detail."""
    scale_in_frame: YesNo | None = None
    """Whether a scale lies in the picture."""
    direction: Text | None = None
    """From where a photograph was taken."""
    as_found: YesNo = False
    """Whether it is offered as showing the as-found state."""
    derived_from: Ref | None = None
    """The untouched original, where this file was edited, cut or converted."""
    edits: Text | None = None
    """What was done to the picture, of a derivative."""
    faces: YesNo | None = None
    """Whether a face can be recognised."""
    exported_how: Text | None = None
    """For logs: by which way, which key presses, which software."""
    software: Told | None = None
    """What wrote or read it out, with its version."""
    log: LogMap | None = None
    """For logs in a table: which columns hold what, and which entries are events of the timeline."""
    note: Prose | None = None
    """What else is to be said of it."""


class Statement(Record):
    """Somebody's account; statements.yml, keyed W-..."""

    by: Role
    """Who tells, by role."""
    taken_at: Moment
    taken_by: Role
    """Who took it down, by role."""
    saw: Prose | None = None
    """What they saw."""
    did: Prose | None = None
    """What they did."""
    was_told: Prose | None = None
    """What others had told them before."""
    items: Refs = ()
    """Items the account names."""
    touched_controls: YesNoUnknown | None = None
    """Which controls they touched, as told."""
    time_quoted: Text | None = None
    """The time as they told it."""
    clock: Ref | None = None
    """The clock its times were read from."""
    opened_to_examiner_at: Moment | None = None
    """When the examiner first read or heard it."""
    opened_early: Told | None = None
    """Why it was opened to the examiner before the readings were in."""
    evidence: Refs = ()
    """The written statement."""


class Comparison(Record):
    """A clock set beside a reference. `offset` is clock minus reference."""

    at: Moment
    reference: Text
    """What it was set beside: another clock of the case by its id (K-...), or words for a clock outside it."""
    offset: Duration
    doubt: Duration
    """How far the offset may be off, either way; it is taken as about 95 %."""
    reference_doubt: Duration | None = None
    """How far a reference outside the case may be off, either way; a setting where nothing is said."""
    evidence: Refs = ()
    """A photograph of both clocks, or a record of it."""


class ClockSet(Record):
    """A moment at which a clock was set, by hand or by a machine. What it showed before is another offset."""

    at: Moment
    by: Duration | None = None
    """New reading minus old: `+1 h` where it was set forward. Without it, no comparison reaches across."""
    doubt: Duration | None = None
    """How far `by` may be off, either way."""
    why: Text | None = None
    """Why it was set."""


class Clock(Record):
    """A clock of the case; clocks.yml, keyed K-..."""

    what: Text
    """Which clock it is."""
    item: Ref | None = None
    """The item it is part of."""
    zone: Text | None = None
    """Time zone it shows, as a name of the zone data or an offset."""
    comparisons: tuple[Comparison, ...] = ()
    """When it was held against another clock, and what both showed."""
    not_compared: Told | None = None
    """Why it was not held against another."""
    daylight_saving: Text | None = None
    """Whether and how it changes for daylight saving."""
    resolution: Amount | None = None
    """The step in which it shows or writes time: `1 s`, `1 min`."""
    was_set: tuple[ClockSet, ...] = ()
    """When somebody set it, as far as is known."""
    drift_per_day: Duration | None = None
    """The most it may gain or lose in a day, where comparisons do not tell; a setting where nothing is said."""
    drift_note: Text | None = None
    """What is known of its drift where it was compared only once."""
    base: YesNo = False
    """Whether all times are told on this clock: the facility's reference. Without one, on the outside references."""


@dataclass(frozen=True, slots=True)
class TimelineRow:
    """One row of timeline.csv: an event on a named clock."""

    id: str
    line: int
    clock: str
    at: Moment
    doubt: str
    event: str
    source: tuple[str, ...]
    by: str
    log_row: str = ""
    """The row of a log it was taken from, as E-5#14; empty where it comes from no log."""
