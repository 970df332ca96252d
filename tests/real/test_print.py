"""The whole record on paper: printed by a real browser without a script, on A4 and on US Letter, and read back.

Sizes of sheets: ISO 216 (210 mm × 297 mm) and ANSI/ASME Y14.1 size A (8.5 in × 11 in); from memory. A point is 1/72 in.
"""

from __future__ import annotations

import html
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.conftest import BROWSER

from .reader import serving
from .support import ROOT, Site

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed"),
]
CASE = "bed-moved"
SHEETS = {"A4": (595.3, 841.9), "Letter": (612.0, 792.0)}


@pytest.fixture(scope="module", params=sorted(SHEETS))
def printed(request: pytest.FixtureRequest, demo: Site, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """The record of one case as PDF: name of the sheet, file."""
    from playwright import sync_api as playwright

    file = tmp_path_factory.mktemp("print") / f"{request.param}.pdf"
    with playwright.sync_playwright() as p:
        browser = p.chromium.launch(executable_path=str(BROWSER), args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_context(java_script_enabled=False).new_page()
        page.goto((demo.folder / "case" / CASE / "record" / "index.html").as_uri())
        page.pdf(path=str(file), format=request.param, prefer_css_page_size=True)
        browser.close()
    yield request.param, file


def pages(file: Path, *options: str) -> list[str]:
    """The text of each page."""
    read = subprocess.run(["pdftotext", *options, str(file), "-"], capture_output=True, check=True).stdout.decode()
    return read.split("\f")[:-1]


def dense(text: str) -> str:
    return re.sub(r"\s+", "", text)


def test_the_sheet_is_the_one_that_was_asked_for(printed: Any) -> None:
    name, file = printed
    said = subprocess.run(["pdfinfo", str(file)], capture_output=True, check=True).stdout.decode()
    found = re.search(r"Page size:\s+([\d.]+) x ([\d.]+) pts", said)
    assert found is not None
    assert [float(one) for one in found.groups()] == pytest.approx(SHEETS[name], abs=1.5)


def test_every_sheet_says_which_report_which_state_and_which_page_of_how_many(printed: Any) -> None:
    _, file = printed
    found = pages(file, "-layout")
    assert 20 < len(found) < 80  # it is a report, and not a book
    for number, text in enumerate(found, start=1):
        assert f"Case {CASE}. Draft" in text, number
        assert re.search(r"SHA-256 of the case( [0-9a-f]{4}){4}", text), number
        assert f"page {number} of {len(found)}" in text, number


def test_the_end_is_marked_and_nothing_follows_it(printed: Any) -> None:
    _, file = printed
    found = [dense(text) for text in pages(file)]
    assert [number for number, text in enumerate(found) if "Nothingfollows.End." in text] == [len(found) - 1]


def test_the_head_of_a_table_repeats_on_each_sheet_it_goes_over(printed: Any) -> None:
    _, file = printed
    body = [dense(text) for text in pages(file, "-raw")]
    digests = [one["sha256"] for one in evidence().values()]
    over = [text for text in body if any(digest in text for digest in digests)]
    assert len(over) > 1, "the table of files goes over more than one sheet, or this asks nothing"
    assert all("EvidenceKindShowsTakenFileSHA-256" in text for text in over)


def test_no_row_is_broken(printed: Any) -> None:
    """A digest runs over several lines of its cell; it stands whole on one sheet only where its row does."""
    _, file = printed
    body = [dense(text) for text in pages(file, "-raw")]
    for ref, one in evidence().items():
        assert any(one["sha256"] in text for text in body), ref


def test_no_part_begins_at_the_foot_of_a_sheet_with_nothing_under_it(printed: Any) -> None:
    _, file = printed
    titles = {"Summary", "Independence", "Inspection", "Results", "Calculations", "Findings", "Opinion", "Next steps"}
    seen = set()
    for number, text in enumerate(pages(file, "-layout"), start=1):
        lines = [line.strip() for line in text.splitlines() if line.strip()]
        for at, line in enumerate(lines):
            title = re.sub(r"^\d+\s+", "", line)
            if title in titles and title != line:
                seen.add(title)
                # The foot of the sheet is the last line; there is something between.
                assert at < len(lines) - 2, (number, line)
    assert seen == titles


def test_what_a_screen_folds_away_lies_open_on_paper(printed: Any, demo: Site) -> None:
    _, file = printed
    body = dense(" ".join(pages(file)))
    source = (demo.folder / "case" / CASE / "record" / "index.html").read_text(encoding="utf-8")
    folded = re.findall(r"<details[^>]*>(.*?)</details>", source, re.DOTALL)
    captions = {dense(html.unescape(one)) for part in folded for one in re.findall(r"<caption>([^<]*)</caption>", part)}
    assert len(captions) > 2
    assert {one for one in captions if one not in body} == set()


def test_where_else_a_screen_leads_is_not_printed(printed: Any) -> None:
    _, file = printed
    assert "Wholerecord" not in dense(" ".join(pages(file)))


def evidence() -> dict[str, Any]:
    made = yaml.safe_load((ROOT / "cases" / CASE / "evidence.yml").read_text(encoding="utf-8"))
    return {str(ref): one for ref, one in made.items()}


def _printed(page: Any, file: Path) -> str:
    page.pdf(path=str(file), format="A4", prefer_css_page_size=True)
    return dense(" ".join(pages(file)))


def test_a_link_out_of_the_site_is_written_out_and_others_are_not(reader: Any, plain: Site, tmp_path: Path) -> None:
    page = reader().page
    page.goto(plain.page("case/base/findings").path.as_uri())
    page.evaluate(
        "document.querySelector('.af p').insertAdjacentHTML('beforebegin', '<p>The <a class=\"af-away\" href=\"https://example.org/a-b\">"
        'handbook</a>, <a class="af-line" href="https://example.org/line#L3">findings.yml:3</a></p>\')'
    )
    body = _printed(page, tmp_path / "links.pdf")
    assert "Thehandbook(https://example.org/a-b),findings.yml:3" in body
    assert body.count("http") == 1 and ".html" not in body and "file:" not in body


def test_an_id_stands_in_one_line_and_a_status_is_not_a_tower(reader: Any, demo: Site, tmp_path: Path) -> None:
    """Ids were broken at their hyphens, and long links left the words beside them a line each."""
    page = reader().page
    page.goto((demo.folder / "case" / CASE / "record" / "index.html").as_uri())
    file = tmp_path / "record.pdf"
    _printed(page, file)
    lines = [line for text in pages(file, "-layout") for line in text.splitlines()]
    readings = {ref for line in lines for ref in re.findall(r"^(R-[a-z]+-\d+)\s", line)}
    assert len(readings) > 20
    assert [line for line in lines if re.search(r"\b[A-Z]-$", line.rstrip())] == []
    assert any("not yet confirmed" in line for line in lines)


def test_where_a_theme_makes_addresses_absolute_none_of_them_is_printed(
    reader: Any, demo: Site, tmp_path: Path
) -> None:
    """A theme that opens pages by itself writes whole addresses into the links, once its script has run."""
    with serving(demo.folder) as address:
        page = reader().page
        page.goto(f"{address}/case/{CASE}/")
        page.wait_for_selector(f'.af-row a[href^="{address}/case/{CASE}/"]', state="attached")
        body = _printed(page, tmp_path / "served.pdf")
    assert "Whattheevidencesupports" in body
    assert "127.0.0.1" not in body and "http" not in body


@pytest.mark.parametrize(
    "name", ["", "case/base", "case/base/findings", "case/base/measurements", "case/base/record", "limits",
             "docket/level/probable", "manual/start"],
)  # fmt: skip
def test_pages_print_under_the_engines_own_theme(reader: Any, plain: Site, tmp_path: Path, name: str) -> None:
    """Every heading and every cell of a table is on paper, and nothing of the theme around it is."""
    page = reader().page
    page.goto(plain.page(name).path.as_uri())
    page.emulate_media(media="print")
    words = (
        "[...document.querySelectorAll('.af :is(h1, h2, h3, td)')].filter(o => o.checkVisibility()).map(o => {SAID})"
    )
    wanted = page.evaluate(words.replace("{SAID}", "o.innerText"))
    stripes = page.evaluate(
        words.replace("{SAID}", "getComputedStyle(o).backgroundColor + getComputedStyle(o).boxShadow")
    )
    assert len(wanted) > 1 and set(stripes) == {"rgba(0, 0, 0, 0)none"}
    body = _printed(page, tmp_path / "page.pdf")
    # Lines of neighbouring cells may be read in turn, so that only what stands in one line is asked for.
    assert [one for one in wanted if one.split() and one.split()[0] not in body] == []
    around = [one.text for one in plain.page(name).elements if one.tag == "nav" or one.within("navbar")]
    assert any("Test docket" in one for one in around) and "Testdocket" not in body
