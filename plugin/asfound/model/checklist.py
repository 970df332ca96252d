"""Lines of the checklists of protocols, and which of them a case has not answered yet, by thing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from asfound.model.case import Case
from asfound.model.limits import Protocol
from asfound.model.things import Item, ItemRole


@dataclass(frozen=True, slots=True)
class Look:
    """A line of a checklist: what is looked at, what it could show, and the roles of things it is asked of.

    `unless` holds, for each protocol that has the line, of which things that one does not ask it.
    """

    look: str
    why: str
    roles: tuple[str, ...]
    unless: tuple[Mapping[str, tuple[str, ...]], ...] = ()

    def ruled_out(self, item: Item) -> str:
        """What an item says of itself so that no protocol asks it this line, as `class internally powered`; else empty.

        Characteristics are words here, not amounts.
        """
        said = [_ruled_out(unless, item) for unless in self.unless]
        return said[0] if said and all(said) else ""


def _ruled_out(unless: Mapping[str, tuple[str, ...]], item: Item) -> str:
    for name, words in unless.items():
        known = item.characteristics.get(name, "")
        if known.strip().casefold() in {word.strip().casefold() for word in words}:
            return f"{name} {known}"
    return ""


def checklist(protocols: Iterable[Protocol]) -> dict[str, Look]:
    """The lines of several protocols by name; one that several have is asked of the roles of all of them."""
    lines: dict[str, Look] = {}
    for protocol in protocols:
        for name, line in protocol.checklist.items():
            before = lines.get(name)
            roles = (*(before.roles if before else ()), *(line.roles or (ItemRole.MAIN_DEVICE.value,)))
            unless = (*(before.unless if before else ()), line.unless)
            lines[name] = Look(before.look if before else line.look, before.why if before else line.why, roles, unless)
    return lines


def examined(case: Case, also: Iterable[str] = ()) -> tuple[str, ...]:
    """Things that can be looked at: what was impounded, what is built in and measured where it is, what is named."""
    planned = {test.item for test in case.plan.tests.values()} if case.plan is not None else set(also)
    return tuple(
        ref
        for ref, item in case.items.items()
        if item.role is not ItemRole.EXEMPLAR and (item.impounded or ref in planned)
    )


def unanswered(case: Case, lines: Mapping[str, Look], also: Iterable[str] = ()) -> dict[str, tuple[str, ...]]:
    """For each thing that is examined, the lines asked of it that no row of inspection.csv answers; none without any.

    Things of one role differ: nobody looks for a gel print on a bottle. A line answered for another thing it is asked
    of is not asked again of one that has rows of its own; a main device answers every line itself, but for those that
    cannot be asked of such a thing. `also` names what is examined before a plan says so.
    """
    answered = {(row.item, row.check) for row in case.inspection}
    looked_at = {row.item for row in case.inspection}
    by_roles = {(row.check, case.items[row.item].role) for row in case.inspection if row.item in case.items}
    found: dict[str, tuple[str, ...]] = {}
    for ref in examined(case, also):
        item = case.items[ref]
        excused = ref in looked_at and item.role is not ItemRole.MAIN_DEVICE
        missing = tuple(
            name
            for name, line in lines.items()
            if item.role in line.roles
            and not line.ruled_out(item)
            and (ref, name) not in answered
            and not (excused and any((name, role) in by_roles for role in line.roles if role != ItemRole.MAIN_DEVICE))
        )
        if missing:
            found[ref] = missing
    return found


def not_asked(
    case: Case, lines: Mapping[str, Look], also: Iterable[str] = ()
) -> dict[tuple[str, str], tuple[str, ...]]:
    """For each thing that is examined and what it says of itself, the lines that are not asked of it for that."""
    found: dict[tuple[str, str], tuple[str, ...]] = {}
    for ref in examined(case, also):
        item = case.items[ref]
        for name, line in lines.items():
            if item.role in line.roles and (said := line.ruled_out(item)):
                found[ref, said] = (*found.get((ref, said), ()), name)
    return found
