"""What every record of a case is made of: text that means something, times with zones, reasons for blanks.

Scalars arrive as the text that was typed; each type here reads that text itself, so that `no`, `12:30` or
`1.10` never turn into something the writer did not mean. A type that cannot read its text raises a
`PydanticCustomError` whose type is the name of the rule that refuses it and whose context carries
`found`, `needed` and `mend`, ready to be put at its place in the file.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Annotated, Any, ClassVar, Literal

from pydantic import (
    BaseModel,
    ConfigDict,
    Discriminator,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    Tag,
    model_validator,
)
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from asfound.model.number import Fault, read_decimal


class Record(BaseModel):
    """Base of all records: frozen, and a field nobody knows is an error, not a shrug."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        # A check needs some of the records, and each builds what validates it when it is first needed.
        defer_build=True,
        populate_by_name=True,
        serialize_by_alias=True,
    )

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        from asfound.model.described import described

        made = handler(schema)
        fields = handler.resolve_ref_schema(made).get("properties", {})
        for name, text in described(cls).items():
            fields[cls.model_fields[name].alias or name]["description"] = text
        return made


def fault(rule: str, found: str, needed: str, mend: str = "") -> PydanticCustomError:
    """A refusal that names its rule."""
    return PydanticCustomError(rule, "{found}; {needed}", {"found": found, "needed": needed, "mend": mend})


class Reads:
    """How a type of ours is read: a function of ours takes what was typed, the library's own type what comes of it.

    `BeforeValidator` and `Field` say the same; the library takes them apart again for each of six hundred fields, which
    is 20 ms of a check of one case. `format` is what a JSON Schema calls it, and what a walk through a record asks.
    """

    __slots__ = ("format", "function", "schema")

    def __init__(self, function: Callable[[Any], Any], schema: CoreSchema, format: str = "") -> None:
        self.function, self.schema, self.format = function, schema, format

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        # A copy: the library writes into what it is given.
        return core_schema.no_info_before_validator_function(self.function, {**self.schema})

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        made = handler(schema)
        return {**made, "format": self.format} if self.format else made


def _text(value: Any) -> Any:
    if isinstance(value, str):
        text = value.strip()
        if not text:
            raise fault(
                "value-blank",
                "nothing stands here",
                "a text is needed",
                "Write it, or say why it is not known.",
            )
        return text
    if value is None:
        raise fault("value-blank", "nothing stands here", "a text is needed", "Write it, or say why it is not known.")
    return value


Text = Annotated[str, Reads(_text, core_schema.str_schema(min_length=1))]
"""Text that is not blank."""

Prose = Annotated[str, Reads(_text, core_schema.str_schema(min_length=1), "prose")]
"""Markdown without HTML or images. `[R-output-3]` links a record, `[=R-output-3]` prints its value and unit."""

ID_PATTERN = r"^[A-Z]-[a-z0-9]+(-[a-z0-9]+)*$"
REF_PATTERN = r"^[A-Z]-[a-z0-9]+(--?[a-z0-9]+)*$"
"""What cites a record: its id, or that of a planned test, whose second use bears two hyphens (`P-flow-rate--swap`)."""
Ref = Annotated[str, Reads(_text, core_schema.str_schema(pattern=REF_PATTERN), "record")]
"""The id of a record: a capital, a hyphen, then small letters and digits (`I-3`, `R-output-12`)."""

Refs = tuple[Ref, ...]

ROLE_PATTERN = r"^[a-z0-9]+(-[a-z0-9]+)*$"
Role = Annotated[str, Reads(_text, core_schema.str_schema(pattern=ROLE_PATTERN), "role")]
"""A person, by role: a key of `people` in case.yml. Never a name."""

Slug = Annotated[str, Reads(_text, core_schema.str_schema(pattern=ROLE_PATTERN))]
"""Small letters, digits and hyphens."""


TestName = Annotated[
    str,
    Reads(_text, core_schema.str_schema(pattern=r"^[a-z0-9]+(-{1,2}[a-z0-9]+)*$"), "planned test"),
]
"""A protocol's test name; a second use of the same test adds `--` and a word: `output-power--swap`."""


def _yes_no(value: Any) -> Any:
    if isinstance(value, bool):
        return value
    if isinstance(value, str) and value.strip().lower() in {"yes", "true"}:
        return True
    if isinstance(value, str) and value.strip().lower() in {"no", "false"}:
        return False
    raise fault("not-yes-or-no", _found(value), "yes or no is needed", "Write yes or no.")


YesNo = Annotated[bool, Reads(_yes_no, core_schema.bool_schema())]
YesNoUnknown = Literal["yes", "no", "not known"]


def _found(value: Any) -> str:
    if value is None:
        return "nothing stands here"
    if isinstance(value, dict):
        return "a mapping stands here"
    if isinstance(value, list | tuple):
        return "a list stands here"
    return f'found "{value}"'


def _decimal(value: Any) -> Any:
    if isinstance(value, Decimal):
        return value
    if isinstance(value, int) and not isinstance(value, bool):
        return Decimal(value)
    if not isinstance(value, str):
        raise fault("value-not-a-number", _found(value), "a decimal number is needed")
    read = read_decimal(value)
    if isinstance(read, Fault):
        raise fault("value-not-a-number", read.found, read.needed, read.mend)
    return read


Number = Annotated[Decimal, Reads(_decimal, core_schema.decimal_schema())]
"""An exact decimal, kept with the digits it was typed with."""


def _count(value: Any) -> Any:
    number = _decimal(value)
    return int(number) if number == int(number) else value


Count = Annotated[int, Reads(_count, core_schema.int_schema(ge=0))]


class _FromText:
    """A frozen value that is read from text and printed back as the same text."""

    text: str
    schema_pattern: ClassVar[str]
    """What an editor may hold the text to: never stricter than `read`."""

    @classmethod
    def read(cls, value: Any) -> Any:
        raise NotImplementedError  # pragma: no cover - each child has its own

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            cls.read, serialization=core_schema.plain_serializer_function_ser_schema(lambda value: value.text)
        )

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        told = (cls.__doc__ or "").strip().splitlines()[0]
        return {"type": "string", "description": told, "pattern": cls.schema_pattern}


_MOMENT = re.compile(
    r"(\d{4}-\d{2}-\d{2})[ T](\d{2}:\d{2})(:\d{2}(?:\.\d{1,6})?)? ?(Z|[+-]\d{2}:\d{2}|\u2212\d{2}:\d{2})?",
    re.ASCII,
)


# A log holds a hundred thousand times of few days and mostly one offset: these are read once and shared.
_date = lru_cache(maxsize=512)(dt.date.fromisoformat)


@lru_cache(maxsize=512)
def _zone(offset: str) -> dt.tzinfo:
    zone = dt.datetime.fromisoformat(f"2000-01-01T00:00{offset.replace(chr(0x2212), '-')}").tzinfo
    assert zone is not None  # the pattern asks for an offset
    return zone


@dataclass(frozen=True, slots=True)
class Moment(_FromText):
    """A time of day with its date and its offset from UTC: `2026-03-09 15:12 -05:00`."""

    schema_pattern: ClassVar[str] = (
        r"^\s*\d{4}-\d{2}-\d{2}[ T]\d{2}:\d{2}(:\d{2}(\.\d+)?)? ?(Z|[+\-\u2212]\d{2}:\d{2})\s*$"
    )
    text: str
    at: dt.datetime

    @classmethod
    def read(cls, value: Any) -> Moment:
        """Read a moment. Refuses a time without zone, since nobody can place it later."""
        if isinstance(value, Moment):
            return value
        if not isinstance(value, str):
            raise fault("time-unreadable", _found(value), "a date, time and zone are needed", _MOMENT_MEND)
        match = _MOMENT.fullmatch(value.strip())
        if match is None:
            raise fault("time-unreadable", _found(value), "a date, time and zone are needed", _MOMENT_MEND)
        day, clock, seconds, zone = match.groups()
        if zone is None:
            raise fault(
                "time-without-zone",
                f'found "{value}" without a zone',
                "the offset from UTC that the clock was on is needed",
                "Add it after the time, as in 2026-03-09 15:12 -05:00.",
            )
        if not "1900" <= day[:4] < "2200":
            raise fault(
                "time-unreadable", f"found the year {day[:4]}", "a year from 1900 to 2199 is needed", _MOMENT_MEND
            )
        if zone != "Z" and (zone[1:] > "14:00" or zone[4:] > "59"):
            raise fault(
                "time-unreadable", f"found the offset {zone}", "an offset from -14:00 to +14:00 is needed", _MOMENT_MEND
            )
        try:
            if clock >= "24":
                raise ValueError("hour must be in 0..23")
            at = dt.datetime.combine(_date(day), dt.time.fromisoformat(clock + (seconds or "")), _zone(zone))
        except ValueError as error:
            raise fault(
                "time-unreadable", f'found "{value}": {error}', "a date that exists is needed", _MOMENT_MEND
            ) from None
        return cls(value.strip(), at)

    @property
    def utc(self) -> dt.datetime:
        """The same instant in UTC."""
        return self.at.astimezone(dt.UTC)

    def __lt__(self, other: Moment) -> bool:
        return self.at < other.at

    def __le__(self, other: Moment) -> bool:
        return self.at <= other.at

    def __gt__(self, other: Moment) -> bool:
        return self.at > other.at

    def __ge__(self, other: Moment) -> bool:
        return self.at >= other.at


_MOMENT_MEND = "Write it as 2026-03-09 15:12 -05:00: year-month-day, hours and minutes, offset from UTC."


def _day(value: Any) -> Any:
    if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
        return value
    if isinstance(value, str) and re.fullmatch(r"\d{4}-\d{2}-\d{2}", value.strip(), re.ASCII):
        try:
            return dt.date.fromisoformat(value.strip())
        except ValueError as error:
            raise fault("date-unreadable", f'found "{value}": {error}', "a date that exists is needed") from None
    raise fault("date-unreadable", _found(value), "a date is needed", "Write it as 2026-03-09: year, month, day.")


Day = Annotated[dt.date, Reads(_day, core_schema.date_schema())]

_AMOUNT = re.compile(r"(\S+)[ \u00a0]+(\S.*)")


@dataclass(frozen=True, slots=True)
class Amount(_FromText):
    """A number and its unit, with a space between: `90 W`, `0.11 Ω`."""

    schema_pattern: ClassVar[str] = r"^\s*[+-]?[0-9][0-9.eE+-]*[ \u00a0]+\S"
    text: str
    value: Decimal
    unit: str

    @classmethod
    def read(cls, value: Any) -> Amount:
        """Read an amount. A bare number is refused: a missing unit is never guessed."""
        if isinstance(value, Amount):
            return value
        if not isinstance(value, str):
            raise fault("amount-unreadable", _found(value), "a number and its unit are needed", "Write it as in 90 W.")
        match = _AMOUNT.fullmatch(value.strip())
        head = match.group(1) if match else value.strip()
        read = read_decimal(head)
        if isinstance(read, Fault):
            raise fault(
                "amount-unreadable",
                f'found "{value}": {read.found}',
                "a number and its unit are needed",
                read.mend or "Write it as in 90 W.",
            )
        if match is None:
            raise fault(
                "amount-without-unit",
                f'found "{value}" without a unit',
                "a number and its unit are needed",
                f"Write the unit after the number, as in {value.strip()} W.",
            )
        return cls(value.strip(), read, match.group(2).strip())


_CENTURY = 36_525 * 86_400
"""Seconds; no clock is further off, and no span of a case is longer."""
_DURATION = re.compile(
    r"([+\-\u2212]?) ?(?:(\d+) ?d)? ?(?:(\d+) ?h)? ?(?:(\d+) ?min)? ?(?:(\d+(?:\.\d+)?) ?s)?", re.ASCII
)


@dataclass(frozen=True, slots=True)
class Duration(_FromText):
    """A length of time with its units: `40 min`, `-6 min 20 s`, `1 h 05 min`."""

    schema_pattern: ClassVar[str] = r"^\s*[+\-\u2212]? ?\d+(\.\d+)? ?(d|h|min|s)"
    text: str
    seconds: Decimal

    @classmethod
    def read(cls, value: Any) -> Duration:
        """Read a length of time; a sign makes it an offset."""
        if isinstance(value, Duration):
            return value
        mend = "Write it with its units, as in 40 min or -6 min 20 s."
        if not isinstance(value, str):
            raise fault("duration-unreadable", _found(value), "a length of time is needed", mend)
        match = _DURATION.fullmatch(value.strip())
        if match is None or not any(match.groups()[1:]):
            raise fault("duration-unreadable", _found(value), "a length of time is needed", mend)
        sign, days, hours, minutes, seconds = match.groups()
        total = (
            Decimal(days or 0) * 86400 + Decimal(hours or 0) * 3600 + Decimal(minutes or 0) * 60 + Decimal(seconds or 0)
        )
        if total > _CENTURY:
            raise fault("duration-unreadable", _found(value[:40]), "at most a hundred years are needed", mend)
        return cls(value.strip(), -total if sign in {"-", "\u2212"} else total)


class NotKnown(Record):
    """Why something is not known. Exactly one of the four."""

    # Built at once: half of all records hold it, and each would build it for itself, 4 ms of a check.
    model_config = ConfigDict(defer_build=False)

    not_recorded: Text | None = None
    """Nobody wrote it down; why."""
    not_applicable: Text | None = None
    """It does not exist for this thing; why."""
    not_accessible: Text | None = None
    """It exists, but could not be reached; why."""
    not_known: Text | None = None
    """Asked for and not known; why."""

    @model_validator(mode="after")
    def _one_reason(self) -> NotKnown:
        given = [name for name in type(self).model_fields if getattr(self, name) is not None]
        if len(given) != 1:
            found = "no reason stands here" if not given else f"{len(given)} reasons stand here: {', '.join(given)}"
            mend = (
                "Write the text itself, where there is one; else give one of not_recorded, not_applicable, "
                "not_accessible, not_known, and say why after the colon."
            )
            raise fault("reason-not-single", found, "exactly one reason is needed", mend)
        return self

    @property
    def words(self) -> str:
        """`not recorded: the label is worn off`."""
        for name in ("not_recorded", "not_applicable", "not_accessible", "not_known"):
            why = getattr(self, name)
            if why is not None:
                return f"{name.replace('_', ' ')}: {why}"
        return "not known"


def _told_branch(value: Any) -> str:
    return "reason" if isinstance(value, dict | NotKnown) else "text"


Told = Annotated[Annotated[Text, Tag("text")] | Annotated[NotKnown, Tag("reason")], Discriminator(_told_branch)]
"""A text, or the reason why there is none."""


def told(value: str | NotKnown | None) -> str:
    """The words for a field that may carry a reason instead of a value."""
    if value is None:
        return "not stated"
    return value.words if isinstance(value, NotKnown) else value
