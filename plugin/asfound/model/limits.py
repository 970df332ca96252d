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
    """Always `fixed`."""
    value: Amount


class Percent(Record):
    """A share of something known: the setting, a rated value, the value the maker states at these conditions."""

    kind: Literal["percent"]
    """Always `percent`."""
    percent: Number
    """The share, in percent."""
    of: Text
    """`setting`, `stated`, or the name of a characteristic (`rated_output`)."""


class LeakagePower(Record):
    """The current whose power in a load is a share of a rated power: I = sqrt(percent/100 · P / R)."""

    kind: Literal["current from power"]
    """Always `current from power`."""
    percent: Number
    """Share of the rated power, in percent."""
    of: Text
    """The characteristic that holds the rated power."""
    load: Amount


class Greatest(Record):
    """Whichever is greatest."""

    kind: Literal["greatest"]
    """Always `greatest`."""
    among: tuple[Bound, ...]
    """The bounds of which the greatest counts."""


class Sum(Record):
    """All added: ±(a + b %)."""

    kind: Literal["sum"]
    """Always `sum`."""
    terms: tuple[Bound, ...]
    """The bounds that are added."""


Bound = Annotated[Fixed | Percent | LeakagePower | Greatest | Sum, Field(discriminator="kind")]


class Permitted(Record):
    """Beyond the bound, yet allowed up to a second bound when facts of the item are on record."""

    up_to: Amount
    needs: tuple[Text, ...]
    """Names of characteristics that must be answered yes, or cite evidence."""


class Exempt(Record):
    """Where the document asks nothing: condition at or below a share of something known."""

    condition: Text
    """The condition by which it is exempt."""
    at_or_below_percent: Number
    """Up to which share it is exempt, in percent."""
    of: Text
    """Of what the share is taken."""


class Limit(Record):
    """One limit, with its authority."""

    title: Text
    """The limit in a few words."""
    test: Slug
    """The protocol test it belongs to."""
    also: tuple[Slug, ...] = ()
    """Other tests whose readings are held against it as well: the same reading taken in another way."""
    result: Text | None = None
    """The derived result it judges (`linearity`, `port agreement`, `heating factor`); readings are then not judged."""
    quantity: Text
    """What is measured: a quantity of the list of quantities and units, or `yes or no`."""
    sense: Sense
    """Which side of the bound is allowed."""
    strict: YesNo = False
    """Whether the bound itself is outside."""
    bound: Bound | None = None
    """For at most, at least, within (the half-width)."""
    low: Bound | None = None
    """For between: the lower bound."""
    high: Bound | None = None
    """For between."""
    around: Text | None = None
    """For within, what the bound lies around: `setting` is the condition of the test that bears that name, `stated` the
    value the maker states for the item, any other word a characteristic of the item."""
    answer: Literal["yes", "no"] | None = None
    """For answer: the one that meets the limit; where a reading is of trials (`9 of 10`), in each."""
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
    """What need not meet it."""
    permitted: Permitted | None = None
    """A value beyond it that evidence may permit."""
    clause: Text | None = None
    """Where the document says so."""
    document: Text | None = None
    """Where it differs from the set's document: a limit taken over from the set that is extended."""
    edition: Text | None = None
    """Edition of that document."""
    kind: LimitKind
    """What sort of authority stands behind it."""
    status: SourceStatus
    """How well its source was read."""
    verified_by: Text | None = None
    """Who held it against a bought copy, by role."""
    verified_on: Day | None = None
    """Day on which it was held against a bought copy."""
    note: Prose | None = None
    """What is easily misread about it."""

    @property
    def tests(self) -> tuple[str, ...]:
        """Every protocol test whose readings it judges."""
        return (self.test, *self.also)


class LimitSet(Record):
    """A document's limits, chosen together; a file of limits/."""

    set: Slug
    """Its name; that of the file."""
    title: Text
    """The set in a few words."""
    document: Text
    """The document the limits are taken from."""
    edition: Text
    """Edition of that document."""
    jurisdiction: Text
    """Where it applies."""
    note: Prose | None = None
    """What else is to be said of it."""
    extends: Slug | None = None
    """For an organisation's overlay: the set it adds to or tightens."""
    verified_by: Text | None = None
    """Needed by an overlay that loosens a limit."""
    limits: dict[Slug, Limit]
    """The limits, by name."""

    def authority(self, name: str) -> tuple[str, str]:
        """Document and edition a limit of this set stands on. Raises KeyError for a name it does not hold."""
        limit = self.limits[name]
        return (limit.document, limit.edition or self.edition) if limit.document else (self.document, self.edition)


class ChecklistLine(Record):
    """A place to look at, before power."""

    look: Text
    """What is looked at."""
    why: Text
    """What it could show."""
    roles: tuple[Text, ...] = ()
    """Item roles it is asked for; empty means the main device."""
    unless: dict[str, tuple[Text, ...]] = {}
    """Things of which it cannot be asked: characteristic → words. A characteristic that is not recorded does not hinder
    it: a line too many is answered in a word, one too few is a place where nobody looked."""


class ConditionColumn(Record):
    """A condition column of a test."""

    title: Text
    """Its name in words."""
    unit: Text | None = None
    """The unit in which it is written."""
    values: tuple[Text, ...] = ()
    """Words it may take; empty means free or numeric."""
    required: YesNo = True
    """Whether it must be on record for each reading."""
    unless: dict[Text, dict[str, tuple[Text, ...]]] = {}
    """Values that cannot occur: value → characteristic of the device → words. No plan asks to cover them by itself
    where the record of the device holds one of the words; where it says nothing they are asked for."""
    by_name: tuple[Text, ...] = ()
    """Values that no plan asks to cover by itself: a person names them where they occurred."""


class Test(Record):
    """A test: what it measures, what it needs, what it can reach."""

    title: Text
    """The test in a few words."""
    quantity: Text
    """What is measured: a quantity of the list of quantities and units, or `yes or no`."""
    unit: Text
    """Unit in which results are shown, one of its quantity; `1` for a yes or no."""
    answer: Literal["number", "yes or no"] = "number"
    """What a cell of this test holds. A yes or no has no unit in the header."""
    units: tuple[Text, ...] = ()
    """Other units accepted, converted."""
    read_from: Literal["mark", "record", "thing"] | None = None
    """Where it is read, if no instrument measures it: off a `mark`, a plate or a label, which carries no doubt and is
    taken as it stands; from a `record` that the thing keeps, known to its last digit; of the `thing` itself, by eye,
    ear or hand. A second reader is there what a second instrument is elsewhere."""
    purpose: Text
    """What it shows, in a sentence."""
    energised: YesNo
    """Whether the device is under power."""
    connects: Literal["nothing", "safety tester", "analyser", "simulator", "person"]
    """What is connected to the device for it."""
    alters: Tier
    """How much it alters what is tested."""
    functional: YesNo = False
    """Whether it shows the function at the settings used."""
    climate: tuple[Literal["temperature", "humidity", "pressure"], ...] = ()
    """What of the room the result depends on, to be on record with the sheet: the density of the water that is
    weighed, the conditions to which a volume of gas is converted, the air that cools a surface."""
    conditions: dict[str, ConditionColumn] = {}
    """What each reading was taken at, by name."""
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
    """What is computed from its readings."""
    chart: Literal["output against setting", "by condition", "trip window", "none"] = "none"
    """How its readings are drawn."""
    bench_checks: tuple[Text, ...] = ()
    """Checks of the examiner's own bench asked on the sheet."""
    settles: Amount | None = None
    """How long it has to settle, from the beginning of the sheet to its first reading."""
    cautions: tuple[Slug, ...] = ()
    """Cautions printed with it, by their names on the page of cautions."""
    note: Prose | None = None
    """What is easily done wrong."""

    @property
    def told_as(self) -> str:
        """What heads its values: `measured`, `as marked`, `as recorded`, `as seen`, `answer`."""
        if self.read_from is not None:
            return {"mark": "as marked", "record": "as recorded", "thing": "as seen"}[self.read_from]
        return "answer" if self.answer == "yes or no" else "measured"

    @property
    def done(self) -> str:
        """What was done where it has a value: `measured`, `read`, `looked at`, `answered`."""
        if self.read_from is not None:
            return "looked at" if self.read_from == "thing" else "read"
        return "answered" if self.answer == "yes or no" else "measured"


class Topic(Record):
    """Something a test may reach: the name explanations use."""

    title: Text
    """The topic in a few words."""


class Protocol(Record):
    """How a kind of device is examined; a file of protocols/."""

    protocol: Slug
    """Its name; that of the file."""
    title: Text
    """The protocol in a few words."""
    device_kinds: tuple[Slug, ...]
    """Kinds of devices it is for."""
    includes: tuple[Slug, ...] = ()
    """Other protocols whose checklist and tests belong to it."""
    order: tuple[Slug, ...] = ()
    """Tests in the order of work; event-relevant first."""
    checklist: dict[Slug, ChecklistLine] = {}
    """What is looked at before any power."""
    topics: dict[Slug, Topic] = {}
    """What its tests can speak to."""
    tests: dict[Slug, Test] = {}
    """The tests, by name."""
    cautions: tuple[Slug, ...] = ()
    """Cautions printed with all of it, by their names on the page of cautions."""
    note: Prose | None = None
    """What else is to be said of it."""


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
