"""The live copy of a chart in few bytes: what all charts share is left out, what repeats stands once.

The page's loader (`charts.js`) unpacks it in a few lines; `unpacked` does the same here, for whoever checks a page.
Nothing is lost: unpacking gives the very numbers and words that were packed.
"""

from __future__ import annotations

import json
from itertools import accumulate, zip_longest
from operator import eq, ne, sub
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
    "margin": {"pad": 0},
    "shapes": [],
    "xaxis": {
        "color": LIGHT.soft,
        "gridcolor": LIGHT.rule,
        "linecolor": LIGHT.ink,
        "showline": True,
        "tickcolor": LIGHT.ink,
        "tickmode": "array",
        "ticks": "outside",
        "type": "linear",
        "zeroline": False,
    },
    "yaxis": {
        "color": LIGHT.soft,
        "gridcolor": LIGHT.rule,
        "tickmode": "array",
        "type": "linear",
        "zeroline": False,
    },
}
"""What the layout of every chart holds. The loader has the same, and a test holds one against the other."""

LABEL: dict[str, Any] = {"borderpad": 0, "font": {"color": LIGHT.soft}, "showarrow": False, "yanchor": "middle"}
"""What every annotation says, most of them just so. The loader has the same."""

CONFIG: dict[str, Any] = {
    "displaylogo": False,
    "displayModeBar": "hover",
    "modeBarButtons": [["zoom2d", "pan2d", "resetScale2d"]],
    "plotlyServerURL": "",
    "responsive": True,
    "sendData": False,
    "showEditInChartStudio": False,
    "showSendToCloud": False,
    "topojsonURL": "",
}
"""No logo, no upload, no picture service: three tools to look closer and to come back. The loader has the same."""

_INK = LIGHT.ink
OFTEN: list[dict[str, Any]] = [
    {"color": _INK, "line": {"color": _INK, "width": 1.2}, "size": 8},
    {"color": _INK, "thickness": 1.6, "type": "data", "width": 3},
    {"cliponaxis": False, "hovertemplate": "%{customdata[0]}<extra></extra>", "mode": "markers", "type": "scatter"},
    {"hoverinfo": "skip", "mode": "lines", "type": "scatter"},
    {"color": _INK, "dash": "solid", "width": 1.4},
]
"""What marks, bars of doubt and traces often say. The loader has the same, at the same places."""

_LEAST = 2
_MANY = 6
"""Numbers from which on steps are tried."""
_DECIMALS = 9


def packed(figure: dict[str, Any]) -> str:
    """A figure as compact JSON. Raises ValueError where its layout lacks what all share, or a number is not finite.

    A list may stand in another form where that is shorter: `{"$r": [value, times, …]}`; one of numbers as
    `{"$n": decimals, "$s": [the first, steps, …]}`, all counted in the last decimal; one of texts as `{"$d": [each
    text], "$i": [its number, …]}`; one of records as `{"$t": {field: list}}` (null where a record has no such field);
    one of lists of the same length as `{"$z": [list of the first parts, …]}`. What marks say when pointed at, texts of
    several lines each with the address it leads to, is `{"$j": [first lines, second lines, …], "$a": addresses}` (null
    where a text has no such line; for the addresses 1 where each is that of the last line on the same page). A record
    with `"$c": number` holds what stands at that place of `OFTEN` besides.
    """
    layout = _without(figure["layout"], GROUND, "layout")
    if "annotations" in layout:
        layout["annotations"] = [_without(one, LABEL, "an annotation") for one in layout["annotations"]]
    data = [_often(one) for one in figure["data"]]
    lean = {**figure, "data": data, "layout": layout}
    if figure.get("config") == CONFIG:
        del lean["config"]
    return _json(_pack(lean))


def unpacked(text: str) -> dict[str, Any]:
    """The figure again."""
    found: dict[str, Any] = _unpack(json.loads(text))
    found["data"] = [_whole(one) for one in found["data"]]
    layout = found["layout"] = _with(GROUND, found["layout"])
    if "annotations" in layout:
        layout["annotations"] = [_with(LABEL, one) for one in layout["annotations"]]
    return {"config": dict(CONFIG), **found}


def _often(value: Any) -> Any:
    """A record without what stands at a place of `OFTEN`, and the same of the records in it."""
    if not isinstance(value, dict):
        return value
    for number, known in enumerate(OFTEN):
        if all(key in value and value[key] == one and type(value[key]) is type(one) for key, one in known.items()):
            value = {"$c": number, **{key: one for key, one in value.items() if key not in known}}
            break
    return {key: _often(one) for key, one in value.items()}


def _whole(value: Any) -> Any:
    """The record again."""
    if not isinstance(value, dict):
        return value
    left = {key: _whole(one) for key, one in value.items() if key != "$c"}
    return {**OFTEN[value["$c"]], **left} if "$c" in value else left


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
        told = _told(values)
        if told is not None:
            return told
        across = {"$z": [_pack_list(list(column)) for column in zip(*values, strict=True)]}
        rows = [_pack(one) for one in values]
        return _shortest(rows, _runs(rows), across)
    plain = [_pack(one) for one in values]
    if kinds <= {int, float} and len(plain) >= _MANY:
        return _shortest(plain, _runs(plain), _steps(plain))
    if not any(map(eq, plain, plain[1:])) and kinds != {str}:
        # Nothing repeats.
        return plain
    return _shortest(plain, _runs(plain), _numbered(plain) if kinds == {str} else None)


def _shortest(plain: list[Any], *forms: Any) -> Any:
    """The shortest of several forms of a list, the first among equals."""
    found = [one for one in forms if one is not None]
    return min((*found, plain), key=lambda form: len(_json(form))) if found else plain


def _runs(plain: list[Any]) -> Any:
    runs: list[Any] = []
    for one in plain:
        # Words and figures are never taken for each other: 1 and True are the same to Python.
        if runs and runs[-2] == one and type(runs[-2]) is type(one):
            runs[-1] += 1
        else:
            runs += [one, 1]
    return {"$r": runs} if len(runs) < 2 * len(plain) else None


def _steps(plain: list[Any]) -> Any:
    """Numbers as whole steps of their last decimal. A number of so few decimals is that whole number over a power of
    ten, to the last bit: both are exact, and a quotient is rounded as a decimal is when it is read."""
    said = [repr(one) for one in plain]
    if any("e" in one or "n" in one for one in said):
        return None
    decimals = max(len(one.partition(".")[2]) for one in said)
    if decimals > _DECIMALS:
        return None
    scale = 10**decimals
    whole = [round(one * scale) for one in plain]
    if any(abs(one) >= 1 << 53 for one in whole) or any(map(ne, (one / scale for one in whole), plain)):
        return None
    steps = [whole[0], *map(sub, whole[1:], whole)]
    return {"$n": decimals, "$s": _shortest(steps, _runs(steps))}


def _numbered(plain: list[Any]) -> Any:
    """Texts that come back, each once, and its number wherever it stands."""
    names = {one: number for number, one in enumerate(dict.fromkeys(plain))}
    if len(names) == len(plain):
        return None
    numbers = [names[one] for one in plain]
    return {"$d": list(names), "$i": _shortest(numbers, _runs(numbers))}


def _told(pairs: list[Any]) -> Any:
    """Texts of lines with their addresses; None for other pairs."""
    if any(len(pair) != 2 or not all(type(part) is str for part in pair) for pair in pairs):
        return None
    lines = [text.split("<br>") for text, _ in pairs]
    columns = [list(column) for column in zip_longest(*lines)]
    near = all(address == f"#{mine[-1]}" for mine, (_, address) in zip(lines, pairs, strict=True))
    return {
        "$j": [_pack_list(column) for column in columns],
        "$a": 1 if near else _pack_list([address for _, address in pairs]),
    }


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
    if "$n" in value:
        scale = 10 ** value["$n"]
        return [one / scale if value["$n"] else one for one in accumulate(_unpack(value["$s"]))]
    if "$d" in value:
        return [value["$d"][number] for number in _unpack(value["$i"])]
    if "$j" in value:
        lines = [[one for one in row if one is not None] for row in zip(*map(_unpack, value["$j"]), strict=True)]
        at = [f"#{row[-1]}" for row in lines] if value["$a"] == 1 else _unpack(value["$a"])
        return [["<br>".join(row), address] for row, address in zip(lines, at, strict=True)]
    if "$z" in value:
        return [list(one) for one in zip(*(_unpack(column) for column in value["$z"]), strict=True)]
    if "$t" in value:
        columns = {key: _unpack(column) for key, column in value["$t"].items()}
        count = len(next(iter(columns.values())))
        return [{key: column[i] for key, column in columns.items() if column[i] is not None} for i in range(count)]
    return {key: _unpack(one) for key, one in value.items()}
