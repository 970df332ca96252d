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
    place: Text
    size: Text
    """In bytes."""
    why: Text


class Evidence(Record):
    """One file of evidence; evidence.yml, keyed E-..."""

    file: Text | None = None
    """Path below the case folder."""
    kept_elsewhere: KeptElsewhere | None = None
    sha256: Text
    kind: EvidenceKind
    shows: Prose
    """What it shows, in a sentence; also the picture's text for those who cannot see it."""
    items: Refs = ()
    taken_at: Moment | None = None
    taken_by: Role | None = None
    clock: Ref | None = None
    """The clock its time comes from (K-...), with that clock's measured offset."""
    time_not_obtainable: Told | None = None
    """Why there is no capture time: stripped by the messenger that carried it."""
    view: View | None = None
    scale_in_frame: YesNo | None = None
    direction: Text | None = None
    as_found: YesNo = False
    """Whether it is offered as showing the as-found state."""
    derived_from: Ref | None = None
    """The untouched original, where this file was edited, cut or converted."""
    edits: Text | None = None
    faces: YesNo | None = None
    """Whether a face can be recognised."""
    exported_how: Text | None = None
    """For logs: by which way, which key presses, which software."""
    software: Told | None = None
    log: LogMap | None = None
    """For logs in a table: which columns hold what, and which entries are events of the timeline."""
    note: Prose | None = None


class Statement(Record):
    """Somebody's account; statements.yml, keyed W-..."""

    by: Role
    taken_at: Moment
    taken_by: Role
    saw: Prose | None = None
    did: Prose | None = None
    was_told: Prose | None = None
    items: Refs = ()
    """Items the account names."""
    touched_controls: YesNoUnknown | None = None
    time_quoted: Text | None = None
    clock: Ref | None = None
    opened_to_examiner_at: Moment | None = None
    opened_early: Told | None = None
    """Why it was opened to the examiner before the readings were in."""
    evidence: Refs = ()


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


class ClockSet(Record):
    """A moment at which a clock was set, by hand or by a machine. What it showed before is another offset."""

    at: Moment
    by: Duration | None = None
    """New reading minus old: `+1 h` where it was set forward. Without it, no comparison reaches across."""
    doubt: Duration | None = None
    """How far `by` may be off, either way."""
    why: Text | None = None


class Clock(Record):
    """A clock of the case; clocks.yml, keyed K-..."""

    what: Text
    item: Ref | None = None
    zone: Text | None = None
    """Time zone it shows, as a name of the zone data or an offset."""
    comparisons: tuple[Comparison, ...] = ()
    not_compared: Told | None = None
    daylight_saving: Text | None = None
    """Whether and how it changes for daylight saving."""
    resolution: Amount | None = None
    """The step in which it shows or writes time: `1 s`, `1 min`."""
    was_set: tuple[ClockSet, ...] = ()
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
