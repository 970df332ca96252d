"""The index of many cases: small, and what it says of a case is what the case says."""

from __future__ import annotations

import json

from asfound.pages import Options, search_index
from asfound.pages.search import folded, words_of

from .frozen import frozen
from .many import many


def told(count: int) -> tuple[int, dict[str, list[list[object]]]]:
    data = search_index(many(count), (), Options())
    return len(data), json.loads(data.decode().removeprefix("window.afIndex=").rstrip().removesuffix(";"))


def test_five_hundred_cases_take_less_than_two_thousand_bytes_each() -> None:
    size, data = told(500)
    assert len(data["cases"]) == 500 and size <= 500 * 2000
    assert len({one[3][0][1] for one in data["cases"]}) == 500, "every case has its own serial in it"


def test_greek_and_accents_are_compared_as_one_sign() -> None:
    """Unicode, normalisation form KD: the micro sign and the Greek mu are one letter, and so are ohm and omega."""
    assert folded("34.2 \u00b5A") == folded("34.2 \u03bcA")
    assert folded("68 \u2126") == folded("68 \u03a9")
    assert folded("Théâtre") == "theatre"
    assert words_of("The pad, and the pad's edge: 88.4 W") == ["pad", "pad's", "edge"]


def test_no_text_of_a_case_ends_the_script() -> None:
    core = frozen().core
    from dataclasses import replace

    head = core.case.head.model_copy(update={"title": "</script><script>alert(1)</script>\u2028"})
    made = search_index([replace(frozen(), core=replace(core, case=replace(core.case, head=head)))], (), Options())
    assert b"<" not in made and "\u2028".encode() not in made
