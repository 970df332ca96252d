"""What the fields of a record are for: the texts behind them in the source, which schemas and messages print.

The library of the records can collect these texts while it makes each class; that is a tenth of the start of a check,
which hardly ever prints one. Here they are read when somebody asks.
"""

from __future__ import annotations

import ast
import inspect
import sys
from collections.abc import Mapping
from functools import cache
from itertools import pairwise
from types import ModuleType

from pydantic import BaseModel


@cache
def described(model: type[BaseModel]) -> Mapping[str, str]:
    """The text behind each field of a record, by the field's name in Python; fields without one are left out.

    A field a record takes over from another keeps its text; one that it states anew has the text that stands there.
    """
    found: dict[str, str] = {}
    for kind in reversed(model.__mro__):
        if issubclass(kind, BaseModel) and kind is not BaseModel:
            for name, text in _stated(kind).items():
                found.pop(name, None)
                if text:
                    found[name] = text
    explicit = {name: info.description for name, info in model.model_fields.items() if info.description}
    return {name: text for name, text in (found | explicit).items() if name in model.model_fields}


def description(model: type[BaseModel], name: str) -> str:
    """The text behind a field, by its name in files or in Python; empty where there is none."""
    own = next((one for one, info in model.model_fields.items() if name in (info.alias, one)), "")
    return described(model).get(own, "")


@cache
def _stated(kind: type) -> Mapping[str, str]:
    """Every field that the body of a class states, with the text on the lines behind it or an empty one."""
    body = _classes(sys.modules[kind.__module__])[kind.__qualname__]
    found = {
        one.target.id: "" for one in body.body if isinstance(one, ast.AnnAssign) and isinstance(one.target, ast.Name)
    }
    for one, after in pairwise(body.body):
        if (
            isinstance(one, ast.AnnAssign)
            and isinstance(one.target, ast.Name)
            and isinstance(after, ast.Expr)
            and isinstance(after.value, ast.Constant)
            and isinstance(after.value.value, str)
        ):
            found[one.target.id] = inspect.cleandoc(after.value.value)
    return found


@cache
def _classes(module: ModuleType) -> Mapping[str, ast.ClassDef]:
    """The classes of a module by their qualified names, from one reading of its source; none made in a function."""
    found: dict[str, ast.ClassDef] = {}
    waiting = [("", one) for one in ast.parse(inspect.getsource(module)).body]
    for before, one in waiting:
        if isinstance(one, ast.ClassDef):
            found[f"{before}{one.name}"] = one
            waiting += [(f"{before}{one.name}.", inner) for inner in one.body]
    return found
