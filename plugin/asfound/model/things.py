"""The things and the place: items, custody, scene, room, service history, inspection."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from pydantic import Field

from asfound.model.base import (
    Amount,
    Day,
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


class ItemRole(StrEnum):
    """What part a thing plays."""

    MAIN_DEVICE = "main device"
    ACCESSORY = "accessory"
    CONSUMABLE = "consumable"
    CABLE = "cable"
    BATTERY = "battery"
    POWER_CORD = "power cord"
    PACKAGING = "packaging"
    OTHER_DEVICE = "other device"
    EXEMPLAR = "exemplar"
    SWAB = "swab"
    LOG_FILE = "log file"


class ServiceNote(Record):
    """Last maintenance, as far as known."""

    on: Day | None = None
    """Day on which it was done."""
    by: Told
    """Who did it, in general words."""
    result: Told
    """What came of it."""


class StatedValue(Record):
    """A value the maker states for given conditions: a point of the maker's curve, an accuracy, a rated value."""

    quantity: Text
    """Name of the test or quantity it belongs to: a protocol's test name."""
    when: dict[str, Text] = {}
    """Conditions under which it holds, by condition name: mode, setting, load."""
    value: Amount
    source: Text
    """Document and page, or label."""
    evidence: Refs = ()
    """The page it stands on."""


class DispositionKind(StrEnum):
    """What becomes of a thing when the case is over."""

    KEPT = "kept"
    RETURNED = "returned"
    DESTROYED = "destroyed"


class Disposition(Record):
    """What became of a thing in the end, and who agreed to it."""

    what: DispositionKind
    """What became of the thing."""
    at: Moment
    by: Role
    """Who decided, by role."""
    releases: dict[Text, Refs] = {}
    """Party in interest, as under `party` in case.yml → the notice or the paper by which it let the thing go."""
    note: Prose | None = None
    """What else is to be said of it."""


class Item(Record):
    """One tagged thing. The tag fields follow ASTM E1459."""

    what: Text
    """What it is, in a few words."""
    role: ItemRole
    """What part it plays in the case."""
    kit: Text | None = None
    """The kit or set it belongs to."""
    part_of: Ref | None = None
    """The item it is a part of."""
    single_use: YesNo = False
    """Whether it is meant to be used once."""
    in_use_at_event: YesNo
    """Whether it was in use at the event."""
    impounded: YesNo
    """Whether it was impounded."""
    why_not_impounded: Told | None = None
    """Why it could not be impounded."""
    names: tuple[Text, ...] = ()
    """Other words by which statements and the account call it."""
    maker: Told | None = None
    """The maker under an alias, or as the case's confidentiality allows."""
    model: Told | None = None
    """Its model, or an alias for it."""
    serial: Told | None = None
    """Its serial number."""
    lot: Told | None = None
    """Lot or batch number on its label."""
    expiry: Told | None = None
    """Day of expiry on its label."""
    udi: Told | None = None
    """The code as scanned: the element string of GS1, with its numbers in brackets or as the scanner gives it."""
    gtin: Told | None = None
    """The trade item number printed on the label or in the maker's papers."""
    software: Told | None = None
    """Version of its software, as shown or printed."""
    owner: Told | None = None
    """Whose it is, in general words."""
    collected_by: Role | None = None
    """Who impounded it, by role."""
    collected_at: Moment | None = None
    """When it was impounded, with the offset from UTC."""
    description: Text | None = None
    """Short description on the tag."""
    has_settings: YesNo = False
    """Whether it has controls whose as-found positions must be on record."""
    packaging_kept: YesNo | None = None
    """Whether its packaging was kept."""
    last_maintenance: ServiceNote | None = None
    """Its last maintenance, as recorded."""
    recalls_checked: Told | None = None
    """Search for recalls: when, where, what was found."""
    modifications: Told | None = None
    """Changes made to it, on record or seen."""
    condition_on_collection: Told | None = None
    """How it was when it was impounded."""
    condition_on_receipt: Told | None = None
    """How it was when the examiner received it."""
    seal_on_receipt: Text | None = None
    """Number of the seal it came under."""
    biohazard: YesNoUnknown | None = None
    """Whether it is, or may be, contaminated."""
    cleaned: YesNo | None = None
    """Whether it was cleaned since the event."""
    cleaned_why: Prose | None = None
    """Why it was cleaned, how and by whom."""
    characteristics: dict[str, Text] = {}
    """Facts that limits ask for, by name: class, applied_part, cord, rated_output."""
    stated: tuple[StatedValue, ...] = ()
    """Values the maker states."""
    compares_with: Ref | None = None
    """For an exemplar: the item it stands beside."""
    retain_until: Day | None = None
    """Until when it is kept, where that is longer than for the case."""
    disposition: Disposition | None = None
    """What became of it."""
    note: Prose | None = None
    """What else is to be said of it."""


class CustodyKind(StrEnum):
    """What a custody line records."""

    BEFORE_CUSTODY = "before custody"
    COLLECTED = "collected"
    TRANSFER = "transfer"
    STORED = "stored"
    RETURNED = "returned"


@dataclass(frozen=True, slots=True)
class CustodyLine:
    """One line of custody.csv.

    `released_at` and `received_at` are the two ends of the hand-over; `released_by` and `received_by` are roles,
    or `store` for a sealed store; a blank signature is an empty text.
    """

    id: str
    line: int
    items: tuple[str, ...]
    kind: CustodyKind
    released_at: Moment | None
    received_at: Moment | None
    released_by: str
    received_by: str
    from_place: str
    to_place: str
    purpose: str
    seal_before: str
    seal_after: str
    condition: str
    signed_out: str
    signed_in: str
    evidence: tuple[str, ...]
    note: str


class Setting(Record):
    """A control, a display or a mode as it was found."""

    item: Ref
    """The item it is on."""
    control: Text
    """Name of the control, as printed beside it."""
    value: Told
    """How it stood."""
    unit: Text | None = None
    """Unit of the value."""
    how_read: Text | None = None
    """Read from the display, from the knob, from a photograph."""
    evidence: Refs = ()
    """A photograph of it."""


class Connection(Record):
    """What was connected to what, or to whom."""

    from_: Text = Field(alias="from")
    """An item's id, or words."""
    to: Text
    """An item's id, a role, or words."""
    by: Text | None = None
    """By which port, socket or site."""
    note: Prose | None = None
    """What else is to be said of it."""


class VolatileData(Record):
    """What power loss would erase, and what was decided about it."""

    decision: Text
    """Saved, not possible, would alter and was left, none held."""
    why: Prose | None = None
    """Why it was so decided."""
    items: Refs = ()
    """The items that hold it; none means the main devices."""
    start_erases: YesNoUnknown | None = None
    """Whether starting the device would erase or overwrite it."""
    asked: Refs = ()
    """The notices by which its maker was asked before it was started."""
    evidence: Refs = ()
    """What was read out."""


class Scene(Record):
    """scene.yml: how things stood before anyone moved them."""

    recorded_at: Moment | None = None
    """When the scene was recorded."""
    recorded_by: Role | None = None
    """Who recorded it, by role."""
    first_power_change_at: Moment | None = None
    """When power was first switched or pulled."""
    first_move_at: Moment | None = None
    """When a thing was first moved."""
    settings: dict[Ref, Setting] = {}
    """As-found settings, keyed A-1, A-2, ..."""
    settings_not_obtainable: Told | None = None
    """Why as-found settings could not be had."""
    connections: dict[Ref, Connection] = {}
    """Keyed L-1, L-2, ..."""
    touched_since: Prose | None = None
    """Who touched what between the event and this record."""
    volatile_data: VolatileData | None = None
    """Data that could be lost, and what was decided about them."""
    note: Prose | None = None
    """What else is to be said of it."""


class RoomPoint(Record):
    """A fact of the room: a socket, a gas outlet, the table, the supply."""

    what: Text
    """What it is: a socket, a supply, a gas outlet, a device."""
    kind: Text
    """Socket, supply, gas outlet, table, climate, other device."""
    value: Told | None = None
    """What was read, with its unit."""
    items: Refs = ()
    """The items it served at the event."""
    evidence: Refs = ()
    """Photographs or records of it."""
    note: Prose | None = None
    """What else is to be said of it."""


class ServiceEvent(Record):
    """A line of the device's history."""

    items: Refs
    """The items it was done to."""
    kind: Text
    """Maintenance, repair, modification, recall search."""
    on: Day | None = None
    """Day on which it was done."""
    by: Told
    """By which role or firm, in general words."""
    by_role: Role | None = None
    """Who did it, by role."""
    result: Told
    """What came of it."""
    evidence: Refs = ()
    """The record of it."""


class Seen(StrEnum):
    """The three honest answers of an inspection."""

    FOUND = "found"
    NOTHING = "nothing seen"
    COULD_NOT = "could not look"


@dataclass(frozen=True, slots=True)
class InspectionRow:
    """One row of inspection.csv: a place looked at, and what was there.

    `check` is the line of the protocol's checklist it answers, empty for what was noticed besides.
    `relevance` is `relevant`, `not relevant` or `not known`. `why` says why one could not look.
    """

    id: str
    line: int
    item: str
    check: str
    place: str
    seen: Seen
    what: str
    evidence: tuple[str, ...]
    relevance: str
    why: str
    at: Moment | None
    by: str
