"""Where an error of a record lies: from the place pydantic names to the path that a person wrote.

pydantic names the branch of a tagged union in the place of an error; nobody wrote that word in the file. The types of
the records say which words those are, so they are followed here rather than guessed from the data.
"""

from __future__ import annotations

import types
from collections.abc import Sequence
from functools import cache
from typing import Annotated, Any, Literal, TypeAlias, Union, get_args, get_origin

from msgspec import Struct
from pydantic import Discriminator, Tag
from pydantic.fields import FieldInfo

from asfound.model.base import Record

Path: TypeAlias = tuple[str | int, ...]


class Target(Struct, frozen=True):
    """What an error is about.

    path   as written in the file
    key    whether the name before the colon is meant, not the value
    owner  the kind of record that the last field belongs to
    field  that field; None where the owner has none of this name
    drop   the smallest part that can be left out so that the rest can be read; None where nothing can
    entry  where the field is a list of records: their kind
    """

    path: Path
    key: bool
    owner: type[Record]
    field: FieldInfo | None
    drop: Path | None
    entry: type[Record] | None = None


class _Map(Struct, frozen=True):
    item: Any


class _List(Struct, frozen=True):
    item: Any


class _Tagged(Struct, frozen=True):
    branches: dict[str, Any]


@cache
def names_of(model: type[Record]) -> dict[str, FieldInfo]:
    """The fields of a record by the names that are written in files (`from`, not `from_`)."""
    return {field.alias or name: field for name, field in model.model_fields.items()}


def target(model: type[Record], location: Sequence[str | int], keep: frozenset[str] = frozenset()) -> Target:
    """Follow the place of an error through the types. `keep` names fields of `model` that are never left out."""
    shape: Any = model
    owner = model
    field: FieldInfo | None = None
    path: Path = ()
    drop: Path | None = None
    in_list = False
    key = False
    for part in location:
        if part == "[key]":
            key = True
            break
        if isinstance(shape, _Tagged):
            shape = _open(shape.branches.get(str(part)))
            continue
        top = not path
        path = (*path, part)
        if isinstance(shape, type) and issubclass(shape, Record):
            owner = shape
            field = names_of(shape).get(str(part))
            loose = field is None or not (field.is_required() or (top and part in keep))
            shape = _open(field.annotation, field.discriminator) if field is not None else None
        elif isinstance(shape, _Map):
            loose = True
            shape = _open(shape.item)
        else:
            loose = False
            in_list = True
            shape = _open(shape.item) if isinstance(shape, _List) else None
        # Leaving out an entry of a list would move all that follow it away from their places.
        if loose and not in_list:
            drop = path
    return Target(path, key, owner, field, drop, _entry(field))


def _entry(field: FieldInfo | None) -> type[Record] | None:
    """The kind of records a field lists."""
    listed = _open(field.annotation, field.discriminator) if field is not None else None
    item = _open(listed.item) if isinstance(listed, _List) else None
    return item if isinstance(item, type) and issubclass(item, Record) else None


def _open(annotation: Any, discriminator: Any = None) -> Any:
    origin = get_origin(annotation)
    if origin is Annotated:
        base, *notes = get_args(annotation)
        for note in notes:
            if isinstance(note, Discriminator):
                discriminator = note
            elif isinstance(note, FieldInfo) and note.discriminator is not None:
                discriminator = note.discriminator
        return _open(base, discriminator)
    if origin in (Union, types.UnionType):
        members = [member for member in get_args(annotation) if member is not types.NoneType]
        if discriminator is not None and len(members) > 1:
            return _Tagged({tag: member for member in members for tag in _tags(member, discriminator)})
        return _open(members[0], discriminator) if len(members) == 1 else None
    if origin is dict:
        return _Map(get_args(annotation)[1])
    if origin in (tuple, list):
        return _List(get_args(annotation)[0])
    return annotation if isinstance(annotation, type) else None


def _tags(member: Any, discriminator: Any) -> tuple[str, ...]:
    if get_origin(member) is Annotated:
        named = [note.tag for note in get_args(member)[1:] if isinstance(note, Tag)]
        if named:
            return tuple(named)
        member = get_args(member)[0]
    if isinstance(discriminator, str) and isinstance(member, type) and issubclass(member, Record):
        annotation = member.model_fields[discriminator].annotation
        if get_origin(annotation) is Literal:
            return tuple(str(word) for word in get_args(annotation))
    return ()
