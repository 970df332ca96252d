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

from msgspec import Struct, structs

from asfound.compare import Area, CaseChange, Change, in_short, in_words
from asfound.emit.as_text import summary
from asfound.emit.markdown import safe
from asfound.model.plain import plain

FORMAT = 1
MOST_BYTES = 900_000
_LAST = 200
_COUNT = 70
"""Room for the line that counts what is left out of a case."""
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


class _Line(Struct, frozen=True):
    """A heading, a paragraph or an item of a list, of which case (0 for the change as a whole), and how much it weighs.

    The lighter the number, the earlier it gets its room.
    """

    kind: str
    said: str
    case: int = 0
    weight: int = -1


def change_text(change: Change) -> str:
    """For a terminal."""
    marks = {"h1": "", "h2": "\n", "h3": "\n  ", "p": "  ", "li": "  - "}
    return "".join(f"{marks[one.kind]}{plain(one.said)}\n" for one in _told(change))


def change_markdown(change: Change, most: int = MOST_BYTES) -> str:
    """For the summary of a run or a comment: at most `most` bytes of UTF-8 (1000 at least).

    Where there is no room for all, what weighs most has it, whichever case it stands in: first what each case comes to
    in short, then levels and verdicts of every case before the records of any. What is left out is counted in its case
    and at the end, with the command that shows it.
    """
    lines = list(_told(change))
    parts = [_markdown(one) for one in lines]
    if sum(len(part.encode("utf-8")) for part in parts) <= max(most, 1000):
        return "".join(parts)
    kept = _kept(lines, parts, max(most, 1000) - _LAST)
    body: list[str] = []
    for number in range(lines[-1].case + 1):
        of_case = [at for at, one in enumerate(lines) if one.case == number]
        body += [parts[at] for at in of_case if at in kept]
        left = sum(lines[at].kind == "li" and at not in kept for at in of_case)
        if left and of_case[0] in kept:
            body.append(f"\n{_more(left)} of this case had no room here.\n")
    left = sum(one.kind != "h3" and at not in kept for at, one in enumerate(lines))
    return f"{''.join(body)}\nIn all, {_more(left)} had no room here; `{_command(change)}` shows every one.\n"


def _more(count: int) -> str:
    return f"{count} more line{'' if count == 1 else 's'}"


def _markdown(one: _Line) -> str:
    marks = {"h1": "## ", "h2": "\n### ", "h3": "\n#### ", "p": "\n", "li": "- "}
    return f"{marks[one.kind]}{safe(one.said)}\n{'' if one.kind == 'li' else chr(10)}"


def _kept(lines: list[_Line], parts: list[str], room: int) -> set[int]:
    """Which lines have room, the heaviest first; a heading of a list comes with the first of its items."""
    kept: set[int] = set()
    size = [len(part.encode("utf-8")) for part in parts]
    heading, place, head, title = {}, {}, 0, 0
    for at, one in enumerate(lines):
        head = at if one.kind == "h3" else head
        title = at if one.kind in ("h1", "h2") else title
        heading[at] = (title, head) if one.kind == "li" else (title,)
        # Of equal weight each case has its first before any has its second.
        place[at] = (one.weight, at - title if one.weight >= 0 else 0, at)
    for at in sorted((at for at, one in enumerate(lines) if one.kind != "h3"), key=place.__getitem__):
        new = {at, *heading[at]} - kept
        needed = sum(size[one] for one in new) + (_COUNT if lines[at].kind == "h2" else 0)
        # Under a case that has no room nothing may stand as if it were of the one before.
        if needed <= room and (heading[at][0] in kept or lines[at].kind in ("h1", "h2")):
            room -= needed
            kept |= new
    return kept


def change_html(change: Change) -> str:
    """A page of its own, without scripts and without calls to anybody."""
    body, listed = [], False
    for one in _told(change):
        if (one.kind == "li") != listed:
            listed = one.kind == "li"
            body.append("<ul>" if listed else "</ul>")
        body.append(f"<{one.kind}>{html.escape(plain(one.said))}</{one.kind}>")
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
        one["in_short"] = in_short(case)
        for told, difference in zip(one["differences"], case.differences, strict=True):
            told["sentence"] = in_words(difference)
            for move in told["moves"]:
                if not move["told"]:
                    del move["told"]
    return json.dumps(data, ensure_ascii=True, indent=1, sort_keys=True).replace("\x7f", "\\u007f") + "\n"


def _command(change: Change) -> str:
    trusted = " --trusted-base" if change.trusted else ""
    return f"asfound compare {shlex.quote(change.base[:12])} {change.head[:12]}".rstrip() + trusted


def _told(change: Change) -> Iterator[_Line]:
    """The whole text, piece by piece."""
    yield _Line("h1", "What this change does")
    head = f"commit {change.head[:12]}" if change.head else "the folder as it lies here"
    same = "both held against what the organisation brings in the base" if change.trusted else "each by its own limits"
    yield _Line("p", f"From commit {change.base[:12]} to {head}; both assessed on {change.on.isoformat()}, {same}.")
    if change.bench:
        aside = "no account is taken of it here (asfound compare without --trusted-base says what it does to each)"
        taken = aside if change.trusted else "so every case is compared"
        said = f"The change touches what all cases are held against, {taken}: {', '.join(change.bench)}."
        yield _Line("p", said)
    if change.left_out:
        yield _Line("p", f"These are no plain files, and were not read: {', '.join(change.left_out)}.")
    if not change.cases:
        yield _Line("p", "It touches no case itself." if change.bench else "It touches no case.")
    still = [one for one in change.cases if _still(one)]
    told = [one for one in change.cases if not _still(one)]
    for number, one in enumerate(told, 1):
        yield from (structs.replace(line, case=number) for line in _case(one))
    if still:
        named = ", ".join(one.case for one in still)
        yield _Line("h2", "Compared as well", len(told) + 1)
        yield _Line("p", f"Nothing of them changed, and nothing follows for them: {named}.", len(told) + 1)


def _still(one: CaseChange) -> bool:
    """Whether a case stands here for what the organisation brings alone, and nothing came of it."""
    return not (one.touched or one.differences or one.approvals or one.unread)


def _case(one: CaseChange) -> Iterator[_Line]:
    yield _Line("h2", f"{one.case} — {one.title}" if one.title else one.case)
    yield from (_Line("p", said) for said in one.unread)
    if not one.after:
        yield _Line("p", f"The case is taken out. It lay in {one.before}.")
        return
    if not one.before:
        yield _Line("p", f"The case is new, in {one.after}.")
    elif one.before != one.after:
        yield _Line("p", f"Its folder was {one.before} and is {one.after}.")
    if one.was:
        yield _Line("p", f"Its identity was {one.was} and is {one.case}.")
    if short := in_short(one):
        yield _Line("p", short)
    stands = summary(one.problems)
    yield _Line(
        "p", f"After the change the check of its files finds: {stands}. What commits tell, asfound check says besides."
    )
    if one.before and not one.unread and not one.differences and not one.approvals:
        yield _Line("p", "Bytes changed, and nothing that the case says or that follows from it.")
    for title, areas in _GROUPS:
        group = [_Line("li", in_words(each), weight=each.weight) for each in one.differences if each.area in areas]
        if Area.LEVEL in areas:
            # What it rests on outlives the lines about records that say the same in full.
            group += [_Line("li", said, weight=5) for said in one.carried]
        yield from _group(title, group)
        if Area.EXCEPTION in areas:
            yield from _group("Approvals", [_Line("li", said, weight=15) for said in one.approvals])


def _group(title: str, group: list[_Line]) -> Iterator[_Line]:
    if group:
        yield _Line("h3", title)
        yield from group
