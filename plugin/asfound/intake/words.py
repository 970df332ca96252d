"""The words of the readers: how a character is shown, what a misspelt name may have meant, and what each refusal is.

The catalogue entries stand apart from the places where they occur, so that they can be printed
without running anything.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterable, Sequence

from asfound.intake.entries import ENTRIES
from asfound.problems import Problem, Span

__all__ = ["ENTRIES", "char_name", "crop", "refuse", "shown", "suggest"]

_BY_NAME = {entry.name: entry for entry in ENTRIES}

# Below this likeness a guess misleads more often than it helps: one swapped pair in a word of four letters is 0.75.
_LIKE = 0.74
# The best guess must lead the next by this much, or no guess is made.
_LEAD = 0.02

# How many places of one kind are listed one by one in one file; the rest are counted, so that a file of rubbish does
# not bury the other files.
LISTED = 20
# Where each place costs time to find, counting ends here and the message says “at least”.
COUNTED = 10_000


def shown(text: str) -> str:
    """`text` with every character that cannot be seen or told from a space written as `<U+202E>`.

    Safe for a terminal, an annotation and one line.
    """
    if text.isprintable():
        return text
    return "".join(char if char.isprintable() else f"<U+{ord(char):04X}>" for char in text)


def crop(text: str, width: int = 40) -> str:
    """`text` made visible, and cut to about `width` characters with an ellipsis."""
    text = shown(text[: width + 1])
    return text if len(text) <= width else text[: width - 1] + "…"


def char_name(char: str) -> str:
    """`U+202E (right-to-left override)`: number and name of one character."""
    name = unicodedata.name(char, "") or _CONTROL_NAMES.get(char, "control character")
    return f"U+{ord(char):04X} ({name.lower()})"


_CONTROL_NAMES = {
    "\x00": "null",
    "\x07": "bell",
    "\x08": "backspace",
    "\x0b": "vertical tab",
    "\x0c": "form feed",
    "\r": "carriage return without a line feed",
    "\x1a": "substitute",
    "\x1b": "escape",
    "\x7f": "delete",
    "\x85": "next line",
    "\ufffe": "not a character",
    "\uffff": "not a character",
}


def suggest(word: str, choices: Iterable[str]) -> str | None:
    """The one choice that `word` most likely meant, or None where no guess is sound.

    A difference of case, hyphen, underscore or space alone is always taken as meant. Otherwise the likeness (Ratcliff
    and Obershelp, as difflib computes it) must reach 0.74, and no other choice may come as close: of two equally
    likely names neither is offered.
    """
    options = sorted(set(choices))
    if word in options:
        return word
    plain = _plain(word)
    if not plain:
        return None
    same = [option for option in options if _plain(option) == plain]
    if same:
        return same[0] if len(same) == 1 else None
    scored = sorted(
        ((difflib.SequenceMatcher(None, plain, _plain(option)).ratio(), option) for option in options),
        key=lambda pair: (-pair[0], pair[1]),
    )
    if not scored or scored[0][0] < _LIKE:
        return None
    if len(scored) > 1 and scored[0][0] - scored[1][0] < _LEAD:
        return None
    return scored[0][1]


def _plain(word: str) -> str:
    return re.sub(r"[\s_-]+", "", word.casefold())


def refuse(
    rule: str,
    path: str,
    place: tuple[int, int],
    found: str,
    needed: str,
    mend: str = "",
    related: Sequence[tuple[int, int]] = (),
) -> Problem:
    """A problem of this box at `place` = (line, column).

    The level is that of its catalogue entry, and so is the cure, unless `mend` says better.
    """
    entry = _BY_NAME[rule]
    return Problem(
        rule=rule,
        level=entry.level,
        span=Span(path, *place),
        found=found,
        needed=needed,
        mend=mend or entry.mend,
        related=tuple(Span(path, *other) for other in related),
    )


def counted(problems: Sequence[Problem], total: int) -> list[Problem]:
    """The first places of one kind, the last of them saying how many more of the same there are (`total` in all).

    A total of `COUNTED` means that counting ended there.
    """
    kept = list(problems[:LISTED])
    more = total - len(kept)
    if more > 0 and kept:
        last = kept[-1]
        many = f"at least {more}" if total >= COUNTED else str(more)
        kept[-1] = Problem(
            rule=last.rule,
            level=last.level,
            span=last.span,
            found=f"{last.found} (the same stands at {many} more {'place' if more == 1 else 'places'} of this file)",
            needed=last.needed,
            mend=last.mend,
            related=last.related,
        )
    return kept
