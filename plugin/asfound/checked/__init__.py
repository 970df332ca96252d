"""Floor 6½: what a check says of cases, in the words it prints, and kept for whoever asks next.

What is handed over of a case is put together in the box beside it; a check loads none of that.
"""

from asfound.checked.cases import asked, check_case, check_cases, keep, lines_of

__all__ = ["asked", "check_case", "check_cases", "keep", "lines_of"]
