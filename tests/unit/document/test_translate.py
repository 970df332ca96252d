"""What becomes of our HTML: every element has a form or is an error, no word is lost, links lead somewhere."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from asfound.document import Undocumentable
from asfound.document.tables import Cell, columns
from asfound.document.translate import Translated, translate
from tests import twins

from .support import CASES, MEASURES, ROOT, on_paper, translated


class _Words(HTMLParser):
    """The words of a body, drawings left out, by a reader that knows nothing of ours."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: Counter[str] = Counter()
        self._left = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._left += tag in {"svg", "summary"}

    def handle_endtag(self, tag: str) -> None:
        self._left -= tag in {"svg", "summary"}

    def handle_data(self, data: str) -> None:
        if not self._left:
            self.found.update(re.findall(r"\w+", data))


def words_of(html: str) -> Counter[str]:
    reader = _Words()
    # The document counts its parts and lists them by itself.
    reader.feed(re.sub(r'<(\w+)[^>]* ?class="af-(?:number|contents)".*?</\1>', "", html, flags=re.DOTALL))
    return reader.found


def strings(data: Any) -> Iterator[str]:
    """Every text that is set, in order."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, list):
        for one in data:
            yield from strings(one)
    elif isinstance(data, dict):
        for name in ("name", "title", "caption", "heads", "cells", "in", "rows", "notes"):
            yield from strings(data.get(name, []))


def elements(data: Any) -> Iterator[dict[str, Any]]:
    if isinstance(data, list):
        for one in data:
            yield from elements(one)
    elif isinstance(data, dict):
        yield data
        for one in data.values():
            yield from elements(one)


def every(found: Translated) -> list[Any]:
    return [*found.lede, *found.blocks, *found.behind, *found.close]


FOLDERS = [
    *[(folder, ROOT) for folder in CASES],
    *[(ROOT / twin.case, ROOT / twin.root) for twin in twins.twins()],
]


@pytest.mark.parametrize(("folder", "root"), FOLDERS, ids=[folder.name for folder, _ in FOLDERS])
def test_every_case_and_twin_translates_and_no_word_of_its_record_is_lost(folder: Path, root: Path) -> None:
    made = on_paper(folder, root)
    found = translate(made.html, made.images, MEASURES)
    data = every(found)
    kept = Counter(word for text in strings(data) for word in re.findall(r"\w+", text))
    # A table that stands behind two drawings of one chart is set once, so a word may be set fewer times, never not.
    # Contents and numbers of parts are the typesetter's own.
    ours = re.sub(r'<nav class="af-contents".*?</nav>|<span class="af-number">\d+</span>', "", made.html, flags=re.S)
    assert [word for word in words_of(ours) if word not in kept] == []
    assert len(found.pictures) == made.html.count("<img ")
    assert len(found.drawings) == made.html.count("<svg ")
    ids = [one["id"] for one in elements(data) if one.get("id")]
    assert len(ids) == len(set(ids))
    assert set(ids) >= set(re.findall(r'<tr id="([^"]+)"', made.html))
    links = [one["to"] for one in elements(data) if one.get("k") == "a"]
    assert links and all(to[1:] in ids for to in links if to.startswith("#"))
    levels = [one["level"] for one in elements(data) if one.get("k") == "h"]
    assert levels[0] == 1 and all(b <= a + 1 for a, b in pairwise(levels))


def test_an_element_without_a_form_is_an_error_that_names_it() -> None:
    with pytest.raises(Undocumentable) as error:
        translated('<p>One</p><marquee class="x">goes round</marquee><p>a <blink>b</blink></p>')
    first, second = error.value.reasons
    assert '<marquee class="x"> around "goes round"' in first and "an element it knows is needed" in first
    assert '<blink> around "b"' in second


@pytest.mark.parametrize(
    ("html", "said"),
    [
        ("<p>One<div>two</p></div>", "</p> stands in line 1, column 15 of the report while <div> is open"),
        ("<section><p>One</p>", "<section> is never closed"),
        ("<table><tbody></tbody></table>", "a table of the report has no cells"),
        ('<table><tr><td rowspan="2">1</td></tr></table>', "spans rows"),
        ("<table><tr><p>1</p></tr></table>", "<p> stands in a row of a table"),
        ("<table>loose<tr><td>1</td></tr></table>", 'the text "loose" stands in a table outside its cells'),
        ("<ul>loose<li>1</li></ul>", 'the text "loose" stands between the entries'),
    ],
)
def test_a_body_that_is_not_well_formed_is_refused_and_never_mended(html: str, said: str) -> None:
    with pytest.raises(Undocumentable, match=re.escape(said)):
        translated(html)


def test_a_picture_or_a_drawing_without_alternative_text_is_named() -> None:
    with pytest.raises(Undocumentable) as error:
        translated(
            '<figure id="E-3"><img src="E-3.jpg" alt=" "></figure>'
            '<figure id="chart-x"><svg viewBox="0 0 1 1"><title></title></svg></figure>',
            **{"E-3.jpg": b"x"},
        )
    assert error.value.reasons[0].startswith("the picture E-3.jpg has no alternative text; words")
    assert error.value.reasons[1].startswith("the drawing chart-x has no alternative text; a title")


def test_bytes_of_a_picture_have_to_come_along() -> None:
    with pytest.raises(Undocumentable, match=r"the bytes of the picture E-3\.jpg were not handed over"):
        translated('<img src="E-3.jpg" alt="a bed">')


def test_a_link_that_leads_nowhere_in_the_document_keeps_its_words_and_the_first_of_two_ids_counts() -> None:
    found = translated('<p id="a">x <a href="#gone">rule</a> <a href="#a">here</a></p><p id="a">again</p>')
    assert [one.get("k") for one in elements(found.blocks)] == ["at", "p", "s", "a", "at", "p"]
    assert [one["id"] for one in found.blocks if one["k"] == "at"] == ["a", ""]
    assert "".join(strings(found.blocks)) == "x rule hereagain"


def test_text_that_looks_like_data_or_markup_of_the_typesetter_stays_text() -> None:
    found = translated("<p>#panic() [k] {&quot;k&quot;: &quot;a&quot;} $x$ &lt;p&gt;</p>")
    assert found.blocks == [{"k": "p", "style": "", "in": ['#panic() [k] {"k": "a"} $x$ <p>']}]


def test_tables_behind_charts_go_to_the_end_once() -> None:
    table = '<details class="af-data"><summary>Table</summary><table><tr><td>1</td></tr></table></details>'
    svg = '<svg viewBox="0 0 760 90"><title>T</title><desc>D.</desc></svg>'
    found = translated(f'<figure id="c">{svg}{table}</figure><figure id="d">{svg}{table}</figure>')
    first, second = found.blocks
    assert first["behind"] == second["behind"] != "" and first["alt"] == "T. D"
    assert [one["k"] for one in found.behind] == ["at", "table"]


def test_columns_of_ids_stay_narrow_and_all_fit() -> None:
    def cell(text: str) -> Cell:
        return Cell([{"k": "p", "style": "", "in": [text]}])

    rows = [[cell("R-output-12"), cell("word " * 60), cell("2026-05-04 11:30 −05:00 (Mon)")] for _ in range(3)]
    size, widths = columns(rows, 3, 465, 312)
    assert size == 8.2 and sum(widths) == pytest.approx(465 - 18)
    assert widths[0] < 60 and widths[1] > 250 and 100 < widths[2] < 140
    many = [[cell("unbreakable-token-0123456789" * 2) for _ in range(12)]]
    size, widths = columns(many, 12, 465, 312)
    assert size < 8 and sum(widths) == pytest.approx(465 - 99)


def test_a_column_of_much_said_in_every_row_is_not_set_as_a_tower() -> None:
    """The readings of the demonstration's largest sheet: each says its limits and where the maker states them."""
    paper = on_paper(ROOT / "cases" / "return-pad-lesion")
    found = translate(paper.html, paper.images, MEASURES)
    tables = [one for one in found.blocks if one["k"] == "table" and "Activation" in _words(one["heads"])]
    (table,) = [one for one in tables if "R-output-36" in _words(one["rows"])]
    verdict = _words(table["heads"]).split("|").index("Verdict")
    said = max(_words(row["cells"][verdict]) for row in table["rows"])
    assert "the maker states" in said
    # Twelve lines before; an average letter of the face is half as wide as it is high (from memory).
    assert len(said) * table["size"] / 2 / table["columns"][verdict] < 6
    assert table["size"] >= 7 and table["columns"][0] > 36, "what can be read, and ids unbroken"


def _words(of: Any) -> str:
    """All text of some data, a bar between two pieces."""
    if isinstance(of, str):
        return of
    inside = of.get("in", of.get("cells", "")) if isinstance(of, dict) else of
    return inside if isinstance(inside, str) else "|".join(filter(None, map(_words, inside)))
