"""Floor 6½: what is handed over of a case, put together from what the boxes below make: a document, a pack.

Commands and site take it from here, so that the PDF of a working copy or of an edition has the same bytes whoever asks
for it, and a pack holds that very PDF.
"""

from asfound.bind.chosen import NotThere, Taken, opened
from asfound.bind.packed import packing_of
from asfound.bind.reports import draft_report, edition_report, readable, report_of

__all__ = ["NotThere", "Taken", "draft_report", "edition_report", "opened", "packing_of", "readable", "report_of"]
