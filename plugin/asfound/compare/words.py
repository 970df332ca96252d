"""A difference as a sentence."""

from __future__ import annotations

import re

from asfound.compare.difference import EARNED, Area, Difference, Kind, Move
from asfound.measure import show_digest
from asfound.model.ids import kind_of, sort_key

SHOWN = 160
"""How much of a text a sentence quotes; the whole text stands in the difference itself."""

_BESIDE = 5
"""How many words stand on either side of what differs in a text too long to quote."""
_DIGEST = re.compile(r"[0-9a-f]{64}")
_IDS = re.compile(r"[A-Z]-[a-z0-9-]+(, [A-Z]-[a-z0-9-]+)*")

FILES = {
    "case.yml": "the head of the case",
    "injury.yml": "the account of the injury",
    "scene.yml": "the scene as a whole",
    "plan.yml": "the plan as a whole",
    "conclusion.yml": "the conclusion",
    ".asfound/settings.yml": "the organisation's settings",
}


def subject_words(one: Difference) -> str:
    """What the difference is about, by name: `the reading R-flow-3`, `the conclusion`."""
    if one.area is Area.FILE:
        return f"the file {one.ref}" + (f" ({one.said})" if one.said else "")
    if one.area is Area.LIMIT:
        return f"the limit {one.ref}"
    return FILES.get(one.ref) or f"the {kind_of(one.ref)} {one.ref}"


def in_words(one: Difference) -> str:
    """The difference as one sentence, without markup.

    >>> in_words(Difference(Area.LEVEL, Kind.CHANGED, "mechanism", (Move("level", "probable", "possible"),)))
    'The mechanism is held as possible; it was held as probable.'
    """
    if one.area is Area.LEVEL:
        return _level(one)
    if one.area is Area.VERDICT:
        return _verdict(one)
    if one.area is Area.PROBLEM:
        return _problem(one)
    subject = _capital(subject_words(one))
    if one.area is Area.RESULT:
        subject += f" ({one.said})" if one.said else ""
    if one.area is Area.LIMIT and not one.moves:
        return f"{subject} {'speaks to this case' if one.kind is Kind.ADDED else 'no longer speaks to this case'}."
    former = one.move("id")
    if former is not None and former.old and one.kind is Kind.CHANGED and former.new == one.ref:
        return f"The {kind_of(one.ref)} {former.old} is now called {one.ref} and says the same."
    moves = _file(one) if one.area is Area.FILE else _moves(one)
    verb = {Kind.ADDED: "is new", Kind.CHANGED: "was changed", Kind.REMOVED: "was taken out"}[one.kind]
    return f"{subject} {verb}: {moves}." if moves else f"{subject} {verb}."


def _level(one: Difference) -> str:
    move = one.moves[0]
    if one.beside == EARNED:
        subject = one.ref if one.ref[:1] == "X" else f"the {one.ref}"
        return f"For {subject} the evidence earns {move.new}; it earned {move.old}."
    if move.old is None:
        return f"The {one.ref} is held as {move.new}; no conclusion stood before."
    if move.new is None:
        return f"The {one.ref} was held as {move.old}; no conclusion stands any more."
    return f"The {one.ref} is held as {move.new}; it was held as {move.old}."


def _verdict(one: Difference) -> str:
    move, value = one.move("outcome"), one.move("value")
    assert move is not None
    against = f" against {one.beside}" if one.beside else ""
    at_old = f" at {value.old}" if value and value.old else ""
    at_new = f" at {value.new}" if value and value.new else ""
    limit = one.move("limit")
    if limit is not None:
        same = f" at {one.said}" if one.said else ""
        told = f"{one.ref} is judged by {limit.new} instead of {limit.old}: {move.new}{same or at_new}"
        if move.old == move.new:
            return f"{told}, as before." if not at_old else f"{told}, as before{at_old}."
        return f"{told}; it was {move.old}{' at the same value' if same else at_old}."
    if move.old is None:
        return f"{one.ref}{against} is {move.new}{at_new}; it was not judged before."
    if move.new is None:
        return f"{one.ref}{against} was {move.old}{at_old}; it is not judged any more."
    if one.said:
        return f"{one.ref}{against} is {move.new} at {one.said}; it was {move.old} at the same value."
    return f"{one.ref}{against} is {move.new}{at_new}; it was {move.old}{at_old}."


_LEVELS = {"reject": "a reject", "warn": "a warning", "still needed": "still needed", "note": "a note"}


def _problem(one: Difference) -> str:
    level, lifted = one.move("level"), one.move("lifted by")
    assert level is not None
    about = f" on {one.ref}" if one.ref else ""
    words = {side: _LEVELS.get(side, side) for side in (level.old, level.new) if side}
    if level.old is None:
        head = f"New, {words[str(level.new)]} of the rule {one.beside}{about}"
    elif level.new is None:
        head = f"Gone, {words[level.old]} of the rule {one.beside}{about}"
    elif level.old != level.new:
        head = f"Now {words[level.new]}, before {words[level.old]}, of the rule {one.beside}{about}"
    else:
        head = f"Still {words[level.new]} of the rule {one.beside}{about}"
    if lifted and lifted.new:
        head += f", lifted by {lifted.new}"
    elif lifted and level.new is not None:
        head += f", no longer lifted by {lifted.old}"
    found = one.move("found")
    if found is not None and found.old and found.new:
        return f"{head}: {one.said}. Before: {_before(found.old, found.new)}."
    return f"{head}: {one.said}."


def _before(old: str, new: str) -> str:
    """What was found before, as far as it is another thing: figures that moved stand in their words."""
    return around(old, new)[0]


def _file(one: Difference) -> str:
    move = one.moves[0]
    told = [f"SHA-256 {show_digest(side, 12)}" for side in (move.old, move.new) if side]
    return " became ".join(told)


def _moves(one: Difference) -> str:
    if one.kind is Kind.CHANGED:
        return "; ".join(_move(move) for move in one.moves)
    side = [(move.called, move.new if one.kind is Kind.ADDED else move.old) for move in one.moves]
    # A sentence names a record by what it says first; all its fields stand in the difference.
    first = [_quoted(name, text or "") for name, text in side[:3]]
    return "; ".join(first) + ("; and more" if len(side) > 3 else "")


def _move(move: Move) -> str:
    if move.old is None:
        return f"{move.called} is now {short(move.new or '')}, where nothing stood"
    if move.new is None:
        return f"{move.called} was {short(move.old)}, where nothing stands now"
    if _IDS.fullmatch(move.old) and _IDS.fullmatch(move.new):
        was, now = (set(side.split(", ")) for side in (move.old, move.new))
        told = [
            f"{verb} {short(', '.join(sorted(some, key=sort_key)))}"
            for verb, some in (("no longer names", was - now), ("now names", now - was))
            if some
        ]
        if told and len(was) + len(now) > 2:
            return f"{move.called} {' and '.join(told)}"
    old, new = around(move.old, move.new)
    return f"{move.called} from {short(old)} to {short(new)}"


def around(old: str, new: str) -> tuple[str, str]:
    """Two texts as far as they differ, with words on either side, where a sentence has no room for both in full."""
    if max(len(old), len(new)) <= SHOWN:
        return old, new
    before, after = (re.split("[ \t\n]+", text.strip()) for text in (old, new))
    head = next((n for n, pair in enumerate(zip(before, after, strict=False)) if pair[0] != pair[1]), None)
    head = min(len(before), len(after)) if head is None else head
    room = min(len(before), len(after)) - head
    tail = next((n for n in range(room) if before[-1 - n] != after[-1 - n]), room)
    return _cut(before, head, tail), _cut(after, head, tail)


def _cut(words: list[str], head: int, tail: int) -> str:
    first, last = max(0, head - _BESIDE), min(len(words), len(words) - tail + _BESIDE)
    told = " ".join(words[first:last])
    return f"{'… ' if first else ''}{told}{' …' if last < len(words) else ''}"


def _quoted(name: str, text: str) -> str:
    return f"{name} {short(text)}"


def short(text: str) -> str:
    """A text for a sentence: one line, cut with an ellipsis; a text with a stop in it stands in quotation marks."""
    line = text.strip().replace("\n", " ")
    if _DIGEST.fullmatch(line):
        return show_digest(line, 12)
    if _IDS.fullmatch(line):
        return _some(line.split(", "))
    if len(line) > SHOWN:
        line = line[: SHOWN - 1].rstrip() + "…"
    return f"“{line}”" if line.endswith((".", "…", ";")) or len(line) > 40 else line


def _some(ids: list[str]) -> str:
    """As many as a sentence has room for, and how many more there are."""
    shown = next((n for n in range(len(ids), 1, -1) if len(", ".join(ids[:n])) <= SHOWN), 1)
    return ", ".join(ids[:shown]) + (f" and {len(ids) - shown} more" if shown < len(ids) else "")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
