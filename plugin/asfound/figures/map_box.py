"""A box of the map: its words broken to a width, its edge by what became of the thing."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from .lettering import BOLD, text_width, wrap
from .map_spec import Kept, Node, Part, Tie
from .palette import Palette
from .parts import SIZE, esc, text

LEAD = 16.5
PAD = 7.5
ENTRY = 19.0
"""From the top of a box to where a line meets it."""

Link = Callable[[str], str]


class Words(Struct, frozen=True):
    """What a box says: over it the tie by which it hangs, in it id and name, and whether it was kept."""

    over: tuple[str, ...]
    name: tuple[str, ...]
    state: tuple[str, ...]
    wide: float

    @property
    def head(self) -> float:
        """Room of the words over the box."""
        return LEAD * len(self.over) + (4.0 if self.over else 0.0)

    @property
    def body(self) -> float:
        """Height of the box itself."""
        return 2 * PAD + LEAD * (len(self.name) + len(self.state)) - 5.0

    @property
    def high(self) -> float:
        """Height of both."""
        return self.head + self.body


def words(node: Node, tie: Tie | None, wide: float, *, again: bool = False) -> Words:
    """The words of a box of this width, over it those of the tie."""
    room = wide - 2 * PAD
    name = f"{node.ref} {node.name}".strip()
    if again:
        name = f"{name}, drawn before"
    # Words over a person or a place may come to stand inside its box, where a second tie enters.
    said = tie_words(tie, node.ref) if tie else ""
    over = tuple(wrap(said, SIZE, room if node.part is Part.TOUCHED else wide)) if said else ()
    state = () if again or not node.kept else tuple(wrap(str(node.kept), SIZE * BOLD, room))
    return Words(over, tuple(wrap(name, SIZE * 1.015, room)), state, wide)


def tie_words(tie: Tie, known: str = "") -> str:
    """The id of a tie and what is written of it; the id is left out where the box says it already."""
    return ", ".join(part for part in (tie.ref if tie.ref != known else "", tie.words) if part)


def draw(
    node: Node,
    said: Words,
    left: float,
    top: float,
    palette: Palette,
    link: Link,
    *,
    again: bool = False,
    low: float | None = None,
) -> str:
    """The box with its words, down to ``low`` where that is given; it leads to its record."""
    over = "".join(text(left, top + 12 + LEAD * i, line) for i, line in enumerate(said.over))
    box_top = top + said.head
    high = said.body if low is None else low - box_top
    inner = edge(node, left, box_top, said.wide, high, palette, again=again)
    base = box_top + PAD + 9.5
    for i, line in enumerate(said.name):
        inner += _name(node.ref if not i else "", line, left + PAD, base + LEAD * i)
    tone = palette.warn if node.kept is Kept.LEFT else palette.soft
    weight = ' font-weight="600"' if node.kept is Kept.LEFT else ""
    for i, line in enumerate(said.state, start=len(said.name)):
        inner += text(left + PAD, base + LEAD * i, line, more=f' fill="{tone}"{weight}')
    address = link(node.ref) if node.ref else ""
    if address:
        # Not the plain `href`: a theme that swaps pages sets it on every element, and a drawing's link refuses.
        inner = f'<a xlink:href="{esc(address)}">{inner}</a>'
    return (f'<g fill="{palette.soft}">{over}</g>' if over else "") + inner


def _name(ref: str, line: str, left: float, base: float) -> str:
    if ref and line.startswith(ref):
        rest = line[len(ref) :]
        return f'<text x="{left:.1f}" y="{base:.1f}"><tspan font-weight="600">{esc(ref)}</tspan>{esc(rest)}</text>'
    return text(left, base, line)


def edge(
    node: Node, left: float, top: float, wide: float, high: float, palette: Palette, *, again: bool = False
) -> str:
    """The edge says what became of it: double for impounded, broken for not, none for the room, round for words."""

    def rect(inset: float, more: str) -> str:
        return (
            f'<rect x="{left + inset:.1f}" y="{top + inset:.1f}" width="{wide - 2 * inset:.1f}" '
            f'height="{high - 2 * inset:.1f}"{more}/>'
        )

    if again:
        return rect(0, f' fill="{palette.paper}" stroke="{palette.soft}" stroke-dasharray="1.5 3.5"')
    if node.part is Part.TOUCHED:
        return rect(0.7, f' rx="14" fill="{palette.paper}" stroke="{palette.ink}" stroke-width="1.4"')
    if node.part is Part.ROOM:
        return rect(0, f' fill="{palette.wash}"') + (
            f'<path d="M{left:.1f},{top:.1f}v{high:.1f}" stroke="{palette.soft}" stroke-width="3"/>'
        )
    if node.kept is Kept.LEFT:
        return rect(0.8, f' fill="{palette.paper}" stroke="{palette.warn}" stroke-width="1.6" stroke-dasharray="6 4"')
    return rect(0.6, f' fill="{palette.paper}" stroke="{palette.ink}" stroke-width="1.2"') + rect(
        3.6, f' fill="none" stroke="{palette.ink}" stroke-width="0.7"'
    )


def least(words_of: str) -> float:
    """The width below which a box would cut its longest word."""
    return max(text_width(word, SIZE) for word in words_of.split(" ")) * 1.015 + 2 * PAD
