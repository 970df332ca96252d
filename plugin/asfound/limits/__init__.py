"""Floor 5: limit sets, protocols and cautions, as data; and the book that a case is held against.

The data are YAML in `sets/`, `protocols/` and `cautions.yml`. Facts and figures only: no document is quoted. How well
each figure's source was read stands with it, and a verdict repeats it.
"""

from asfound.limits.book import build_book
from asfound.limits.entries import ENTRIES
from asfound.limits.fault import BookFault
from asfound.limits.loosen import looser
from asfound.limits.packaged import Packaged, packaged
from asfound.limits.reporting_book import build_reporting

__all__ = ["ENTRIES", "BookFault", "Packaged", "build_book", "build_reporting", "looser", "packaged"]
