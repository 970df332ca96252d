"""What a document is made of, and what is said when none can be made."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from msgspec import Struct, field

PAPERS = ("a4", "us-letter")


class Undocumentable(Exception):
    """Why no document can be made; each reason says what was found, what was needed and how to mend it."""

    def __init__(self, *reasons: str) -> None:
        super().__init__("; ".join(reasons))
        self.reasons = reasons


class Attachment(Struct, frozen=True):
    """A file that lies inside the document.

    name      a path stands in it with hyphens, since a file inside a document lies in no folder
    relation  what it is to the document, in the words of PDF/A-3: `source` what it was made from, `data` what is shown
    """

    name: str
    data: bytes
    media: str
    about: str
    relation: str = "data"


class Report(Struct, frozen=True):
    """A finished report as HTML, and the few facts that stand around it.

    html           the body: the very markup of the site, all on one page, so that every link is `#id`
    standing       what the report is, for the head of every page: `Edition 2`, `Draft, never issued`
    issued         whether it is an edition; what is none bears a mark across every page
    dated          the date of the document: of issue, or of assessment
    digest         first digits of the case's digest, for the head of every page
    facts          names and values for the first page, in order
    images         `src` of a picture in the body → its bytes
    made_with      the program that made it, for the document's own record of itself
    """

    html: str
    title: str
    case: str
    standing: str
    issued: bool
    dated: dt.date
    digest: str
    facts: tuple[tuple[str, str], ...] = ()
    handling: str = ""
    made_with: str = ""
    language: str = "en"
    images: Mapping[str, bytes] = field(default_factory=dict)
    attachments: tuple[Attachment, ...] = ()
