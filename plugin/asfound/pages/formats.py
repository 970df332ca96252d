"""The file formats, field by field, made from the very records the reader uses."""

from __future__ import annotations

import types
from collections.abc import Iterator, Sequence
from enum import StrEnum
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from jinja2 import Environment
from markupsafe import Markup
from msgspec import Struct

from asfound.measure.units import UNITS, Quantity
from asfound.model import base
from asfound.model.base import Amount, Day, Duration, Moment, Number, Record
from asfound.model.columns import TABLE_COLUMNS
from asfound.model.described import described
from asfound.model.layout import KEYED, ORGANISATION, SINGLE, Keyed, Single
from asfound.model.prose import read_prose
from asfound.pages.page import Options, Page

_NAMED: list[tuple[Any, str]] = [
    (base.Prose, "prose"),
    (base.Text, "text"),
    (base.Told, "text, or the reason why there is none"),
    (base.Ref, "id"),
    (base.Role, "role"),
    (base.Slug, "name"),
    (base.TestName, "name of a test"),
    (base.YesNo, "yes or no"),
    (Number, "number"),
    (Day, "date"),
    (Moment, "time with its offset from UTC"),
    (Amount, "number and unit"),
    (Duration, "length of time"),
]


class FieldLine(Struct, frozen=True):
    """A field of a record."""

    name: str
    kind: Markup
    needed: bool
    meaning: str


class RecordBlock(Struct, frozen=True):
    """A record with its fields."""

    anchor: str
    title: str
    words: str
    lines: tuple[FieldLine, ...]


class FileBlock(Struct, frozen=True):
    """A file, and how its records are keyed."""

    name: str
    keyed: str
    record: RecordBlock


class Parquet(Struct, frozen=True):
    """A table that `asfound table` writes: its file, what it is, and its columns as name, kind and meaning."""

    name: str
    meaning: str
    columns: tuple[tuple[str, str, str], ...]


def formats_page(environment: Environment, options: Options, parquet: Sequence[Parquet] = ()) -> Page:
    """The page of formats. `parquet` are the tables for other programs."""
    shapes: dict[str, Single | Keyed] = {**SINGLE, **KEYED}
    files = [_file(name, shape) for name, shape in shapes.items()]
    files.sort(key=lambda block: (block.name != "case.yml", block.name))
    bench = [_file(f".asfound/{name}", shape) for name, shape in sorted(ORGANISATION.items())]
    shown = {block.record.title for block in (*files, *bench)}
    parts = sorted(_parts(shown), key=lambda block: block.title)
    body = environment.get_template("formats.html").render(
        files=files, bench=bench, parts=parts, tables=TABLE_COLUMNS, parquet=parquet, notice=options.notice,
        quantities=_quantities(),
    )  # fmt: skip
    return Page("formats.md", "Formats", body, "File formats")


def _quantities() -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    """Each quantity with its units: as typed, and in words."""
    return tuple(
        (str(one), tuple((made.symbol, made.name) for made in UNITS if made.quantity is one)) for one in Quantity
    )


def _file(name: str, shape: Single | Keyed) -> FileBlock:
    if isinstance(shape, Keyed):
        return FileBlock(
            name, f"A mapping of records by id: {shape.letter}-1, {shape.letter}-2, …", _record(shape.model)
        )
    return FileBlock(name, "One record.", _record(shape.model))


def _record(model: type[Record]) -> RecordBlock:
    hints = get_type_hints(model, include_extras=True)
    lines = tuple(
        FieldLine(
            info.alias or name, kind_words(hints[name]), info.is_required(), _plain(described(model).get(name, ""))
        )
        for name, info in model.model_fields.items()
    )
    return RecordBlock(anchor_of(model), model.__name__, _plain(model.__doc__ or ""), lines)


def anchor_of(model: type[Record]) -> str:
    """Anchor of a record on the page."""
    return f"record-{model.__name__.lower()}"


def _plain(text: str) -> str:
    return read_prose(text.strip()).plain.strip().replace("\n", " ")


def _parts(shown: set[str]) -> Iterator[RecordBlock]:
    """Records that stand inside others, each once."""
    seen: set[str] = set()
    todo: list[Any] = [shape.model for shape in (*SINGLE.values(), *KEYED.values(), *ORGANISATION.values())]
    while todo:
        model = todo.pop()
        if model.__name__ in seen:
            continue
        seen.add(model.__name__)
        if model.__name__ not in shown:
            yield _record(model)
        for hint in get_type_hints(model, include_extras=True).values():
            todo += _records_in(hint)


def _records_in(hint: Any) -> Iterator[type[Record]]:
    if isinstance(hint, type) and issubclass(hint, Record):
        yield hint
    for inner in get_args(hint):
        yield from _records_in(inner)


def kind_words(hint: Any) -> Markup:
    """What a field takes, in words; records inside are linked."""
    for known, words in _NAMED:
        if hint == known:
            return Markup(words)
    origin, args = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return kind_words(args[0])
    if origin in (Union, types.UnionType):
        kinds = [kind_words(one) for one in args if one is not type(None)]
        return Markup(" or ").join(dict.fromkeys(kinds))
    if origin is Literal:
        return Markup(", ").join(Markup("<code>{}</code>").format(one) for one in args)
    if origin is tuple:
        return Markup("list: {}").format(kind_words(args[0]))
    if origin is dict:
        return Markup("mapping: {} → {}").format(kind_words(args[0]), kind_words(args[1]))
    return _plain_kind(hint)


def _plain_kind(hint: Any) -> Markup:
    if isinstance(hint, type) and issubclass(hint, Record):
        return Markup('<a href="#{}">{}</a>').format(anchor_of(hint), hint.__name__)
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return Markup(", ").join(Markup("<code>{}</code>").format(str(one)) for one in hint)
    return Markup(
        {"str": "text", "int": "whole number", "bool": "yes or no"}.get(getattr(hint, "__name__", ""), "text")
    )
