"""A drawing in fewer elements: what stands side by side and looks alike is one path or one group. Nothing moves, and
nothing looks otherwise. It is for drawings whose parts say nothing when pointed at."""

from __future__ import annotations

import re

from .palette import SITE

DOT = 8.6
"""Pixels across a round mark (`parts.shape`). One of ink is drawn as a stroke of no length with a round cap, which is a
disc of the width of the stroke (SVG 1.1, section 11.4, stroke-linecap; read, confirmed)."""

_CLOSED = re.compile(r"(<path [^>]*[^/>])></path>")
_NOT_GROUPS = r"[^<]*(?:<(?!/?g\b)[^<]*)*"
_GROUP_OR_PATHS = re.compile(rf'<g\b[^>]*>{_NOT_GROUPS}</g>|(?:<path d="[^"]*"/>)+')
_DATA = re.compile(r' d="([^"]*)"')
_ROUND = re.compile(r"M(-?[0-9.]+),(-?[0-9.]+)a4\.3,4\.3 0 1 0 8\.6,0a4\.3,4\.3 0 1 0 -8\.6,0Z")
_ALIKE = re.compile(rf"(<g [^>]*>){_NOT_GROUPS}</g>(?:\1{_NOT_GROUPS}</g>)+")
_WORDS = re.compile(r'<g ([^>]*)>((?:<text x="[^"]*" y="[^"]*"(?: text-anchor="\w+")?>[^<]*</text>)+)</g>')
_ALONE = re.compile(r'<g ([^>]*)><text (x="[^"]*" y="[^"]*")( text-anchor="\w+")?>([^<]*)</text></g>')
_ANCHOR = re.compile(r' text-anchor="\w+"')
_ACROSS, _DOWN = re.compile(r'<text x="([^"]*)"'), re.compile(r' y="([^"]*)"')
_FEW = 4
"""Words in a column or a row from which on it is said once."""
_NESTED = re.compile(rf"<g\b[^>]*>{_NOT_GROUPS}<g\b")


def gathered(drawing: str) -> str:
    """The drawing in fewer elements; one with groups within groups is given back as it is."""
    if _NESTED.search(drawing):
        return drawing
    drawing = _CLOSED.sub(r"\1/>", drawing)
    drawing = _GROUP_OR_PATHS.sub(_paths, drawing)
    drawing = _ALIKE.sub(lambda found: found[0].replace(f"</g>{found[1]}", ""), drawing)
    drawing = _ALONE.sub(r"<text \1 \2\3>\4</text>", drawing)
    return _WORDS.sub(_placed, drawing)


def _paths(found: re.Match[str]) -> str:
    """A run of paths that look as the whole drawing does, marks of ink, as one path for each kind."""
    if found[0].startswith("<g"):
        return found[0]
    runs: list[tuple[bool, list[str]]] = []
    for data in _DATA.findall(found[0]):
        mark = _ROUND.fullmatch(data)
        said = f"M{float(mark[1]) + DOT / 2:.1f},{mark[2]}h0" if mark else data
        if runs and runs[-1][0] == (mark is not None):
            runs[-1][1].append(said)
        else:
            runs.append((mark is not None, [said]))
    dots = f' fill="none" stroke="{SITE.ink}" stroke-width="{DOT}" stroke-linecap="round"'
    return "".join(f'<path d="{"".join(parts)}"{dots if round_ else ""}/>' for round_, parts in runs)


def _placed(found: re.Match[str]) -> str:
    """Words of a group that stand on the same side of their places, in one column or in one row: the group says it."""
    look, words = found[1], found[2]
    count = words.count("<text ")
    anchors = _ANCHOR.findall(words)
    if len(anchors) == count and len(set(anchors)) == 1:
        look, words = look + anchors[0], words.replace(anchors[0], "")
    if count >= _FEW:
        across, down = set(_ACROSS.findall(words)), set(_DOWN.findall(words))
        if len(across) == 1:
            at = across.pop()
            look, words = f'{look} transform="translate({_bare(at)})"', words.replace(f'<text x="{at}" ', "<text ")
        elif len(down) == 1:
            at = down.pop()
            look, words = f'{look} transform="translate(0,{_bare(at)})"', words.replace(f' y="{at}"', "")
    return f"<g {look}>{words}</g>"


def _bare(number: str) -> str:
    return number.removesuffix(".0")
