"""Floor 4: two dossiers side by side, and what one says that the other does not. Pure."""

from asfound.compare.carried import carried
from asfound.compare.change import CaseChange, Change
from asfound.compare.difference import Area, Difference, Kind, Move
from asfound.compare.differences import differences
from asfound.compare.issued import Issued
from asfound.compare.short import in_short
from asfound.compare.words import in_words

__all__ = [
    "Area",
    "CaseChange",
    "Change",
    "Difference",
    "Issued",
    "Kind",
    "Move",
    "carried",
    "differences",
    "in_short",
    "in_words",
]
