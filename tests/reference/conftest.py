"""The book as it is packaged, which the limits and protocols of a kind are looked at in."""

from __future__ import annotations

import pytest

from asfound.limits import build_book, packaged
from asfound.model.limits import Book


@pytest.fixture(scope="session")
def book() -> Book:
    """All packaged sets, protocols, cautions and starter lists, without a fault among them."""
    have = packaged()
    made, faults = build_book(have.sets, have.protocols, {}, {}, cautions=have.cautions, starters=have.starters)
    assert faults == ()
    return made
