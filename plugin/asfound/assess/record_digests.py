"""A digest of every record, so that what changed after a signature can be named by record and not only by file."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass
from decimal import Decimal
from enum import Enum
from functools import cache
from typing import Any

from pydantic import BaseModel

from asfound.model.bench import Instrument, Settings
from asfound.model.case import Case

SETTINGS = ".asfound/settings.yml"
"""Under which name the organisation's settings stand among the records."""

_PLACE = frozenset(("line",))
# Where a row stands is no part of what it says: a row put in above it changes nothing.
_AS_IT_IS = frozenset((str, int, bool))


def record_digests(case: Case, instruments: Mapping[str, Instrument], settings: Settings) -> dict[str, str]:
    """Id → SHA-256 of the record's canonical JSON.

    A file that is one record stands under its name, without the records below it that have ids of their own. The
    instruments that were used and the settings stand beside them: they decide about verdicts too. What is as it is by
    default is left out, so that a record keeps its digest when a later version knows more fields.
    """
    found = {ref: digest(record) for ref, record in case.records.items()}
    found |= {name: digest(record) for name, record in _singles(case).items()}
    return dict(sorted((found | bench_digests(instruments, settings)).items()))


def bench_digests(instruments: Mapping[str, Instrument], settings: Settings) -> dict[str, str]:
    """The digests of what the organisation brings, which no digest of the case's files covers."""
    return {ref: digest(one) for ref, one in sorted(instruments.items())} | {SETTINGS: digest(settings)}


def _singles(case: Case) -> dict[str, Any]:
    found: dict[str, Any] = {"case.yml": case.head}
    if case.injury is not None:
        found["injury.yml"] = case.injury
    if case.scene is not None:
        found["scene.yml"] = case.scene.model_copy(update={"settings": {}, "connections": {}})
    if case.plan is not None:
        found["plan.yml"] = case.plan.model_copy(update={"tests": {}})
    if case.conclusion is not None:
        found["conclusion.yml"] = case.conclusion
    return found


def digest(record: Any) -> str:
    """SHA-256 of a record: compact JSON, sorted keys, UTF-8; times, amounts and values as they were typed."""
    text = json.dumps(_plain(record), ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def _plain(value: Any) -> Any:
    if value is None or type(value) in _AS_IT_IS:
        return value
    if isinstance(value, Enum):
        return _plain(value.value)
    if isinstance(value, BaseModel):
        return value.model_dump(mode="json", exclude_defaults=True)
    typed = getattr(value, "text", None)
    if isinstance(typed, str):
        # A value, time or amount: everything else in it follows from what was typed.
        return typed
    if hasattr(value, "_fields") or is_dataclass(value):
        kind: Any = type(value)
        held = ((name, usual, getattr(value, name)) for name, usual in _usual(kind))
        return {name: _plain(one) for name, usual, one in held if usual is MISSING or one != usual}
    if isinstance(value, Mapping):
        return {str(name): _plain(one) for name, one in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(one) for one in value]
    if isinstance(value, dt.date | Decimal):
        return str(value)
    raise TypeError(f"{type(value).__name__} is nothing that a record is made of")


@cache
def _usual(kind: Any) -> tuple[tuple[str, Any], ...]:
    """The fields of a row that say something, and what each holds where nothing is said."""
    if is_dataclass(kind):
        named = {
            one.name: one.default if one.default_factory is MISSING else one.default_factory() for one in fields(kind)
        }
    else:
        named = {name: kind._field_defaults.get(name, MISSING) for name in kind._fields}
    return tuple((name, usual) for name, usual in named.items() if name not in _PLACE)
