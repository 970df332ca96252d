"""The map of what touched what: left to right from the socket over device and attached thing to whom it touched.

On a narrow sheet the same trees stand one box under another, each drawn in by its distance from the middle. All words
stand in or over their own box, and lines run only where no box is, so that nothing meets.
"""

from __future__ import annotations

from msgspec import Struct, field

from .lettering import text_width
from .map_box import ENTRY, LEAD, PAD, Link, Words, draw, edge, least, words
from .map_spec import Kept, Node, Part, SceneMap
from .map_tree import Group, Leaf, groups
from .palette import Palette
from .parts import SIZE, text

_GAPS = (30.0, 24.0, 18.0)
"""Between two columns; the first at which every word has room."""
_ROW = 16.0
"""Between two boxes of a column."""
_GROUP = 22.0
_LEAST, _MOST = 84.0, 206.0
"""Widths of a box."""
_BROKEN = ' stroke-dasharray="3.5 2.5"'
_NOTED = "connection with a note"
_STEP = 20.0
"""How far a box of the narrow sheet is drawn in."""


class _Drawing(Struct):
    scene: SceneMap
    palette: Palette
    link: Link
    width: float
    lines: list[str] = field(default_factory=list)
    broken: list[str] = field(default_factory=list)
    boxes: list[str] = field(default_factory=list)
    column: float = 0.0
    gap: float = _GAPS[0]
    last: int = 0
    touched: list[tuple[float, Words, int]] = field(default_factory=list)

    def x(self, column: int) -> float:
        return 1.0 + column * (self.column + self.gap)


def map_body(scene: SceneMap, palette: Palette, width: float, link: Link) -> tuple[str, float]:
    """The elements of the drawing, and its height in pixels."""
    hung, alone = groups(scene)
    it = _Drawing(scene, palette, link, width)
    top = _key(it)
    before = max((max((one.depth() for one in group.before), default=0) for group in hung), default=0)
    after = max((max((_after(scene, one) for one in group.after), default=0) for group in hung), default=0)
    ends = any(node.part is Part.TOUCHED for node in scene.nodes)
    columns = before + 1 + after + ends
    it.last = columns - 1
    longest = max((least(f"{node.ref} {node.name} {node.kept}") for node in scene.nodes), default=0)
    for it.gap in _GAPS:
        it.column = min(_MOST, (width - 2 - it.gap * (columns - 1)) / columns)
        if wide := it.column >= max(_LEAST, longest):
            break
    for group in hung:
        top = (_across(it, group, before, top) if wide else _down(it, group.whole, 0, top)) + _GROUP
    if wide:
        _ends(it)
    top = _alone(it, alone, top, wide)
    return _stroke(it.lines, palette) + _stroke(it.broken, palette, _BROKEN) + "".join(it.boxes), top - _GROUP + 4


def _stroke(lines: list[str], palette: Palette, more: str = "") -> str:
    return f'<path d="{"".join(lines)}" fill="none" stroke="{palette.ink}" stroke-width="1.3"{more}/>' if lines else ""


def _after(scene: SceneMap, leaf: Leaf) -> int:
    """Columns a branch takes, words at its end left out."""
    if scene.nodes[leaf.node].part is Part.TOUCHED:
        return 0
    return 1 + max((_after(scene, one) for one in leaf.below), default=0)


def _key(it: _Drawing) -> float:
    """The edges that occur, with their words; the answer is where the drawing may begin."""
    samples = [
        (str(Kept.IMPOUNDED), Node("", "", Part.ATTACHED, Kept.IMPOUNDED)),
        (str(Kept.LEFT), Node("", "", Part.ATTACHED, Kept.LEFT)),
        (str(Part.ROOM), Node("", "", Part.ROOM)),
        (str(Part.TOUCHED), Node("", "", Part.TOUCHED)),
    ]
    shown = {str(node.kept) for node in it.scene.nodes} | {str(node.part) for node in it.scene.nodes}
    left, base = 1.0, 17.0
    for said, node in samples:
        if said not in shown:
            continue
        wide = 30 + 7 + text_width(said, SIZE)
        if left > 1 and left + wide > it.width:
            left, base = 1.0, base + 24
        it.boxes.append(edge(node, left, base - 13, 30, 17, it.palette) + text(left + 37, base, said))
        left += wide + 22
    if any(tie.noted for tie in it.scene.ties):
        if left > 1 and left + 37 + text_width(_NOTED, SIZE) > it.width:
            left, base = 1.0, base + 24
        it.boxes.append(
            _stroke([f"M{left:.1f},{base - 4.5:.1f}h30"], it.palette, _BROKEN) + text(left + 37, base, _NOTED)
        )
    return base + 24


def _across(it: _Drawing, group: Group, middle: int, top: float) -> float:
    """A group about its middle column; the answer is where it ends."""
    node = it.scene.nodes[group.middle.node]
    said = words(node, None, it.column)
    box = top + max(_reach(it, group.before), _reach(it, group.after))
    left = _side(it, group.before, middle, -1, top, box + ENTRY)
    right = _side(it, group.after, middle, 1, top, box + ENTRY)
    it.boxes.append(draw(node, said, it.x(middle), box, it.palette, it.link))
    return max(left, right, box + said.high)


def _reach(it: _Drawing, below: list[Leaf]) -> float:
    """How much room the words over the first box of each level need, so that the line to all of them runs straight."""
    if not below:
        return 0.0
    first = below[0]
    own = words(it.scene.nodes[first.node], first.tie, it.column, again=first.again).head
    return max(own, _reach(it, first.below))


def _side(it: _Drawing, below: list[Leaf], column: int, way: int, top: float, entry: float) -> float:
    """What hangs on a box on one side, one under another; the answer is where it ends."""
    start = it.x(column) + (it.column if way > 0 else 0)
    bus = start + way * it.gap / 2
    at = top
    places: list[float] = []
    for leaf in below:
        node = it.scene.nodes[leaf.node]
        words_only = node.part is Part.TOUCHED
        here = it.last if words_only and way > 0 else column + way
        said = words(node, leaf.tie, it.column, again=leaf.again)
        meet = entry if not places else at + max(said.head, _reach(it, leaf.below)) + ENTRY
        box = meet - ENTRY - said.head
        places.append(meet)
        far = it.x(here) + (0 if way > 0 else it.column)
        lines = it.broken if leaf.tie and leaf.tie.noted else it.lines
        lines.append(f"M{bus:.1f},{meet:.1f}H{far:.1f}")
        end = _side(it, leaf.below, column + way, way, at, meet) if leaf.below else at
        if words_only and way > 0:
            it.touched.append((box, said, leaf.node))
        else:
            it.boxes.append(draw(node, said, it.x(here), box, it.palette, it.link, again=leaf.again))
        at = max(end, box + said.high) + _ROW
    if places:
        it.lines.append(f"M{start:.1f},{entry:.1f}H{bus:.1f}")
        if places[-1] > entry:
            it.lines.append(f"M{bus:.1f},{entry:.1f}V{places[-1]:.1f}")
    return at - _ROW if below else top


def _ends(it: _Drawing) -> None:
    """The boxes of the last column; the same person or place reached twice in a row is one box with two entries."""
    runs: list[list[tuple[float, Words, int]]] = []
    for one in it.touched:
        if runs and runs[-1][-1][2] == one[2]:
            runs[-1].append(one)
        else:
            runs.append([one])
    left = it.x(it.last)
    for (top, said, number), *more in runs:
        node = it.scene.nodes[number]
        low = top + said.high
        inside = []
        for other, entry, _ in more:
            low = other + entry.head + ENTRY + 18
            inside += [text(left + PAD, other + 12 + LEAD * i, line) for i, line in enumerate(entry.over)]
        it.boxes.append(draw(node, said, left, top, it.palette, it.link, low=low))
        if inside:
            it.boxes.append(f'<g fill="{it.palette.soft}">{"".join(inside)}</g>')


def _down(it: _Drawing, leaf: Leaf, depth: int, top: float) -> float:
    """One box under another, each drawn in by its depth; the answer is where it ends."""
    left = 1.0 + _STEP * depth
    node = it.scene.nodes[leaf.node]
    said = words(node, leaf.tie, it.width - left - 1, again=leaf.again)
    it.boxes.append(draw(node, said, left, top, it.palette, it.link, again=leaf.again))
    at = top + said.high + _ROW * 0.7
    stem = left + _STEP / 2
    last = None
    for one in leaf.below:
        head = words(it.scene.nodes[one.node], one.tie, it.width - left - _STEP - 1, again=one.again).head
        last = at + head + ENTRY
        lines = it.broken if one.tie and one.tie.noted else it.lines
        lines.append(f"M{stem:.1f},{last:.1f}H{left + _STEP:.1f}")
        at = _down(it, one, depth + 1, at)
    if last is not None:
        it.lines.append(f"M{stem:.1f},{top + said.high:.1f}V{last:.1f}")
    return at


def _alone(it: _Drawing, alone: list[int], top: float, wide: bool) -> float:
    """Things on which nothing hangs, in rows under a line of words."""
    if not alone:
        return top
    column = it.column if wide else (it.width - 2 - 14) / 2
    per = max(1, int((it.width - 2 + 14) // (column + 14)))
    it.boxes.append(text(1, top + 10, "With no connection on record", more=f' fill="{it.palette.soft}"'))
    top += 20
    for start in range(0, len(alone), per):
        row = [(i, words(it.scene.nodes[i], None, column)) for i in alone[start : start + per]]
        for place, (i, said) in enumerate(row):
            left = 1 + place * (column + 14)
            it.boxes.append(draw(it.scene.nodes[i], said, left, top, it.palette, it.link))
        top += max(said.high for _, said in row) + 12
    return top - 12 + _GROUP
