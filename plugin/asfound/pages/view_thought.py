"""The order of thought, and how independent the work was: each step, how it is shown, and what a report must say."""

from __future__ import annotations

from functools import cached_property

from markupsafe import Markup
from msgspec import Struct

from asfound.account import How, Order, Taken, Thought, Turn, order_of_thought
from asfound.model.past import Past
from asfound.pages.part import Part
from asfound.pages.prose import linked
from asfound.pages.texts import capital, when

_TURNS = {
    Turn.PLAN: "The plan, its limits and its rule",
    Turn.READINGS: "The planned readings",
    Turn.OPENED: "Statements opened to the examiner",
    Turn.WEIGHED: "The explanations weighed",
}
_MOST_REFS = 6
MARKS = {
    "not independent": "Not independent. The examiner has ties to the things examined that nothing balances, or has "
    "declared nothing.",
    "not reviewed": "Not reviewed. Nobody but the examiner is named to review the work.",
}


class ThoughtRow(Struct, frozen=True):
    """A step of the order of thought.

    tone  how the showing is marked: a gap where it is not provable, out where it is contradicted
    """

    step: str
    at: str
    refs: tuple[Markup, ...]
    more: int
    commits: str
    shown: Markup
    tone: str


class ThoughtPart(Part):
    """What the page about the work asks of the order of thought."""

    @cached_property
    def thought(self) -> list[ThoughtRow]:
        """The steps in the order in which they should be taken; empty where there is neither plan nor reading."""
        past: Past = self.dossier.history
        found: Thought = order_of_thought(self.case, past)
        if self.case.plan is None and not self.case.readings:
            return []
        return [self._step(taken, found.order(taken.turn), past) for taken in found.taken]

    def _step(self, taken: Taken, order: Order | None, past: Past) -> ThoughtRow:
        refs = tuple(self.link(ref) if self.href(ref) else Markup("{}").format(ref) for ref in taken.refs[:_MOST_REFS])
        at = when(taken.at) if taken.at is not None else "not on record"
        if taken.turn is Turn.READINGS and taken.at is not None:
            at = f"until {at}"
        shown, tone = self._shown(taken, order, past)
        return ThoughtRow(
            _TURNS[taken.turn], at, refs, max(len(taken.refs) - _MOST_REFS, 0), _commits(taken, past), shown, tone
        )

    def _shown(self, taken: Taken, order: Order | None, past: Past) -> tuple[Markup, str]:
        if taken.turn is Turn.PLAN:
            return Markup("the first step"), ""
        if order is None:
            return Markup("not on record"), "af-gap" if not taken.refs else ""
        after = f"after {_TURNS[order.first][0].lower()}{_TURNS[order.first][1:]}"
        if order.how is How.NOT_PROVABLE and not past.known and self.head.entered_later is None:
            # Whoever reads a report on its own has not asked git; that is less than having asked in vain.
            return Markup("{}: git was not asked here ({})").format(capital(after), order.why), "af-gap"
        tone = {How.NOT_PROVABLE: "af-gap", How.NOT_RECORDED: "af-gap", How.AGAINST: "af-out"}.get(order.how, "")
        return Markup("{}: {}; {}").format(capital(after), str(order.how), linked(order.why, self.href)), tone

    @cached_property
    def thought_reasons(self) -> list[tuple[Markup, Markup]]:
        """Why a statement was opened early, and why commits say nothing: record, reason."""
        found = [
            (self.link(ref), self.told(one.opened_early))
            for ref, one in self.case.statements.items()
            if one.opened_early is not None
        ]
        if self.head.entered_later is not None:
            found.append((Markup("Entered into git after the work"), self.prose.line(self.head.entered_later)))
        return found

    @cached_property
    def marks(self) -> list[str]:
        """What a report must say of itself; nothing of a case that is open, since nobody relies on it yet."""
        return [] if self.case.open else [MARKS[mark] for mark in self.independence.marks]

    @cached_property
    def ties(self) -> list[Markup]:
        """Every tie of the examiner, declared or shown by the records."""
        found = []
        for tie in self.independence.ties:
            how = Markup(", as declared")
            if not tie.declared:
                how = Markup(", which {} shows and the declaration does not name").format(self.link(tie.where[0]))
            found.append(Markup("The examiner {}{}").format(linked(tie.found, self.href), how))
        return found


def _commits(taken: Taken, past: Past) -> str:
    """The commits that brought a step, by their first digits."""
    if not taken.first:
        return "none" if past.known else "git was not asked"
    return taken.first[:10] if taken.first == taken.last else f"{taken.first[:10]} to {taken.last[:10]}"
