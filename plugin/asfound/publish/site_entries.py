"""What is asked of a built site beside the repository it is said to show, one entry a rule."""

from __future__ import annotations

from asfound.audit.entries import entry
from asfound.problems import Entry

__all__ = ["ENTRIES", "Entry"]
_ANEW = "Build the site anew from the repository as it stands, with the plugin, or from what asfound render writes."

UNSTAMPED = entry(
    "site-unstamped",
    "A site says of which cases in which state it was made.",
    "An engine that does not know the plugin passes over it in silence, and its site shows no case, or an old one.",
    _ANEW,
)
STATE = entry(
    "site-of-another-state",
    "A site shows the cases as the repository holds them, by the same version of the program, on the same date.",
    "Who reads a site believes that it shows what was reviewed.",
    _ANEW,
)
REJECTED = entry(
    "site-of-rejected-case",
    "No site is built while a reject stands.",
    "A weak report that was published is read as a strong one.",
    "Mend what asfound check says, then build the site anew.",
)
MISSING = entry(
    "page-missing",
    "Every page that the repository gives stands in the site.",
    "A page that is left out takes away what a sentence elsewhere rests on.",
    _ANEW,
)
UNFILLED = entry(
    "page-unfilled",
    "Every page holds what the program wrote for it.",
    "An engine that makes the page and not its content leaves a case that looks as if nothing was found.",
    _ANEW,
)
DIFFERS = entry(
    "page-differs",
    "Every page has the words, anchors and addresses that the repository gives.",
    "A word that was changed after the check was checked by nobody.",
    "Build the site anew; take out what changes pages on the way.",
)
STRAY = entry(
    "page-of-no-case",
    "No page below case/ stands in the site that the repository does not give.",
    "A case that was taken back, or a page of an earlier state, would be read as if it held.",
    "Empty the folder of the site and build it anew.",
)
FILE = entry(
    "file-differs",
    "Pictures, documents and the index are those that the repository gives; what pages ask for is there.",
    "A picture is evidence as it was derived, and not as something made it smaller on the way.",
    "Build the site anew; keep what changes pictures away from those below case/.",
)
MARK = entry(
    "mark-left",
    "No mark that stands for a value is left in a page.",
    "Where [=R-output-12] is printed as it stands, nobody has put the value there.",
    "Quote records only in files of a case; in pages of your own, link to the page of the case.",
)
ENTRIES = (UNSTAMPED, STATE, REJECTED, MISSING, UNFILLED, DIFFERS, STRAY, FILE, MARK)
