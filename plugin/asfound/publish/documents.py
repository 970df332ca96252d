"""Documents beside the pages, of working copies and editions, set once for as long as their case stays as it is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from functools import partial

from asfound import bind, document
from asfound.assess import Assessment, Repository
from asfound.assess.issue import editions_of
from asfound.compare import Issued
from asfound.document import Undocumentable
from asfound.model.dossier import Dossier
from asfound.pages import Made
from asfound.publish.finished import Kept
from asfound.store import Store, key

DOCUMENT = "document"


class Shelf:
    """Documents of one build. What an assessment was worked out from decides its document too, the typesetter among the
    packages: so both are kept under one key."""

    def __init__(self, shared: Repository, store: Store | None, kept: Kept) -> None:
        self._shared, self._store, self._kept = shared, store, kept
        self._now: dict[str, bytes] = {}

    def draft(self, one: Assessment, dossier: Dossier, pictures: Mapping[str, Made], issued: Sequence[Issued]) -> bytes:
        """The working copy of a case. Raises Undocumentable, the case named in each reason."""
        folder = self._shared.root / one.folder
        return self._kept_or(
            one, "", lambda: document.typeset(bind.draft_report(folder, dossier, pictures, issued)), dossier.id
        )

    def editions(self, one: Assessment) -> dict[int, bytes]:
        """Number of each edition → its document. One whose files are not at hand (a shallow clone, a case that went on
        without being committed) has none. Raises Undocumentable."""
        made: dict[int, bytes] = {}
        if one.dossier is None:
            return made
        for issued in editions_of(self._shared, one.folder):
            number = issued.record.number
            try:
                made[number] = self._kept_or(
                    one, str(number), partial(self._edition, one.folder, number), one.dossier.id
                )
            except bind.NotThere:
                continue
        return made

    def close(self) -> None:
        """What this build did not ask for is not remembered for the next."""
        self._kept.documents = self._now
        if self._store is not None:
            self._store.trim()

    def _edition(self, folder: str, number: int) -> bytes:
        # An edition bears its own date; that of the assessment has no part in it.
        with bind.opened(self._shared, self._shared.root / folder, number, False, dt.date.min) as taken:
            return document.typeset(bind.report_of(taken))

    def _kept_or(self, one: Assessment, what: str, make: Callable[[], bytes], case: str) -> bytes:
        name = key(DOCUMENT, one.key, what) if one.key else ""
        known = self._kept.documents.get(name) if name else None
        if known is None and name and self._store is not None:
            known = self._store.get(DOCUMENT, name)
        if known is None:
            try:
                known = make()
            except Undocumentable as error:
                raise Undocumentable(*(f"{case}: {reason}" for reason in error.reasons)) from None
            if name and self._store is not None:
                self._store.put(DOCUMENT, name, known)
        if name:
            self._now[name] = known
        return known
