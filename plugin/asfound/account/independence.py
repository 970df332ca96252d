"""Whether who examined has ties to the things examined, and whether somebody else looked again.

Asked of what the case itself says, without git and without signatures: so it may have a say in what the evidence earns,
and in a digest. Who signed, and who last changed what, is asked by the rules about approvals.
"""

from __future__ import annotations

from msgspec import Struct

from asfound.account.lines import same
from asfound.model.base import told
from asfound.model.case import Case

QUESTIONS = {
    "maintained": "maintained it",
    "set_up": "set it up",
    "used": "used it",
    "bought": "bought it",
    "sold": "sold it",
    "supervised_user": "supervised its user",
}
"""The questions of a declaration, each as what a yes says of the examiner."""


class Tie(Struct, frozen=True):
    """A tie of the examiner to the things examined.

    question  which question of the declaration it answers
    where     the record, or `case.yml` for one that was declared, and the field that shows it
    declared  whether the examiner said so
    found     what it is, a clause
    """

    question: str
    where: tuple[str, ...]
    declared: bool
    found: str


class Independence(Struct, frozen=True):
    """How independent the work was, as far as the case says.

    declared  whether the examiner answered for every tie
    ties      what was answered yes, then what the records show and the declaration does not name
    balanced  every tie was declared, with what balances it, and somebody else reviews the work
    reviewed  a reviewer is named who is not the examiner
    """

    declared: bool
    ties: tuple[Tie, ...]
    balanced: bool
    reviewed: bool

    @property
    def independent(self) -> bool:
        """Whether the examiner declared, and is without ties that nothing balances."""
        return self.declared and (not self.ties or self.balanced)

    @property
    def marks(self) -> tuple[str, ...]:
        """What a report must say of itself: `not independent`, `not reviewed`."""
        found = () if self.independent else ("not independent",)
        return found if self.reviewed else (*found, "not reviewed")


def independence(case: Case) -> Independence:
    """The account of independence of a case. A case without an examiner or a declaration has not declared."""
    head = case.head
    made = head.declaration if head.declaration is not None and head.declaration.by == head.examiner else None
    ties = ties_of(case)
    reviewed = head.reviewer is not None and head.reviewer != head.examiner
    balanced = (
        bool(ties)
        and all(one.declared for one in ties)
        and made is not None
        and made.mitigation is not None
        and reviewed
    )
    return Independence(head.examiner is not None and made is not None, ties, balanced, reviewed)


def ties_of(case: Case) -> tuple[Tie, ...]:
    """Every tie of the examiner: declared, or shown by the service history, the tags and the statements."""
    head = case.head
    examiner = head.examiner
    if examiner is None:
        return ()
    declared = head.declaration.ties if head.declaration is not None else ()
    found = [Tie(name, ("case.yml", "declaration", name), True, QUESTIONS[name]) for name in declared]
    in_use = {ref for ref, item in case.items.items() if item.in_use_at_event}
    if "maintained" not in declared:
        for ref, event in case.service.items():
            by_role = event.by_role == examiner
            if in_use.intersection(event.items) and (by_role or role_called(case, told(event.by), examiner)):
                kind = " ".join(event.kind.split())
                what = f"did the {kind if len(kind) <= 30 else kind[:29].rstrip() + '…'} of {_and(event.items)}"
                found.append(Tie("maintained", (ref, "by_role" if by_role else "by"), False, what))
        for ref in sorted(in_use):
            note = case.items[ref].last_maintenance
            if note is not None and role_called(case, told(note.by), examiner):
                what = f"did the last maintenance of {ref}"
                found.append(Tie("maintained", (ref, "last_maintenance", "by"), False, what))
    if "bought" not in declared:
        for ref in sorted(in_use):
            owner = case.items[ref].owner
            if isinstance(owner, str) and role_called(case, owner, examiner):
                found.append(Tie("bought", (ref, "owner"), False, f"owns {ref}"))
    if "used" not in declared:
        found += [
            Tie("used", (ref, "by"), False, "gave a statement as a witness of the event")
            for ref, statement in case.statements.items()
            if statement.by == examiner
        ]
    return tuple(found)


def role_called(case: Case, text: str, role: str) -> bool:
    """Whether a text speaks of a role, by its key, its words or its title."""
    person = case.head.people.get(role)
    names = {role, role.replace("-", " "), *([person.title] if person else [])}
    return any(same(text, name) or same(text, f"the {name}") for name in names)


def _and(refs: tuple[str, ...]) -> str:
    return " and ".join(part for part in (", ".join(refs[:-1]), refs[-1] if refs else "") if part)
