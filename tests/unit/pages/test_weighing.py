"""The pages that tell the weighing, from the base case: the grid, why no stronger, and what falls without what."""

from __future__ import annotations

import datetime as dt
import re
import tempfile
from functools import cache
from pathlib import Path

from asfound.assess import assess_case
from asfound.model.dossier import Dossier, dossier_json, read_dossier
from asfound.pages import Options, case_pages, standalone
from tests.rules.support import Copy

from .frozen import frozen

BASE = Path(__file__).parents[2] / "rules" / "base"
_TAG = re.compile(r"<[^>]+>")


@cache
def dossier() -> Dossier:
    found = assess_case(BASE, BASE / "cases/base", dt.date(2026, 3, 20)).dossier
    assert found is not None
    return found


@cache
def page(section: str) -> str:
    return next(one.body for one in case_pages(dossier(), {}, Options()) if one.uri == f"case/base/{section}.md")


def words(html: str) -> str:
    return " ".join(_TAG.sub(" ", html).replace("&nbsp;", " ").split())


def rows(html: str, caption: str) -> list[list[str]]:
    """The cells of a table, head first, as words."""
    table = html[html.index(f"<caption>{caption}") :]
    table = table[: table.index("</table>")]
    return [
        [words(cell) for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL)]
        for row in re.findall(r"<tr>(.*?)</tr>", table, re.DOTALL)
    ]


def test_the_grid_says_for_and_against_in_words_contradictions_first() -> None:
    head, *body = rows(page("findings"), "Evidence against explanations")
    assert head == ["Evidence", "X-1", "X-2", "X-3", "X-4"]
    assert body[:2] == [["F-4", "", "against", "", ""], ["F-5", "against, answered", "", "", ""]]
    assert {cells[0]: cells[1] for cells in body}["F-1"] == "for"


def test_the_table_of_explanations_names_what_speaks() -> None:
    head, *body = rows(page("findings"), "Explanations, and what speaks of them")
    assert head[2:] == ["Status", "Against", "For", "Cannot speak"]
    assert {cells[0].split()[0]: cells[2:5] for cells in body} == {
        "X-1": ["supported", "F-5", "F-1 F-2"],
        "X-2": ["ruled out", "F-4", "nothing"],
        "X-3": ["not tested", "nothing", "nothing"],
        "X-4": ["not tested", "nothing", "nothing"],
    }


def test_the_page_says_why_the_level_is_no_stronger() -> None:
    html = page("findings")
    said = words(html[html.index('id="ceiling"') :])
    assert "The mechanism The evidence earns probable . The author holds it so. It is about X-1 ." in said
    assert "Weakest link X-3 was not tested; what shows X-1 parts the two, and does not rule it out." in said
    assert "As weak as that: X-4 was not tested" in said
    assert "What would raise it, all of it together: A test that rules the rival out, or weakens it." in said
    assert "The reason The evidence earns undetermined ." in said
    assert '<a class="af-ref" href="#X-3">X-3</a> was not tested' in html


def test_the_first_page_says_how_strongly_why_no_more_and_what_stays_open() -> None:
    said = words(page("index"))
    assert "Held as probable (mechanism) and undetermined (reason) by the examiner." in said
    assert "Weakest link : X-3 was not tested" in said
    assert "Of the other explanations X-3 , X-4 are not tested." in said


def test_what_falls_without_what_is_listed_the_most_first() -> None:
    head, *body = rows(page("without"), "What falls without what")
    assert head[0] == "Without"
    assert len(body) == len(dossier().core.weighing.strikes)  # type: ignore[union-attr]
    assert body[0][0] == "I-1 Infusion pump"
    assert any(cells[0] == "the work of the examiner" for cells in body)
    by = {cells[0].split()[0]: cells[1:] for cells in body}
    assert by["I-1"][0] == "mechanism from probable to undetermined"
    assert by["M-3"][0] == "none" and by["M-3"][2] == "F-2"


def test_a_record_frozen_before_cases_were_weighed_still_reads() -> None:
    old = frozen()
    assert old.core.weighing is None
    html = standalone(old, {})
    assert "Rival explanations and how each stands" in html
    assert "was frozen by a version that did not weigh" in html


def test_the_weighing_goes_through_the_dossier_unchanged() -> None:
    assert read_dossier(dossier_json(dossier())).core.weighing == dossier().core.weighing


def test_no_class_carries_what_no_word_says() -> None:
    html = page("findings")
    assert 'class="af-counts"' in html
    assert all("against" in cell for cell in re.findall(r'<td class="af-counts">(.*?)</td>', html))


def test_a_count_of_trials_says_what_it_leaves_room_for_wherever_it_is_cited() -> None:
    with tempfile.TemporaryDirectory() as folder:
        copy = Copy(Path(folder), [("readings/flow-again.csv", "1,100,112.2,", "1,100,0 of 59,")])
        found = assess_case(copy.root, copy.root / "cases/base", dt.date(2026, 3, 20)).dossier
        assert found is not None
        pages = {one.uri: one.body for one in case_pages(found, {}, Options())}
    said = words(pages["case/base/findings.md"]).replace("\u00a0", " ")
    assert "R-flow-again-1 0 of 59, chance in one trial below 4.95 %" in said
