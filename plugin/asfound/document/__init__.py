"""Floor 6: a finished report as a PDF that can be signed, kept for long and read by ear.

It takes the very HTML of the site, so that page and document cannot say different things, and knows neither cases nor
pages. The typesetter is an extra and is imported when a document is asked for.
"""

from asfound.document.attached import attachments
from asfound.document.bench import BenchGate, BenchLook, BenchRow, BenchSheet, BenchTest, typeset_bench
from asfound.document.report import PAPERS, Attachment, Report, Undocumentable
from asfound.document.typeset import made_by, typeset

__all__ = [
    "PAPERS",
    "Attachment",
    "BenchGate",
    "BenchLook",
    "BenchRow",
    "BenchSheet",
    "BenchTest",
    "Report",
    "Undocumentable",
    "attachments",
    "made_by",
    "typeset",
    "typeset_bench",
]
