"""Whether a text seems to name somebody, by the words the book of a repository holds."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from asfound.assess.repository import open_repository
from asfound.rules.evidence.person_named import Looked


def names_somebody(root: Path) -> Callable[[str], bool]:
    """Asks of a text whether it seems to name a person, as the rule `person-named` does.

    What an organisation lets pass in its own cases is found here all the same: others read what is asked about.
    """
    looked = Looked.of(open_repository(root).book.words)
    if looked is None:
        return lambda text: False
    return lambda text: bool(looked.names(text))
