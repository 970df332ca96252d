"""Where an edition lies."""

from __future__ import annotations

from asfound.model.edition import EDITION_FILE, FOLDER
from asfound.model.facts import Facts
from asfound.problems import Span


def place(facts: Facts, number: int, name: str = EDITION_FILE) -> Span:
    """A file of an edition."""
    return Span(f"{facts.case.folder}/{FOLDER}/{number}/{name}")


def folder(facts: Facts) -> Span:
    """The folder of all editions."""
    return Span(f"{facts.case.folder}/{FOLDER}")
