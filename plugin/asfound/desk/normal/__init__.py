"""What a spreadsheet did to a table, told cell by cell, and a copy in which what can be known is put right."""

from asfound.desk.normal.found import Answers, Fate, Found, Question
from asfound.desk.normal.run import Normal, normalise

__all__ = ["Answers", "Fate", "Found", "Normal", "Question", "normalise"]
