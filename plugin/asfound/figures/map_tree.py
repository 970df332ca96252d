"""How the boxes of a map hang together: groups, each with a middle, what feeds it on one side, the rest on the other.

A group is a tree about its middle. Whatever ends in words (a person, a place) is a leaf of each tie that leads to it; a
tie that would close a ring becomes a leaf that names the box it leads back to. So nothing has to cross anything.
"""

from __future__ import annotations

from collections import deque

from msgspec import Struct, field

from .map_spec import Part, SceneMap, Tie


class Leaf(Struct):
    """A box of the tree: which node, by which tie it hangs on the one before, and what hangs on it.

    ``again`` says that the node stands elsewhere already and is only named here.
    """

    node: int
    tie: Tie | None
    below: list[Leaf] = field(default_factory=list)
    again: bool = False

    def fed(self, scene: SceneMap) -> bool:
        """Whether a point of the room is this box or hangs on it."""
        return scene.nodes[self.node].part is Part.ROOM or any(one.fed(scene) for one in self.below)

    def depth(self) -> int:
        """How many columns it takes, itself included; words at the end are not counted."""
        return 1 + max((one.depth() for one in self.below), default=0)


class Group(Struct):
    """What hangs together: the middle, what leads to it from sockets and outlets, and all else."""

    middle: Leaf
    before: list[Leaf]
    after: list[Leaf]

    @property
    def whole(self) -> Leaf:
        """The tree with what feeds it first."""
        return Leaf(self.middle.node, None, self.before + self.after)


def groups(scene: SceneMap) -> tuple[list[Group], list[int]]:
    """The groups, that of the device in question first, and the boxes on which nothing hangs."""
    near: dict[int, list[tuple[int, int]]] = {i: [] for i in range(len(scene.nodes))}
    for number, tie in enumerate(scene.ties):
        near[tie.start].append((tie.end, number))
        near[tie.end].append((tie.start, number))
    ranks = list(Part)
    found: list[Group] = []
    done: set[int] = set()
    used: set[int] = set()
    order = sorted(near, key=lambda i: (ranks.index(scene.nodes[i].part), -len(near[i]), i))
    for start in order:
        if start in done or not near[start] or scene.nodes[start].part is Part.TOUCHED:
            continue
        found.append(_group(scene, _tree(scene, near, start, done, used)))
    # What is left ties words to words.
    for number, tie in enumerate(scene.ties):
        if number not in used:
            found.append(_group(scene, _tree(scene, near, tie.start, done, used)))
    return found, [i for i in near if not near[i]]


def _group(scene: SceneMap, middle: Leaf) -> Group:
    before = [one for one in middle.below if one.fed(scene)]
    return Group(middle, before, [one for one in middle.below if one not in before])


def _tree(scene: SceneMap, near: dict[int, list[tuple[int, int]]], start: int, done: set[int], used: set[int]) -> Leaf:
    """Breadth first, so that every box hangs as near to the middle as it can."""
    middle = Leaf(start, None)
    done.add(start)
    waiting = deque([middle])
    while waiting:
        at = waiting.popleft()
        for other, number in near[at.node]:
            if number in used:
                continue
            used.add(number)
            words = scene.nodes[other].part is Part.TOUCHED
            leaf = Leaf(other, scene.ties[number], again=other in done and not words)
            at.below.append(leaf)
            if not words and not leaf.again:
                done.add(other)
                waiting.append(leaf)
            done.add(other)
    return middle
