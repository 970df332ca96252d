"""Limits and protocols: what a reading is held against, and what a test is, can reach and may alter."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field

from asfound.model.base import Amount, Day, Number, Prose, Record, Slug, Text, YesNo
from asfound.model.source import SourceStatus as SourceStatus
from asfound.model.starters import StarterList
from asfound.model.words import WordList
from asfound.model.work import Tier


class Sense(StrEnum):
    """Which side of the bound is allowed."""

    AT_MOST = "at most"
    AT_LEAST = "at least"
    WITHIN = "within"
    BETWEEN = "between"
    MONOTONIC = "monotonic"
    ANSWER = "answer"
    """A yes or no is asked for, not a number."""


class LimitKind(StrEnum):
    """What sort of authority stands behind a limit."""

    IN_SERVICE = "in-service limit"
    PRODUCT_STANDARD = "product standard"
    """A requirement on the device as designed and made, held against it in service."""
    TYPE_TEST = "type test, reference only"
    MAKER = "maker"
    COMMON_PRACTICE = "common practice"
    EXEMPLAR = "exemplar"
    OWN_HISTORY = "own history"
    POLICY = "organisation's policy"
    SUPERSEDED = "superseded, reference only"

    @property
    def reference_only(self) -> bool:
        """Whether it stands there for comparison and gives no verdict."""
        return self in {LimitKind.TYPE_TEST, LimitKind.SUPERSEDED}

    @property
    def needs_clause(self) -> bool:
        """Whether it speaks for a published document, so that a clause must be named."""
        return self in {
            LimitKind.IN_SERVICE,
            LimitKind.PRODUCT_STANDARD,
            LimitKind.TYPE_TEST,
            LimitKind.MAKER,
            LimitKind.SUPERSEDED,
        }


class Fixed(Record):
    """A fixed amount."""

    kind: Literal["fixed"]
    value: Amount


class Percent(Record):
    """A share of something known: the setting, a rated value, the value the maker states at these conditions."""

    kind: Literal["percent"]
    percent: Number
    of: Text
    """`setting`, `stated`, or the name of a characteristic (`rated_output`)."""


class LeakagePower(Record):
    """The current whose power in a load is a share of a rated power: I = sqrt(percent/100 · P / R)."""

    kind: Literal["current from power"]
    percent: Number
    of: Text
    load: Amount


class Greatest(Record):
    """Whichever is greatest."""

    kind: Literal["greatest"]
    among: tuple[Bound, ...]


class Sum(Record):
    """All added: ±(a + b %)."""

    kind: Literal["sum"]
    terms: tuple[Bound, ...]


Bound = Annotated[Fixed | Percent | LeakagePower | Greatest | Sum, Field(discriminator="kind")]


class Permitted(Record):
    """Beyond the bound, yet allowed up to a second bound when facts of the item are on record."""

    up_to: Amount
    needs: tuple[Text, ...]
    """Names of characteristics that must be answered yes, or cite evidence."""


class Exempt(Record):
    """Where the document asks nothing: condition at or below a share of something known."""

    condition: Text
    at_or_below_percent: Number
    of: Text


class Limit(Record):
    """One limit, with its authority."""

    title: Text
    test: Slug
    """The protocol test it belongs to."""
    also: tuple[Slug, ...] = ()
    """Other tests whose readings are held against it as well: the same reading taken in another way."""
    result: Text | None = None
    """The derived result it judges (`linearity`, `port agreement`, `heating factor`); readings are then not judged."""
    quantity: Text
    """What is measured, in the words of `asfound.measure.units.Quantity`, or `yes or no`."""
    sense: Sense
    strict: YesNo = False
    """Whether the bound itself is outside."""
    bound: Bound | None = None
    """For at most, at least, within (the half-width)."""
    low: Bound | None = None
    high: Bound | None = None
    """For between."""
    around: Text | None = None
    """For within: `setting`, `stated` or a characteristic."""
    answer: Literal["yes", "no"] | None = None
    """For answer: the one that meets the limit."""
    when: dict[str, tuple[Text, ...]] = {}
    """Conditions under which it applies: name → values allowed. A name that is not recorded makes it not assessable.

    A name is looked up among the conditions of the row, the constants of the sheet, the characteristics of the item.
    Words are compared as words; a value with a unit (`200 Ω`) is compared as a number.
    """
    only: dict[str, tuple[Text, ...]] = {}
    """As `when`, yet a name that is not recorded means that the limit is not asked at all: for rare kinds of device."""
    unless: dict[str, tuple[Text, ...]] = {}
    """Conditions under which it does not apply; a name that is not recorded does not hinder it."""
    gives_way_to: tuple[Literal["stated value", "maker's limit"], ...] = ()
    """What takes its place: a value the maker states for these conditions, or a limit of kind `maker` that applies."""
    highest_of: tuple[Text, ...] = ()
    """Conditions over which the highest reading is recorded and judged."""
    scale: Literal["nominal mains"] | None = None
    """Readings are scaled before they are compared (IEC 62353:2014, 5.3.4)."""
    series_over: Text | None = None
    """For monotonic: the condition that is stepped."""
    exempt: Exempt | None = None
    permitted: Permitted | None = None
    clause: Text | None = None
    document: Text | None = None
    """Where it differs from the set's document: a limit taken over from the set that is extended."""
    edition: Text | None = None
    """Edition of that document."""
    kind: LimitKind
    status: SourceStatus
    verified_by: Text | None = None
    """Who held it against a bought copy, by role."""
    verified_on: Day | None = None
    note: Prose | None = None

    @property
    def tests(self) -> tuple[str, ...]:
        """Every protocol test whose readings it judges."""
        return (self.test, *self.also)


class LimitSet(Record):
    """A document's limits, chosen together; a file of limits/."""

    set: Slug
    title: Text
    document: Text
    edition: Text
    jurisdiction: Text
    note: Prose | None = None
    extends: Slug | None = None
    """For an organisation's overlay: the set it adds to or tightens."""
    verified_by: Text | None = None
    """Needed by an overlay that loosens a limit."""
    limits: dict[Slug, Limit]

    def authority(self, name: str) -> tuple[str, str]:
        """Document and edition a limit of this set stands on. Raises KeyError for a name it does not hold."""
        limit = self.limits[name]
        return (limit.document, limit.edition or self.edition) if limit.document else (self.document, self.edition)


class ChecklistLine(Record):
    """A place to look at, before power."""

    look: Text
    why: Text
    roles: tuple[Text, ...] = ()
    """Item roles it is asked for; empty means the main device."""


class ConditionColumn(Record):
    """A condition column of a test."""

    title: Text
    unit: Text | None = None
    values: tuple[Text, ...] = ()
    """Words it may take; empty means free or numeric."""
    required: YesNo = True
    unless: dict[Text, dict[str, tuple[Text, ...]]] = {}
    """Values that cannot occur: value → characteristic of the device → words. No plan asks to cover them by itself
    where the record of the device holds one of the words; where it says nothing they are asked for."""
    by_name: tuple[Text, ...] = ()
    """Values that no plan asks to cover by itself: a person names them where they occurred."""


class Test(Record):
    """A test: what it measures, what it needs, what it can reach."""

    title: Text
    quantity: Text
    """What is measured, in the words of `asfound.measure.units.Quantity`, or `yes or no`."""
    unit: Text
    """Unit in which results are shown; `1` for a yes or no."""
    answer: Literal["number", "yes or no"] = "number"
    """What a cell of this test holds. A yes or no has no unit in the header."""
    units: tuple[Text, ...] = ()
    """Other units accepted, converted."""
    purpose: Text
    energised: YesNo
    connects: Literal["nothing", "safety tester", "analyser", "simulator", "person"]
    alters: Tier
    functional: YesNo = False
    """Whether it shows the function at the settings used."""
    climate: tuple[Literal["temperature", "humidity", "pressure"], ...] = ()
    """What of the room the result depends on, to be on record with the sheet: the density of the water that is
    weighed, the conditions to which a volume of gas is converted, the air that cools a surface."""
    conditions: dict[str, ConditionColumn] = {}
    coverage: tuple[Text, ...] = ()
    """Conditions whose combinations must be covered."""
    unless: dict[str, tuple[Text, ...]] = {}
    """Devices of which it cannot be asked: characteristic → words. A plan begun for one leaves it out and says so; a
    characteristic that is not recorded does not hinder it."""
    needs_zero_proof: YesNo = False
    """Whether an exact zero needs proof that the thing was energised."""
    reaches: tuple[Slug, ...]
    """Topics an outcome of this test can speak to."""
    cannot_reach: Text | None = None
    """What people wrongly read into a pass."""
    results: tuple[
        Literal[
            "deviation",
            "linearity",
            "port agreement",
            "repeatability",
            "second instrument",
            "trip window",
            "heating factor",
        ],
        ...,
    ] = ()
    chart: Literal["output against setting", "by condition", "trip window", "none"] = "none"
    bench_checks: tuple[Text, ...] = ()
    """Checks of the examiner's own bench asked on the sheet."""
    settles: Amount | None = None
    """How long it has to settle, from the beginning of the sheet to its first reading."""
    cautions: tuple[Slug, ...] = ()
    note: Prose | None = None


class Topic(Record):
    """Something a test may reach: the name explanations use."""

    title: Text


class Protocol(Record):
    """How a kind of device is examined; a file of protocols/."""

    protocol: Slug
    title: Text
    device_kinds: tuple[Slug, ...]
    includes: tuple[Slug, ...] = ()
    """Other protocols whose checklist and tests belong to it."""
    order: tuple[Slug, ...] = ()
    """Tests in the order of work; event-relevant first."""
    checklist: dict[Slug, ChecklistLine] = {}
    topics: dict[Slug, Topic] = {}
    tests: dict[Slug, Test] = {}
    cautions: tuple[Slug, ...] = ()
    note: Prose | None = None


Greatest.model_rebuild()
Sum.model_rebuild()


class Caution(Record):
    """A caution: what can hurt someone, spoil evidence or mislead a reader."""

    title: Text
    text: Prose
    source: Text
    status: SourceStatus


class Cautions(Record):
    """A file of cautions, by the name that protocols and pages use."""

    cautions: dict[Slug, Caution]


class Book(Record):
    """Everything a case is held against: sets, protocols, starter lists, cautions and lists of words."""

    sets: dict[Slug, LimitSet]
    protocols: dict[Slug, Protocol]
    cautions: dict[Slug, Caution] = {}
    words: dict[Slug, WordList] = {}
    """Lists of words that rules look for, with what the organisation added."""
    starters: dict[Slug, StarterList] = {}

    def limit(self, set_name: str, name: str) -> Limit | None:
        """A limit by its set and name."""
        chosen = self.sets.get(set_name)
        return chosen.limits.get(name) if chosen else None
