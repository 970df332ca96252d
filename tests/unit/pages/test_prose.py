"""Prose as HTML: what leads out of the pages is told apart from what leads on within them."""

from __future__ import annotations

from asfound.pages.prose import Prose


def test_a_link_out_is_marked_and_a_record_is_not() -> None:
    prose = Prose(lambda ref: f"#{ref}", lambda ref: ref)
    made = str(prose.line("The [handbook](https://example.org/a) and [F-2]."))
    assert '<a class="af-away" href="https://example.org/a"' in made
    assert made.count("af-away") == 1 and 'href="#F-2"' in made
