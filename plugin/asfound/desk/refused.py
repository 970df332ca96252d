"""Why the desk wrote nothing."""

from __future__ import annotations

from collections.abc import Iterable

from asfound.problems import Problem


class Refused(Exception):
    """Nothing was written, and why.

    reasons   clauses in plain words, without a final stop
    problems  those of the file that stands in the way, where there are any
    """

    def __init__(self, *reasons: str, problems: Iterable[Problem] = ()) -> None:
        super().__init__("; ".join(reasons))
        self.reasons = reasons
        self.problems = tuple(problems)
