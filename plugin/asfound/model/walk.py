"""Every citation, role, time and text of a record, found from the record's own field types.

A rule that asks something of *all* citations must not keep a list of fields: a field added tomorrow would
escape it. So the kind of each value is read from the annotation of its field (`Ref`, `Role`, `Prose`,
`Moment`...), and for the rows of CSV files, which are plain dataclasses, from one table here.
"""

from __future__ import annotations

import datetime as dt
import types
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Annotated, Any, Literal, NamedTuple, Union, get_args, get_origin

from pydantic import BaseModel

from asfound.model.base import Moment, Reads
from asfound.model.case import Case
from asfound.model.reasoning import Conclusion
from asfound.model.testimony import TimelineRow
from asfound.model.things import CustodyLine, InspectionRow
from asfound.model.work import Reading

Path = tuple[str | int, ...]


class SpotKind(StrEnum):
    """What a value is, for whoever looks for all of one sort."""

    REF = "record"
    ROLE = "role"
    TEST = "planned test"
    PROSE = "prose"
    TEXT = "text"
    TIME = "time"
    DAY = "day"


@dataclass(frozen=True, slots=True)
class Spot:
    """One value of a record.

    where  id of the record, or the name of the file for a file that is one record
    path   from the record to the value, by the names used in the file
    model  name of the record's type that holds the field (`Finding`, `Need`, `CustodyLine`)
    field  name of that field
    kind   what the value is
    value  the text, or the `Moment`, or the date
    """

    where: str
    path: Path
    model: str
    field: str
    kind: SpotKind
    value: Any


ROW_FIELDS: Mapping[type, Mapping[str, SpotKind]] = {
    CustodyLine: {
        "items": SpotKind.REF, "evidence": SpotKind.REF,
        "released_by": SpotKind.ROLE, "received_by": SpotKind.ROLE,
        "signed_out": SpotKind.ROLE, "signed_in": SpotKind.ROLE,
        "released_at": SpotKind.TIME, "received_at": SpotKind.TIME,
        "from_place": SpotKind.TEXT, "to_place": SpotKind.TEXT, "purpose": SpotKind.TEXT,
        "condition": SpotKind.TEXT, "note": SpotKind.TEXT,
    },
    InspectionRow: {
        "item": SpotKind.REF, "evidence": SpotKind.REF, "by": SpotKind.ROLE, "at": SpotKind.TIME,
        "place": SpotKind.TEXT, "what": SpotKind.TEXT, "why": SpotKind.TEXT,
    },
    TimelineRow: {
        "clock": SpotKind.REF, "source": SpotKind.REF, "by": SpotKind.ROLE, "at": SpotKind.TIME,
        "event": SpotKind.TEXT,
    },
    Reading: {
        "repeat_of": SpotKind.REF, "at": SpotKind.TIME, "note": SpotKind.TEXT, "void": SpotKind.TEXT,
    },
}  # fmt: skip
"""What the columns of the CSV files hold."""


def _format(metadata: tuple[Any, ...]) -> str:
    return next((entry.format for entry in metadata if isinstance(entry, Reads) and entry.format), "")


_KIND_OF_FORMAT = {kind.value: kind for kind in (SpotKind.REF, SpotKind.ROLE, SpotKind.TEST, SpotKind.PROSE)}


@cache
def _fields(model: type[BaseModel]) -> tuple[tuple[str, str, Any], ...]:
    """Name, name in the file, and annotation with its metadata put back."""
    found = []
    for name, info in model.model_fields.items():
        annotation: Any = info.annotation
        if info.metadata:
            # pydantic hoists the metadata of the outermost Annotated into the field itself.
            annotation = Annotated[annotation, *info.metadata]
        found.append((name, info.alias or name, annotation))
    return tuple(found)


def walk(record: Any, where: str, path: Path = ()) -> Iterator[Spot]:
    """Every citation, role, planned test, text and time of one record, in the order of its fields."""
    # Put into one list, not handed up from generator to generator: a case holds thousands, some five records deep.
    found: list[Spot] = []
    _record(record, where, path, found)
    return iter(found)


def _record(record: Any, where: str, path: Path, found: list[Spot]) -> None:
    if isinstance(record, BaseModel):
        model = type(record)
        for name, alias, annotation in _fields(model):
            value = getattr(record, name)
            if value is not None:
                _value(value, annotation, where, (*path, alias), model.__name__, name, found)
        return
    columns = ROW_FIELDS.get(type(record))
    if columns is None:
        raise TypeError(f"{type(record).__name__} is no record of a case")
    for name, kind in columns.items():
        value = getattr(record, name)
        values = value if isinstance(value, tuple) else (value,)
        for one in values:
            if one not in ("", None):
                found.append(Spot(where, (name,), type(record).__name__, name, kind, one))


def _value(
    value: Any, annotation: Any, where: str, path: Path, model: str, field: str, found: list[Spot]
) -> None:  # fmt: skip
    if isinstance(value, BaseModel):
        _record(value, where, path, found)
    elif isinstance(value, Moment):
        found.append(Spot(where, path, model, field, SpotKind.TIME, value))
    elif isinstance(value, dt.date):
        found.append(Spot(where, path, model, field, SpotKind.DAY, value))
    elif isinstance(value, tuple):
        inner = _form(annotation).items
        for index, one in enumerate(value):
            _value(one, inner, where, (*path, index), model, field, found)
    elif isinstance(value, dict):
        form = _form(annotation)
        # Keys of a mapping count where they name a record elsewhere; a role's key defines it.
        citing = _form(form.keys).text is SpotKind.REF
        for name, one in value.items():
            if citing and isinstance(name, str):
                found.append(Spot(where, (*path, name), model, field, SpotKind.REF, name))
            _value(one, form.values, where, (*path, name), model, field, found)
    elif isinstance(value, str) and not isinstance(value, StrEnum):
        kind = _form(annotation).text
        if kind is not None:
            found.append(Spot(where, path, model, field, kind, value))


class _Form(NamedTuple):
    """What an annotation says of values of each sort.

    text          kind of a text; None where no text is meant, as for one of several fixed words
    items         annotation of what a tuple holds
    keys, values  annotations of what a mapping holds
    """

    text: SpotKind | None
    items: Any
    keys: Any
    values: Any


_seen: dict[int, tuple[Any, _Form]] = {}


def _form(annotation: Any) -> _Form:
    """What an annotation says, worked out once.

    Looked up by identity, since some of what pydantic keeps has no hash; each is held, so that no other takes its
    place.
    """
    known = _seen.get(id(annotation))
    if known is None or known[0] is not annotation:
        bare, _ = _bare(annotation)
        form = _Form(_text(annotation), _argument(bare, tuple, 0), _argument(bare, dict, 0), _argument(bare, dict, 1))
        known = _seen[id(annotation)] = (annotation, form)
    return known[1]


_UNIONS = frozenset((Union, types.UnionType))


def _bare(annotation: Any) -> tuple[Any, SpotKind | None]:
    """An annotation without what is said beside it, and the kind of text it speaks of."""
    kind = None
    while get_origin(annotation) is Annotated:
        annotation, *metadata = get_args(annotation)
        kind = _KIND_OF_FORMAT.get(_format(tuple(metadata)), kind)
    return annotation, kind


def _text(annotation: Any, kind: SpotKind = SpotKind.TEXT) -> SpotKind | None:
    bare, said = _bare(annotation)
    if get_origin(bare) in _UNIONS:
        # Of the members, the one that takes a text says what the text is.
        member = next((one for one in get_args(bare) if _takes_text(one)), None)
        return None if member is None else _text(member, said or kind)
    return None if get_origin(bare) is Literal else said or kind


def _takes_text(annotation: Any) -> bool:
    while get_origin(annotation) is Annotated:
        annotation = get_args(annotation)[0]
    if get_origin(annotation) in _UNIONS:
        # An optional text-or-reason is a union within a union.
        return any(_takes_text(one) for one in get_args(annotation))
    return annotation is str


def _argument(annotation: Any, origin: type, index: int) -> Any:
    if get_origin(annotation) in _UNIONS:
        for member in get_args(annotation):
            plain = get_args(member)[0] if get_origin(member) is Annotated else member
            if get_origin(plain) is origin:
                annotation = plain
                break
    arguments = get_args(annotation)
    return arguments[index] if index < len(arguments) else Any


def walk_case(case: Case) -> Iterator[Spot]:
    """Every spot of a case: its single files first, then its records by id, then its rows.

    A dozen rules ask for them, so they are found once and kept with the case, as its own lookups are.
    """
    kept: dict[str, Any] = case.__dict__
    if "_spots" not in kept:
        kept["_spots"] = tuple(_walked(case))
    return iter(kept["_spots"])


def _walked(case: Case) -> Iterator[Spot]:
    yield from walk(case.head, "case.yml")
    if case.injury is not None:
        yield from walk(case.injury, "injury.yml")
    if case.scene is not None:
        yield from walk(case.scene.model_copy(update={"settings": {}, "connections": {}}), "scene.yml")
    if case.plan is not None:
        yield from walk(case.plan.model_copy(update={"tests": {}}), "plan.yml")
    if isinstance(case.conclusion, Conclusion):
        yield from walk(case.conclusion, "conclusion.yml")
    for ref, record in case.records.items():
        yield from walk(record, ref)
