"""Types of ours read as the library's own markers would have it, and say the same in a JSON Schema."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Annotated, Any

import pytest
from hypothesis import given
from hypothesis import strategies as some
from pydantic import BaseModel, BeforeValidator, Field, TypeAdapter, ValidationError, create_model

from asfound.model import base

# The second road: what pydantic documents for a function that runs before a type, and for what a type must keep to.
TWINS: dict[str, tuple[Any, Any]] = {
    "Text": (base.Text, Annotated[str, BeforeValidator(base._text), Field(min_length=1)]),
    "Prose": (
        base.Prose,
        Annotated[str, BeforeValidator(base._text), Field(min_length=1, json_schema_extra={"format": "prose"})],
    ),
    "Ref": (
        base.Ref,
        Annotated[
            str,
            Field(pattern=base.REF_PATTERN, json_schema_extra={"format": "record"}),
            BeforeValidator(base._text),
        ],
    ),
    "Role": (
        base.Role,
        Annotated[
            str,
            Field(pattern=base.ROLE_PATTERN, json_schema_extra={"format": "role"}),
            BeforeValidator(base._text),
        ],
    ),
    "Slug": (base.Slug, Annotated[str, Field(pattern=base.ROLE_PATTERN), BeforeValidator(base._text)]),
    "TestName": (
        base.TestName,
        Annotated[
            str,
            Field(pattern=r"^[a-z0-9]+(-{1,2}[a-z0-9]+)*$", json_schema_extra={"format": "planned test"}),
            BeforeValidator(base._text),
        ],
    ),
    "YesNo": (base.YesNo, Annotated[bool, BeforeValidator(base._yes_no)]),
    "Number": (base.Number, Annotated[Decimal, BeforeValidator(base._decimal)]),
    "Count": (base.Count, Annotated[int, Field(ge=0), BeforeValidator(base._count)]),
    "Day": (base.Day, Annotated[dt.date, BeforeValidator(base._day)]),
}
TYPED = some.one_of(
    some.none(),
    some.booleans(),
    some.integers(-5, 10**6),
    some.floats(),
    some.decimals(allow_nan=False, allow_infinity=False),
    some.dates(),
    some.datetimes(),
    some.text(max_size=6),
    some.sampled_from(
        [" yes ", "No", "TRUE", "I-3", "I--3", "P-flow--swap", "i-3", "a-b--c", "2026-02-30", "2026-03-09", "1.10",
         "-1", "1e400", "7", "7.5", " ", ["a"], {"a": 1}, ()]
    ),
)  # fmt: skip


def answer(kind: TypeAdapter[Any], value: Any) -> Any:
    try:
        read = kind.validate_python(value)
    except ValidationError as wrong:
        return [{name: one[name] for name in ("type", "loc", "msg", "input") if name in one} for one in wrong.errors()]
    return type(read), repr(read)


@pytest.mark.parametrize("name", TWINS)
def test_both_roads_read_alike(name: str) -> None:
    ours, theirs = (TypeAdapter(one) for one in TWINS[name])

    @given(TYPED)
    def alike(value: Any) -> None:
        assert repr(answer(ours, value)) == repr(answer(theirs, value))

    alike()


@pytest.mark.parametrize("name", TWINS)
def test_both_roads_say_the_same_in_a_schema(name: str) -> None:
    def model(kind: Any) -> type[BaseModel]:
        return create_model(
            "Model", plain=kind, maybe=(kind | None, None), many=(tuple[kind, ...], ()), keyed=(dict[str, kind], {})
        )

    ours, theirs = (model(one).model_json_schema() for one in TWINS[name])
    assert ours == theirs
    assert list(ours["properties"]["plain"]) == list(theirs["properties"]["plain"])


def test_every_type_that_reads_by_a_function_of_ours_has_its_twin() -> None:
    known = {
        name
        for name, one in vars(base).items()
        if any(isinstance(note, base.Reads) for note in getattr(one, "__metadata__", ()))
    }
    assert known == set(TWINS)
