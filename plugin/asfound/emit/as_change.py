"""What a change does to each case it touches: for a terminal, for a request's summary, as a page, for programs.

The heaviest comes first: what moved the conclusion, then verdicts, rules, records, files. A summary or a comment that
is too long for its host ends with a count of what is left out and the command that shows it.
"""

from __future__ import annotations

import html
import json
import shlex
from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from asfound.compare import Area, CaseChange, Change, Difference, in_words
from asfound.emit.as_summary import safe
from asfound.emit.as_text import summary
from asfound.model.plain import plain

FORMAT = 1
MOST_BYTES = 900_000
_LAST = 400
_GROUPS: tuple[tuple[str, tuple[Area, ...]], ...] = (
    ("The conclusion, and what the evidence earns", (Area.LEVEL,)),
    ("Verdicts", (Area.VERDICT,)),
    ("Rejects lifted on purpose", (Area.EXCEPTION,)),
    ("Rules newly broken, and mended", (Area.PROBLEM,)),
    ("Records", (Area.RECORD,)),
    ("Derived results and limits", (Area.RESULT, Area.LIMIT)),
    ("Files of evidence", (Area.FILE,)),
)
_STYLE = "body{font:1rem/1.5 sans-serif;max-width:46rem;margin:2rem auto;padding:0 1rem}li{overflow-wrap:anywhere}"


def change_text(change: Change) -> str:
    """For a terminal."""
    marks = {"h1": "", "h2": "\n", "h3": "\n  ", "p": "  ", "li": "  - "}
    return "".join(f"{marks[kind]}{plain(said)}\n" for kind, said in _told(change))


def change_markdown(change: Change, most: int = MOST_BYTES) -> str:
    """For the summary of a run or a comment: at most `most` bytes of UTF-8 (1000 at least)."""
    marks = {"h1": "## ", "h2": "\n### ", "h3": "\n#### ", "p": "\n", "li": "- "}
    parts = [
        f"{marks[kind]}{safe(said)}\n{'' if kind == 'li' else chr(10)}" for kind, said in _told(change)
    ]  # fmt: skip
    room = max(most, 1000) - _LAST
    for number, part in enumerate(parts):
        room -= len(part.encode("utf-8"))
        if room < 0:
            said = f"{len(parts) - number} more lines had no room here; `{_command(change)}` shows every one."
            return f"{''.join(parts[:number])}\n{said}\n"
    return "".join(parts)


def change_html(change: Change) -> str:
    """A page of its own, without scripts and without calls to anybody."""
    body, listed = [], False
    for kind, said in _told(change):
        if (kind == "li") != listed:
            listed = kind == "li"
            body.append("<ul>" if listed else "</ul>")
        body.append(f"<{kind}>{html.escape(plain(said))}</{kind}>")
    body += ["</ul>"] if listed else []
    return (
        '<!doctype html>\n<html lang="en-GB"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>What this change does</title><style>{_STYLE}</style></head><body>\n" + "\n".join(body) + "\n"
        "</body></html>\n"
    )


def change_json(change: Change) -> str:
    """For programs, in printable ASCII; each difference with its sentence."""
    data: dict[str, Any] = {"format": FORMAT, **asdict(change), "on": change.on.isoformat()}
    for one, case in zip(data["cases"], change.cases, strict=True):
        one["problems"] = len(case.problems)
        for told, difference in zip(one["differences"], case.differences, strict=True):
            told["sentence"] = in_words(difference)
    return json.dumps(data, ensure_ascii=True, indent=1, sort_keys=True).replace("\x7f", "\\u007f") + "\n"


def _command(change: Change) -> str:
    trusted = " --trusted-base" if change.trusted else ""
    return f"asfound compare {shlex.quote(change.base[:12])} {change.head[:12]}".rstrip() + trusted


def _told(change: Change) -> Iterator[tuple[str, str]]:
    """The whole text, piece by piece, each with what it is: a heading, a paragraph, an item."""
    yield "h1", "What this change does"
    head = f"commit {change.head[:12]}" if change.head else "the folder as it lies here"
    same = "both held against what the organisation brings in the base" if change.trusted else "each by its own limits"
    yield "p", f"From commit {change.base[:12]} to {head}; both assessed on {change.on.isoformat()}, {same}."
    if change.bench:
        taken = "no account is taken of it here" if change.trusted else "so every case is compared"
        yield "p", f"The change touches what all cases are held against, {taken}: {', '.join(change.bench)}."
    if change.left_out:
        yield "p", f"These are no plain files, and were not read: {', '.join(change.left_out)}."
    if not change.cases:
        yield "p", "It touches no case."
    for one in change.cases:
        yield from _case(one)


def _case(one: CaseChange) -> Iterator[tuple[str, str]]:
    yield "h2", f"{one.case} — {one.title}" if one.title else one.case
    for said in one.unread:
        yield "p", said
    if not one.after:
        yield "p", f"The case is taken out. It lay in {one.before}."
        return
    if not one.before:
        yield "p", f"The case is new, in {one.after}."
    elif one.before != one.after:
        yield "p", f"Its folder was {one.before} and is {one.after}."
    stands = summary(one.problems)
    yield "p", f"After the change the check finds: {stands}."
    if one.before and not one.unread and not one.differences and not one.approvals:
        yield "p", "Bytes changed, and nothing that the case says or that follows from it."
    for title, areas in _GROUPS:
        group = [each for each in one.differences if each.area in areas]
        yield from _group(title, group)
        if Area.EXCEPTION in areas and one.approvals:
            yield "h3", "Approvals"
            yield from (("li", said) for said in one.approvals)


def _group(title: str, group: list[Difference]) -> Iterator[tuple[str, str]]:
    if group:
        yield "h3", title
        yield from (("li", in_words(one)) for one in group)
