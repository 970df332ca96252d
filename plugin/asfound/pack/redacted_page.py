"""The redacted edition as one HTML file: plain tables, no script, nothing from outside, nothing but the JSON's."""

from __future__ import annotations

import base64
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from markupsafe import Markup, escape

_TABLES = {
    "custody": "Custody", "inspection": "Inspection", "readings": "Readings", "timeline": "Events",
    "verdicts": "Verdicts", "results": "Derived results",
}  # fmt: skip
"""Sections whose records are rows of one table."""

_SECTIONS = {
    "event": "The event as it was told", "injury": "The injury as it was seen", "items": "Things", "scene": "The scene",
    "room": "The room", "service": "Service history", "custody": "Custody", "inspection": "Inspection",
    "gates": "Gates", "plan": "The plan", "instruments": "Instruments", "sheets": "Sheets", "readings": "Readings",
    "verdicts": "Verdicts", "results": "Derived results", "evidence": "Evidence", "statements": "Statements",
    "clocks": "Clocks", "timeline": "Events", "findings": "Findings", "explanations": "Explanations",
    "conclusion": "Conclusion", "exceptions": "Rules lifted on purpose",
}  # fmt: skip
_SKIPPED = frozenset(("members", "k", "strict", "steps", "numbers", "of"))
"""Columns of computed rows that only the JSON shows."""

_STYLE = """
body { font: 16px/1.5 Georgia, serif; max-width: 60rem; margin: 2rem auto; padding: 0 1rem;
  color: #111; background: #fff }
table { border-collapse: collapse; width: 100%; font-size: .85rem; margin: .5rem 0 1.2rem }
th, td { border: 1px solid #bbb; padding: .25rem .4rem; text-align: left; vertical-align: top; overflow-wrap: anywhere }
tbody th { min-width: 7rem; overflow-wrap: normal }
.wide { overflow-x: auto } figure { margin: 1rem 0 } img { max-width: 100%; height: auto }
h1, h2, h3 { line-height: 1.2 } h2 { border-top: 2px solid #111; padding-top: .4rem; margin-top: 2rem }
"""


def page(
    data: Mapping[str, Any], removed: Iterable[str], unchecked: Iterable[str], pictures: Mapping[str, tuple[bytes, str]]
) -> bytes:
    """The page. `pictures` are bytes and media type by id of their evidence."""
    body = [
        Markup("<h1>{}</h1>").format(data["title"]),
        Markup("<p>This is a redacted edition. It shows what a case tells of a device and its use, without dates, "
               "names, serial numbers and places. A pass of a test says that this reading met this limit; it does not "
               "clear a device.</p>"),
        Markup("<h2>What was taken out</h2>"), _list(removed),
        Markup("<h2>What cannot be checked from this edition</h2>"), _list(unchecked),
    ]  # fmt: skip
    for key in ("device_kind", "harmed", "severity", "outcome", "questions"):
        if key in data:
            value = data[key]
            told = _list(value) if isinstance(value, list) else _value(value)
            body.append(Markup("<div><b>{}</b>: {}</div>").format(_name(key), told))
    for key, title in _SECTIONS.items():
        if key in data:
            body.append(Markup("<h2>{}</h2>").format(title))
            body += list(_section(key, data[key], pictures))
    whole = Markup("\n").join(body)
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; img-src data:; '
        "style-src 'unsafe-inline'\">\n"
        f"<title>{escape(data['title'])}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n{whole}\n</body>\n</html>\n"
    ).encode()


def _section(key: str, value: Any, pictures: Mapping[str, tuple[bytes, str]]) -> Iterator[Markup]:
    if key in _TABLES:
        rows = list(value.items()) if isinstance(value, Mapping) else [("", row) for row in value]
        yield _table(rows)
        return
    records = isinstance(value, Mapping) and value and all(isinstance(one, Mapping) for one in value.values())
    if not records or key in ("event", "injury", "scene", "plan", "conclusion", "gates"):
        yield _fields(value)
        return
    for ref, record in value.items():
        yield Markup('<h3 id="{0}">{0}</h3>').format(ref)
        if key == "evidence" and ref in pictures:
            picture, media = pictures[ref]
            source = f"data:{media};base64,{base64.b64encode(picture).decode('ascii')}"
            yield Markup('<figure><img src="{}" alt="{}"><figcaption>{}</figcaption></figure>').format(
                source, record.get("shows", ""), record.get("shows", "")
            )
        yield _fields(record)


def _table(rows: list[tuple[str, Mapping[str, Any]]]) -> Markup:
    columns = list(dict.fromkeys(name for _, row in rows for name, one in row.items() if one not in (None, "", [], {})))
    columns = [name for name in columns if name not in _SKIPPED]
    keyed = any(ref for ref, _ in rows)
    head = Markup("").join(Markup("<th>{}</th>").format(_name(name)) for name in (["id"] if keyed else []) + columns)
    lines = []
    for ref, row in rows:
        cells = [Markup('<td id="{0}">{0}</td>').format(ref)] if keyed else []
        cells += [Markup("<td>{}</td>").format(_value(row.get(name))) for name in columns]
        lines.append(Markup("<tr>{}</tr>").format(Markup("").join(cells)))
    body = Markup("\n").join(lines)
    return Markup('<div class="wide"><table><thead><tr>{}</tr></thead><tbody>\n{}\n</tbody></table></div>').format(
        head, body
    )


def _fields(record: Mapping[str, Any]) -> Markup:
    lines = [
        Markup("<tr><th>{}</th><td>{}</td></tr>").format(_name(name), _value(value))
        for name, value in record.items()
        if value not in (None, "", [], {})
    ]
    return Markup("<table><tbody>\n{}\n</tbody></table>").format(Markup("\n").join(lines))


def _value(value: Any) -> Markup:
    if value is None:
        return Markup("")
    if isinstance(value, bool):
        return Markup("yes" if value else "no")
    if isinstance(value, Mapping):
        if set(value) >= {"text", "unit"} and set(value) <= {"text", "unit", "value"}:
            return escape(value["text"])  # an amount
        if {"document", "name", "set"} <= set(value):
            return escape(f"{value['document']} {value['clause']} ({value['status']})")  # a limit
        return _fields(value)
    if isinstance(value, list):
        if all(not isinstance(one, Mapping | list) for one in value):
            return Markup(", ").join(_value(one) for one in value)
        return Markup("").join(_value(one) for one in value)
    return escape(str(value))


def _list(said: Iterable[str]) -> Markup:
    return Markup("<ul>{}</ul>").format(Markup("").join(Markup("<li>{}</li>").format(one) for one in said))


def _name(field: str) -> str:
    return field.replace("_", " ")
