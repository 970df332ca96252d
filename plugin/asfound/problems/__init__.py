"""Floor 0: what is wrong, where, and how to mend it. Knows nothing of cases."""

from asfound.problems.catalogue import Catalogue, Entry, Family
from asfound.problems.moved import Moved, moved
from asfound.problems.problem import Level, Problem
from asfound.problems.span import Span

__all__ = ["Catalogue", "Entry", "Family", "Level", "Moved", "Problem", "Span", "moved"]
