"""Floor 4: two dossiers side by side, and what one says that the other does not. Pure."""

from asfound.compare.change import CaseChange, Change
from asfound.compare.difference import Area, Difference, Kind, Move
from asfound.compare.differences import differences
from asfound.compare.issued import Issued
from asfound.compare.words import in_words

__all__ = ["Area", "CaseChange", "Change", "Difference", "Issued", "Kind", "Move", "differences", "in_words"]
