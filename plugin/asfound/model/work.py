"""The work at the bench: gates, the plan, sheets and their readings."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, Literal, NamedTuple

from pydantic import Field

from asfound.model.base import Amount, Count, Moment, Prose, Record, Ref, Refs, Role, Slug, TestName, Text, Told, YesNo
from asfound.model.number import Value
from asfound.model.outcome import DecisionRule as DecisionRule
from asfound.model.row import as_object


class GateKind(StrEnum):
    """Dated facts that allow the next step, in the usual order of work."""

    MADE_SAFE = "made safe"
    SCENE_FROZEN = "scene frozen"
    AS_FOUND_RECORDED = "as found recorded"
    VOLATILE_DATA_DECIDED = "volatile data decided"
    IMPOUNDED = "impounded"
    SEALED = "sealed"
    INTEREST_DECLARED = "interest declared"
    PARTIES_TOLD = "parties told"
    RECEIVED = "received"
    INSPECTED = "inspected"
    PLAN_SEALED = "plan sealed"
    PASSIVE_TESTS_DONE = "passive tests done"
    SAFE_TO_CONNECT = "safe to connect"
    FUNCTION_TESTED = "function tested"
    LOGS_READ = "logs read"
    ROOM_SURVEYED = "room surveyed"
    STATEMENTS_OPENED = "statements opened"
    WEIGHED = "weighed"
    RECHECKED = "rechecked"


class Gate(Record):
    """One gate, for one or more items (none means the case as a whole)."""

    gate: GateKind
    """Which step it allows."""
    items: Refs = ()
    """The items it is about."""
    at: Moment
    by: Role
    """Who passed it, by role."""
    outcome: Text | None = None
    """For *inspected*: no damage, minor damage, significant damage. For *safe to connect*: yes or no."""
    rests_on: Refs = ()
    """What it rests on: inspection rows, readings, photographs."""
    note: Prose | None = None
    """What else is to be said of it."""


class Tier(StrEnum):
    """How much a step alters the evidence."""

    NONE = "none"
    REVERSIBLE = "reversible"
    CHANGES = "changes"
    DESTROYS = "destroys"


class Step(Record):
    """An altering step taken: adjustment, repair, opening, firmware change, cleaning."""

    items: Refs
    """The items it was done to."""
    what: Text
    """What was done."""
    tier: Tier
    """How much it alters."""
    at: Moment
    by: Role
    """Who did it, by role."""
    why: Prose
    """Why it was needed."""
    consents: Refs = ()
    """The notices by whose answers the parties agreed."""
    order: Refs = ()
    """The order of a court, or the agreement of the parties, that allows it without an answer of each."""
    procedure: Refs = ()
    """The written procedure that was followed."""
    video: Refs = ()
    """The recording of it."""
    residue: Told | None = None
    """Where what was cut off, taken out or wiped away is kept."""
    cycles: Count | None = None
    """How often a conductor was flexed, a connector unmated, an action repeated."""
    evidence: Refs = ()
    """Photographs before and after."""


class Gates(Record):
    """gates.yml."""

    gates: dict[Ref, Gate] = {}
    """Keyed G-1, G-2, ..."""
    steps: dict[Ref, Step] = {}
    """Altering steps, keyed B-1, B-2, ..."""


class Seal(Record):
    """How it can be shown that the plan came before its results."""

    at: Moment
    how: Text
    """Commit, digest of a dated paper plan, trusted time stamp."""
    sha256: Text | None = None
    """Digest of the dated paper plan, as handed to somebody else."""
    evidence: Refs = ()
    """The sealed paper, among the evidence."""


class PlannedTest(Record):
    """A test chosen for this case."""

    item: Ref
    """The item it is about."""
    why: Text
    """Why this test: what it can show here."""
    expected: Text | None = None
    """What each explanation would have the test show, written before the results."""
    separates: Refs = ()
    """Explanations it helps to tell apart."""
    coverage: dict[str, tuple[Text, ...]] = {}
    """Values to be measured per condition; narrows or fills the protocol's coverage."""
    as_used: dict[str, Text] = {}
    """The conditions in use at the event."""
    reaches: tuple[Text, ...] | None = None
    """May narrow what the protocol says the test can reach, never widen it."""
    limits: tuple[Slug, ...] | None = None
    """Limits to hold it against; by default those of the plan's sets that name this test."""
    not_done: Told | None = None
    """Why a planned test was not done."""
    not_obtainable: dict[str, Text] = {}
    """Cells of the coverage that could not be had: `port=2, activation=foot switch` → why."""
    added: Text | None = None
    """Why the test was added after the plan was sealed."""


class Plan(Record):
    """plan.yml: written before the results."""

    written_at: Moment
    written_by: Role
    """Who wrote it, by role."""
    protocols: tuple[Slug, ...]
    """The protocols the tests are taken from."""
    limit_sets: tuple[Slug, ...]
    """The sets of limits readings are held against."""
    decision_rule: DecisionRule
    """How readings near a limit are decided."""
    guard_factor: Literal["1", "0.83", "1.5"] = "1"
    """Width of the guard band as a multiple of the expanded doubt (ILAC-G8:09/2019; 0.83 is ISO 14253-1:2017)."""
    sealed: Seal | None = None
    """What shows that the plan came before its results."""
    tests: dict[TestName, PlannedTest]
    """Keyed by the protocol's test name; a second use of a test adds `--` and a word: `output-power--swap`."""
    note: Prose | None = None
    """What else is to be said of it."""


class Condition(Record):
    """Ambient conditions during a sheet."""

    temperature: Amount | None = None
    """Temperature of the air."""
    humidity: Amount | None = None
    """Relative humidity of the air."""
    pressure: Amount | None = None
    """Pressure of the air."""


class Supply(Record):
    """What the item was fed from during a sheet."""

    kind: Text
    """Grounded, isolated, battery, none."""
    voltage: Amount | None = None
    """Voltage as measured meanwhile."""
    nominal: Amount | None = None
    """Nominal voltage."""
    frequency: Amount | None = None
    """Frequency of the mains."""


class Check(Record):
    """A check of the instrument or the bench before or after a sheet."""

    what: Text
    """Leads nulled, known load, outlet tested, reference measured."""
    at: Moment
    reference: Amount | None = None
    """What was to be read, with its unit."""
    reading: Amount | None = None
    """What was read, with its unit."""
    ok: YesNo
    """Whether it was as it should be."""
    evidence: Refs = ()
    """Photographs of it."""


class SheetMoment(StrEnum):
    """In which state the item was measured."""

    SCENE = "scene"
    RECEIVED = "received"
    AFTER_ADJUSTMENT = "after adjustment"


class PreparedSheet(Record):
    """A sheet that lies ready at the bench: what is constant on it, as far as it is known before the first reading."""

    test: TestName
    """Key of the planned test."""
    item: Ref
    """The item they are of."""
    accessories: Refs = ()
    """Items fitted during the readings."""
    instrument: Ref | None = None
    """The instrument they were taken with."""
    function: Text | None = None
    """Which of the instrument's functions was used."""
    by: Role | None = None
    """Who took the readings, by role."""
    second_reader: Role | None = None
    """Who else looked or read every row, without being told what was read before, and found the same; by role."""
    provider: Text | None = None
    """Who took these readings, where it was an external provider: the report marks them so."""
    from_: Moment | None = Field(default=None, alias="from")
    to: Moment | None = None
    moment: SheetMoment = SheetMoment.RECEIVED
    """At which state of the thing: at the scene, as received, after adjustment."""
    supply: Supply | None = None
    """What fed the thing meanwhile."""
    climate: Condition | None = None
    """The air of the room meanwhile."""
    constants: dict[str, Text] = {}
    """Conditions that are the same in every row, by condition name."""
    checks: tuple[Check, ...] = ()
    """Checks of the bench before them."""
    repeats_of: Ref | None = None
    """The sheet it repeats with another instrument, accessory or hand."""
    as_found_settings: YesNo = False
    """Whether the readings were taken at the as-found settings with the as-found accessories."""
    consents: Refs = ()
    """For a test that alters: the notices by whose answers the parties agreed."""
    order: Refs = ()
    """For a test that alters: the order of a court, or the agreement of the parties."""
    cycles: Count | None = None
    """How often a conductor was flexed or a connector unmated during the sheet."""
    evidence: Refs = ()
    """Photographs and papers of it."""
    note: Prose | None = None
    """What else is to be said of it."""


class Sheet(PreparedSheet):
    """What is constant on a sheet of readings; sheets.yml, keyed S-...

    Instrument, function, role and times are asked for with the first value; before that the sheet is a prepared one.
    """

    instrument: Ref
    """The instrument they were taken with. Eye and ear are one too: with a function whose quantity is yes or no."""
    function: Text
    """Which of the instrument's functions was used."""
    by: Role
    """Who took the readings, by role."""
    from_: Moment = Field(alias="from")
    """When the work on the sheet began, with its offset from UTC: `2026-03-09 15:12 -05:00`."""
    to: Moment
    """When it ended, with its offset from UTC: `2026-03-09 16:40 -05:00`."""


class Reading(NamedTuple):
    """One row of a reading sheet.

    id          `R-<sheet>-<row>`
    value       as typed, read by the number grammar
    unit        from the header or the unit column, as typed
    conditions  what varies, by condition name, as typed
    void        reason, empty while the reading stands
    """

    id: str
    sheet: str
    row: str
    line: int
    value: Value
    unit: str
    conditions: dict[str, str]
    at: Moment | None = None
    note: str = ""
    void: str = ""
    repeat_of: str = ""

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: Any) -> Any:
        return as_object(cls, handler)


@dataclass(frozen=True, slots=True)
class ReadingSheet:
    """A file of readings: its columns, with the unit of each condition where the header gives one.

    rows     readings
    waiting  rows without a value, which nobody has taken yet: they are no readings and count as none
    """

    sheet: str
    path: str
    columns: tuple[str, ...]
    units: dict[str, str]
    rows: tuple[Reading, ...] = field(default=())
    waiting: tuple[Reading, ...] = field(default=())
