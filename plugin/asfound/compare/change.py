"""What lies between two states of a repository, case by case."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from asfound.compare.difference import Difference
from asfound.problems import Problem


@dataclass(frozen=True, slots=True)
class CaseChange:
    """One case that a change touches.

    case, title  its identity and title, as they stand after the change, or before where it is taken out
    before       its folder before; empty where there was no such case
    after        its folder after; empty where there is none any more
    differences  what is said otherwise, biggest first; empty where a side is missing
    approvals    what became of signed approvals, a sentence each
    problems     all that stands against the case after the change
    unread       what could not be read and so is not compared, a sentence each
    was          its identity before, where that was another
    carried      which of the changed records the conclusion rests on, a sentence each
    touched      whether a file of the case itself differs; else it is here for what the organisation brings
    """

    case: str
    title: str
    before: str
    after: str
    differences: tuple[Difference, ...] = ()
    approvals: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
    unread: tuple[str, ...] = ()
    was: str = ""
    carried: tuple[str, ...] = ()
    touched: bool = True


@dataclass(frozen=True, slots=True)
class Change:
    """The whole change.

    base, head  ids of the two commits; head is empty for the folder as it lies there
    on          the date both sides were assessed on
    trusted     whether both were held against what the organisation brings in the base
    bench       files of the organisation that differ; taken no account of where `trusted`
    left_out    entries below cases/ that are no plain files, and were not read
    cases       the cases touched, those that changed most heavily first
    """

    base: str
    head: str
    on: dt.date
    trusted: bool
    bench: tuple[str, ...]
    left_out: tuple[str, ...]
    cases: tuple[CaseChange, ...]
