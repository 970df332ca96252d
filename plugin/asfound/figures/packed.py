"""The live copy of a chart in few bytes: what all charts share is left out, what repeats stands once.

The page's loader (`charts.js`) unpacks it in a few lines; `unpacked` does the same here, for whoever checks a page.
Nothing is lost: unpacking gives the very numbers and words that were packed.
"""

from __future__ import annotations

import json
from operator import eq
from typing import Any

from .palette import COLOURS, LIGHT
from .parts import SIZE

GROUND: dict[str, Any] = {
    "dragmode": "zoom",
    "font": {"color": LIGHT.ink, "family": "Source Sans 3, sans-serif", "size": SIZE},
    "hoverlabel": {
        "align": "left",
        "bgcolor": LIGHT.wash,
        "bordercolor": LIGHT.soft,
        "font": {"color": LIGHT.ink},
    },
    "hovermode": "closest",
    "meta": {"colours": {getattr(LIGHT, name): f"--af-{name}" for name in COLOURS}},
    "paper_bgcolor": "rgba(0,0,0,0)",
    "plot_bgcolor": "rgba(0,0,0,0)",
    "showlegend": False,
    "xaxis": {"color": LIGHT.soft, "gridcolor": LIGHT.rule, "linecolor": LIGHT.ink, "tickmode": "array"},
    "yaxis": {"color": LIGHT.soft, "gridcolor": LIGHT.rule, "tickmode": "array"},
}
"""What the layout of every chart holds. The loader has the same, and a test holds one against the other."""

_LEAST = 2


def packed(figure: dict[str, Any]) -> str:
    """A figure as compact JSON. Raises ValueError where its layout lacks what all share, or a number is not finite.

    A list may stand as `{"$r": [value, times, …]}` where that is shorter, one of records as `{"$t": {field: list}}`
    (null where a record has no such field), one of lists of the same length as `{"$z": [list of the first parts, …]}`.
    """
    lean = {**figure, "layout": _without(figure["layout"], GROUND, "layout")}
    return _json(_pack(lean))


def unpacked(text: str) -> dict[str, Any]:
    """The figure again."""
    found: dict[str, Any] = _unpack(json.loads(text))
    found["layout"] = _with(GROUND, found["layout"])
    return found


def _json(value: object) -> str:
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def _without(layout: dict[str, Any], ground: dict[str, Any], at: str) -> dict[str, Any]:
    out = {}
    for key, value in layout.items():
        if key not in ground:
            out[key] = value
        elif isinstance(ground[key], dict):
            left = _without(value, ground[key], f"{at}.{key}")
            if left:
                out[key] = left
        elif value != ground[key]:
            out[key] = value
    missing = sorted(ground.keys() - layout.keys())
    if missing:
        raise ValueError(f"{at} lacks {', '.join(missing)}, which every chart has")
    return out


def _with(ground: dict[str, Any], layout: dict[str, Any]) -> dict[str, Any]:
    out = dict(ground)
    for key, value in layout.items():
        own = isinstance(value, dict) and isinstance(ground.get(key), dict)
        out[key] = _with(ground[key], value) if own else value
    return out


def _pack(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _pack(one) for key, one in value.items()}
    if isinstance(value, float):
        return int(value) if value.is_integer() and abs(value) < 1e15 else value
    if isinstance(value, (list, tuple)):
        return _pack_list(list(value))
    return value


def _pack_list(values: list[Any]) -> Any:
    if len(values) < _LEAST:
        return [_pack(one) for one in values]
    kinds = set(map(type, values))
    if kinds == {dict}:
        return _table(values)
    if kinds <= {list, tuple} and all(len(one) == len(values[0]) for one in values) and len(values[0]) > 0:
        return {"$z": [_pack_list(list(column)) for column in zip(*values, strict=True)]}
    plain = [_pack(one) for one in values]
    if not any(map(eq, plain, plain[1:])):
        # Nothing repeats, as along a curve.
        return plain
    runs: list[Any] = []
    for one in plain:
        # Words and figures are never taken for each other: 1 and True are the same to Python.
        if runs and runs[-2] == one and type(runs[-2]) is type(one):
            runs[-1] += 1
        else:
            runs += [one, 1]
    if len(runs) >= 2 * len(plain):
        return plain
    return min(({"$r": runs}, plain), key=lambda form: len(_json(form)))


def _table(records: list[dict[str, Any]]) -> Any:
    """Records as one list a field. One that says null of itself could not be told from one without the field."""
    if not any(records) or any(value is None for one in records for value in one.values()):
        return [_pack(one) for one in records]
    fields = sorted({key for one in records for key in one})
    return {"$t": {key: _pack_list([one.get(key) for one in records]) for key in fields}}


def _unpack(value: Any) -> Any:
    if isinstance(value, list):
        return [_unpack(one) for one in value]
    if not isinstance(value, dict):
        return value
    if "$r" in value:
        runs = value["$r"]
        return [_unpack(one) for one, times in zip(runs[::2], runs[1::2], strict=True) for _ in range(times)]
    if "$z" in value:
        return [list(one) for one in zip(*(_unpack(column) for column in value["$z"]), strict=True)]
    if "$t" in value:
        columns = {key: _unpack(column) for key, column in value["$t"].items()}
        count = len(next(iter(columns.values())))
        return [{key: column[i] for key, column in columns.items() if column[i] is not None} for i in range(count)]
    return {key: _unpack(one) for key, one in value.items()}
