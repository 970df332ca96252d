"""What and who touched what at the event, as a map: the connections of the scene, the points of the room."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.figures.map_spec import Kept, Node, Part, SceneMap, Tie
from asfound.model.base import told
from asfound.model.ids import sort_key
from asfound.model.things import Connection, Item, ItemRole, RoomPoint
from asfound.pages.texts import Texts, capital, listed, plural

_FEEDS = frozenset({"socket", "supply", "gas outlet", "table"})
"""Kinds of points of the room that are drawn where they served a thing; the climate is none."""
_SHORT = 50
"""The longest note that is printed on the map; of a longer one it says that there is one."""


def scene_map(texts: Texts) -> SceneMap | None:
    """The map; None where no connection is on record."""
    case = texts.case
    links = case.scene.connections if case.scene else {}
    if not links:
        return None
    nodes: list[Node] = []
    at: dict[str, int] = {}

    def place(key: str, node: Node) -> int:
        if key not in at:
            at[key] = len(nodes)
            nodes.append(node)
        return at[key]

    def end(text: str) -> int:
        if text in case.items:
            return place(text, _thing(text, case.items[text]))
        if text in case.room:
            return place(text, _point(text, case.room[text]))
        words = texts.role(text) if text in case.head.people else text
        return place(f"words {text}", Node("", capital(words), Part.TOUCHED))

    for ref, item in _used(texts):
        place(ref, _thing(ref, item))
    ties: list[Tie] = []
    for ref, one in sorted(links.items(), key=lambda pair: sort_key(pair[0])):
        start, to = end(one.from_), end(one.to)
        if start != to:
            ties.append(Tie(ref, start, to, _words(texts, one), bool(one.note)))
    for ref, point in sorted(case.room.items(), key=lambda pair: sort_key(pair[0])):
        if point.kind.lower() in _FEEDS:
            for thing in _served([node for node in nodes if node.ref in point.items], ties, nodes, at.get(ref)):
                ties.append(Tie(ref, place(ref, _point(ref, point)), at[thing], "served"))
    return SceneMap(
        "chart-scene",
        "What and who touched what at the event",
        result_words(texts, nodes, ties),
        tuple(nodes),
        tuple(ties),
        _note(texts),
    )


def _words(texts: Texts, one: Connection) -> str:
    """By which port or site, with the note where it is short."""
    note = texts.plain(one.note) if one.note else ""
    told_short = f"{note[:1].lower()}{note[1:]}".rstrip(".") if len(note) <= _SHORT else "see its note"
    return "; ".join(part for part in (one.by or "", told_short if note else "") if part)


def _served(things: list[Node], ties: list[Tie], nodes: list[Node], here: int | None) -> Iterator[str]:
    """The things to which a point of the room leads: of those that hang together the outermost, and none that hangs on
    the point by its own connections already."""
    group = list(range(len(nodes)))

    def root(i: int) -> int:
        while group[i] != i:
            i = group[i]
        return i

    for tie in ties:
        if Part.TOUCHED not in (nodes[tie.start].part, nodes[tie.end].part):
            group[root(tie.start)] = root(tie.end)
    done = {root(here)} if here is not None else set()
    outer = sorted(things, key=lambda node: -list(Part).index(node.part))
    for node in outer:
        if (mine := root(nodes.index(node))) not in done:
            done.add(mine)
            yield node.ref


def _used(texts: Texts) -> list[tuple[str, Item]]:
    found = [(ref, item) for ref, item in texts.case.items.items() if item.in_use_at_event]
    return sorted(found, key=lambda pair: sort_key(pair[0]))


def _thing(ref: str, item: Item) -> Node:
    part = {ItemRole.MAIN_DEVICE: Part.DEVICE, ItemRole.OTHER_DEVICE: Part.OTHER}.get(item.role, Part.ATTACHED)
    kept = Kept.IMPOUNDED if item.impounded else Kept.LEFT
    why = told(item.why_not_impounded) if item.why_not_impounded else ""
    return Node(ref, item.what, part, kept, why)


def _point(ref: str, point: RoomPoint) -> Node:
    return Node(ref, point.what, Part.ROOM)


def result_words(texts: Texts, nodes: list[Node], ties: list[Tie]) -> str:
    """One sentence: what was impounded, and what touched somebody."""
    things = [node for node in nodes if node.kept]
    left = [node.ref for node in things if node.kept is Kept.LEFT]
    count = plural(len(things), "thing")
    if not left:
        every = "both things" if len(things) == 2 else f"all {count}"
        said = f"{every} in use at the event were impounded" if len(things) > 1 else f"{count} in use was impounded"
    else:
        said = f"of {count} in use at the event, {listed(left)} {'was' if len(left) == 1 else 'were'} not impounded"
    touching = [
        nodes[a].ref
        for tie in ties
        for a, b in ((tie.start, tie.end), (tie.end, tie.start))
        if nodes[b].part is Part.TOUCHED and nodes[a].ref
    ]
    refs = sorted(set(touching), key=sort_key)
    if refs:
        at = sorted({nodes[b].name for tie in ties for b in (tie.start, tie.end) if nodes[b].part is Part.TOUCHED})
        if len(refs) == 1 and len(at) == 1:
            said += f"; {refs[0]} is joined to what has no tag: {at[0][:1].lower()}{at[0][1:]}"
        else:
            verb = "is" if len(refs) == 1 else "are"
            said += f"; {listed(refs)} {verb} joined to persons or places that have no tag and are written in words"
    return f"{capital(said)}."


def _note(texts: Texts) -> str:
    spare = [ref for ref, item in texts.case.items.items() if not item.in_use_at_event]
    note = "Drawn from the connections on record (L) and the points of the room (U); a line says that two were joined."
    if spare:
        refs = listed(sorted(spare, key=sort_key))
        was, are = ("was", "is") if len(spare) == 1 else ("were", "are")
        note += f" {refs} {was} not in use at the event and {are} not drawn."
    return note
