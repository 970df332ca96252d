"""Starter lists: the explanations that are asked for, by kind of event and of device, so that none is forgotten."""

from __future__ import annotations

from typing import Literal

from asfound.model.base import Prose, Record, Slug, Text
from asfound.model.case import Case
from asfound.model.event import CaseHead, EventKind
from asfound.model.reasoning import Line
from asfound.model.source import SourceStatus


class StarterLine(Record):
    """One explanation to consider."""

    explanation: Text
    """The explanation in one sentence."""
    line: Line
    """Which line of thought it belongs to."""
    topics: tuple[Slug, ...] = ()
    """What a test must reach to speak to it: topics of protocols."""
    needs: tuple[Text, ...]
    """What would have to be true."""
    would_show: Text
    """What would be seen if it were so."""
    separate: Text
    """The test or fact that parts it from the others."""
    when: dict[Slug, Literal["yes", "no"]] = {}
    """Answers that bring it into play; a question that nobody answered leaves it in play."""
    source: Text
    """Where it is published."""
    status: SourceStatus
    """How well that was read."""


class StarterList(Record):
    """A list of explanations for one kind of event; a file of starters/."""

    starter: Slug
    """Its name; that of the file."""
    title: Text
    """The list in a few words."""
    events: tuple[EventKind, ...]
    """Kinds of events it is for."""
    device_kinds: tuple[Slug, ...] = ()
    """Kinds of main device it is for; none means every kind."""
    asked: Literal["must", "offered"]
    """Whether each line in play must be weighed or set aside, or is offered: then what is left open warns."""
    questions: dict[Slug, Text] = {}
    """Yes-or-no questions, answered under `answers` in case.yml."""
    lines: dict[Slug, StarterLine]
    """The explanations to be thought of, by name."""
    note: Prose | None = None
    """What else is to be said of it."""

    def is_for(self, head: CaseHead) -> bool:
        """Whether the list is for a case of this kind."""
        return head.event.kind in self.events and (not self.device_kinds or head.device_kind in self.device_kinds)

    def left_open(self, case: Case) -> dict[str, StarterLine]:
        """The lines in play that no explanation takes up, by name or by topic, and that were not set aside."""
        named: set[str] = set()
        topics: set[str] = set()
        for one in case.explanations.values():
            named.update(one.starters)
            topics.update(topic for topic in (one.topic, *(need.topic for need in one.needs)) if topic)
        return {
            name: line
            for name, line in self.in_play(case.head).items()
            if name not in named and name not in case.head.set_aside and not topics.intersection(line.topics)
        }

    def in_play(self, head: CaseHead) -> dict[str, StarterLine]:
        """The lines that the answers given leave in play."""
        return {
            name: line
            for name, line in self.lines.items()
            if all(
                head.answers.get(question, wanted) in {wanted, "not known"} for question, wanted in line.when.items()
            )
        }
