"""Rows by the hundred thousand, as named tuples.

A frozen dataclass fills each of its fields through a checked setter; a tuple is filled in one step, in a third of the
time and with less memory. In the dossier a row is an object all the same, with the names of its fields.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, get_type_hints

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler
    from pydantic_core import CoreSchema


def as_object(row: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
    """How pydantic writes and reads a named tuple: as a mapping of its fields, each by its own type."""
    # Imported here: the grammar of numbers, which is one of these rows, has to load without pydantic.
    from pydantic_core import core_schema

    told = core_schema.typed_dict_schema(
        {
            name: core_schema.typed_dict_field(handler.generate_schema(kind), required=name not in row._field_defaults)
            for name, kind in get_type_hints(row).items()
        },
        extra_behavior="forbid",
    )
    return core_schema.union_schema(
        [
            core_schema.is_instance_schema(row),
            core_schema.no_info_after_validator_function(lambda fields: row(**fields), told),
        ],
        serialization=core_schema.wrap_serializer_function_ser_schema(
            lambda value, write: write(value._asdict()), schema=told
        ),
    )
