"""The document as others read it: the command in processes of its own, and programs that are not ours on what it wrote.

poppler reads text, facts and attachments, qpdf the structure. Neither judges PDF/A or PDF/UA: what is claimed of those
rests on the typesetter, which refuses to write what it sees to break them.
"""

from __future__ import annotations

import html as html_
import json
import re
import shutil
import subprocess
from collections.abc import Callable
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from msgspec import structs

from asfound.document import Report, typeset
from tests.unit.cli.support import apart
from tests.unit.document.support import CASES, ON, ROOT, on_paper, small

from .story import Story, tell

pytestmark = [pytest.mark.pdf_tools, pytest.mark.xdist_group("document")]

RETURN_PAD = ROOT / "cases/return-pad-lesion"
LONGEST = 36
"""Signs up to which an id has room in any column of the document."""


def run(*command: str) -> str:
    """What a program says of a file. It has to succeed."""
    done = subprocess.run(command, capture_output=True, check=False)
    assert done.returncode == 0, (command, done.stderr.decode("utf-8", "replace"))
    return done.stdout.decode("utf-8", "replace")


def together(text: str) -> str:
    """A text without spaces and hyphens: lines are broken at either, and poppler takes a hyphen at an end for ours."""
    return re.sub(r"[\s-]+", "", text)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Path], Path]:
    """The document of a case, set once."""
    home = tmp_path_factory.mktemp("documents")

    @cache
    def get(folder: Path) -> Path:
        place = home / f"{folder.name}.pdf"
        place.write_bytes(typeset(Report(**structs.asdict(on_paper(folder)))))
        return place

    return get


@pytest.mark.parametrize("folder", CASES, ids=lambda folder: folder.name)
def test_the_document_says_every_measured_text_and_every_name_that_the_record_says(
    folder: Path, made: Callable[[Path], Path]
) -> None:
    html = on_paper(folder).html
    cells = re.findall(r"<t[dh][^>]*>([^<>]{2,60})</t[dh]>", html)
    refs = re.findall(r'class="af-ref"[^>]*>([^<]+)<', html)
    assert len(cells) > 300 and len(refs) > 100
    wanted = {html_.unescape(one) for one in (*cells, *refs)}
    text = run("pdftotext", str(made(folder)), "-")
    said, words = together(text), set(re.findall(r"\w+", text))
    # Parts of a broken cell may stand among those of its neighbours; then each of its words has to be there.
    lost = [one for one in wanted if together(one) not in said and not words.issuperset(re.findall(r"\w+", one))]
    assert lost == []


@pytest.mark.parametrize("folder", CASES, ids=lambda folder: folder.name)
def test_others_can_read_it(folder: Path, made: Callable[[Path], Path]) -> None:
    place = made(folder)
    assert "No syntax or stream encoding errors found" in run("qpdf", "--check", str(place))
    facts = dict(line.split(":", 1) for line in run("pdfinfo", str(place)).splitlines() if ":" in line)
    assert facts["Tagged"].strip() == "yes" and facts["PDF version"].strip() == "1.7"
    assert facts["JavaScript"].strip() == "no" and facts["Encrypted"].strip() == "no"
    assert facts["CreationDate"].strip().startswith("Sat Nov 28 00:00:00 2026")
    fonts = run("pdffonts", str(place)).splitlines()[2:]
    assert fonts and all(re.search(r" yes yes yes +\d+ +\d+$", line) for line in fonts)
    assert {line.split("+")[1].split("-")[0].split()[0] for line in fonts} <= {
        "SourceSerif4", "SourceSans3", "DejaVuSansMono", "NewCMMath",
    }  # fmt: skip
    pages = int(facts["Pages"])
    text = run("pdftotext", "-layout", str(place), "-")
    assert all(f"page {number} of {pages}" in text for number in range(1, pages + 1))
    assert "End." in text[-1500:]


def test_links_lead_to_records_inside_the_document(made: Callable[[Path], Path], tmp_path: Path) -> None:
    plain = tmp_path / "plain.pdf"
    run("qpdf", "--qdf", "--object-streams=disable", str(made(RETURN_PAD)), str(plain))
    data = plain.read_bytes()
    inner = len(re.findall(rb"/Dest \d+ 0 R", data))
    html = on_paper(RETURN_PAD).html
    assert inner >= len(re.findall(r'<a class="af-ref" href="#(?!R-)', html))
    assert 'title="' not in html and b"/Outlines" in data
    assert b"/URI (file" not in data and b"/JavaScript" not in data and b"/Launch" not in data


def test_the_same_case_gives_the_same_bytes_in_another_process_folder_zone_and_language(tmp_path: Path) -> None:
    small = ROOT / "cases/bed-moved"
    found = []
    for number, env in enumerate(({"TZ": "Asia/Tokyo", "LC_ALL": "C"}, {"TZ": "America/Chicago", "LC_ALL": "C.UTF-8"})):
        root = tmp_path / f"there-{number}"
        shutil.copytree(ROOT / ".asfound", root / ".asfound")
        shutil.copytree(small, root / "cases/bed-moved")
        done = apart(root, "document", "bed-moved", "--on", ON.isoformat(), "-o", "../out.pdf", env=env)
        assert done.code == 0, done.err
        found.append((tmp_path / "out.pdf").read_bytes())
    assert found[0] == found[1]


def test_what_lies_inside_is_what_the_case_holds(tmp_path: Path) -> None:
    done = apart(tmp_path, "document", "return-pad-lesion", "--draft", "--on", ON.isoformat(), "--root", str(ROOT))
    assert done.code == 0, done.err
    place = tmp_path / "return-pad-lesion-draft.pdf"
    assert done.out.strip() == str(place)
    (tmp_path / "inside").mkdir()
    run("pdfdetach", "-saveall", "-o", str(tmp_path / "inside"), str(place))
    there = {one.name: one.read_bytes() for one in (tmp_path / "inside").iterdir()}
    assert there["custody.csv"] == (RETURN_PAD / "custody.csv").read_bytes()
    assert there["readings-output.csv"] == (RETURN_PAD / "readings/output.csv").read_bytes()
    dossier = json.loads(there["return-pad-lesion-dossier.json"])
    assert dossier["core"]["case"]["head"]["case"] == "return-pad-lesion" and "duties" not in dossier
    assert not any(name.startswith(("evidence-", "approvals", "editions")) for name in there)
    assert "Working copy" in run("pdftotext", str(place), "-")


@pytest.fixture(scope="module")
def story(tmp_path_factory: pytest.TempPathFactory) -> Story:
    return tell(tmp_path_factory.mktemp("documents") / "repository")


def test_an_edition_is_set_from_what_was_frozen_and_bears_no_mark_of_a_draft(story: Story, tmp_path: Path) -> None:
    done = apart(tmp_path, "document", "base", "--edition", "2", "--root", str(story.root))
    assert done.code == 0, done.err
    text = run("pdftotext", "-layout", str(tmp_path / "base-edition-2.pdf"), "-")
    assert "Working copy" not in text and "Edition 2" in text
    (tmp_path / "inside").mkdir()
    run("pdfdetach", "-saveall", "-o", str(tmp_path / "inside"), str(tmp_path / "base-edition-2.pdf"))
    frozen = (story.home / "editions/2/dossier.json").read_bytes()
    assert (tmp_path / "inside/base-dossier.json").read_bytes() == frozen
    # The case went on since; its readings come from the commit that holds the edition.
    assert b"4,100,111.9" in (tmp_path / "inside/readings-flow.csv").read_bytes()


def test_a_preservation_edition_brings_no_opinion_along(story: Story, tmp_path: Path) -> None:
    done = apart(tmp_path, "document", "base", "--edition", "1", "-o", "first.pdf", "--root", str(story.root))
    assert done.code == 0, done.err
    listed = run("pdfdetach", "-list", str(tmp_path / "first.pdf"))
    assert "case.yml" in listed
    assert not any(name in listed for name in ("conclusion.yml", "explanations.yml", "findings.yml"))


def test_without_an_edition_of_that_number_nothing_is_written(story: Story, tmp_path: Path) -> None:
    done = apart(tmp_path, "document", "base", "--edition", "9", "--root", str(story.root))
    assert done.code == 1 and "there is no edition 9 that is as it was issued (there is: 1, 2, 3)" in done.err
    assert list(tmp_path.iterdir()) == []
    done = apart(tmp_path, "document", "base", "-o", str(story.home / "x.pdf"), "--root", str(story.root))
    assert done.code == 2 and "a document within the case would be a file of the case" in done.err


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_a_drawing_of_many_rows_stays_on_its_page_with_its_caption(paper: str, tmp_path: Path) -> None:
    rows = "".join(f'<text x="9" y="{y}">row{y}</text>' for y in range(40, 4000, 90))
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 760 4000"><title>T</title><desc>D.</desc>{rows}</svg>'
    place = tmp_path / "tall.pdf"
    place.write_bytes(typeset(small(f"<figure>{svg}<figcaption>Lastly.</figcaption></figure>", handling="foot"), paper))
    found = run("pdftotext", "-bbox", str(place), "-")
    height = float(re.findall(r'<page width="[^"]+" height="([^"]+)"', found)[0])
    page = next(one for one in found.split("<page ")[1:] if ">row40<" in one)
    ends = {word: float(end) for end, word in re.findall(r'yMax="([^"]+)">([^<]+)<', page)}
    foot = float(re.findall(r'yMin="([^"]+)" xMax="[^"]+" yMax="[^"]+">foot<', page)[0])
    assert len([one for one in ends if one.startswith("row")]) == 44
    assert ends["row40"] < ends["row3910"] < ends["Lastly."] < foot < height


@pytest.mark.parametrize("folder", CASES, ids=lambda folder: folder.name)
def test_no_id_is_broken_at_the_end_of_a_line(folder: Path, made: Callable[[Path], Path]) -> None:
    """In two pieces it is found by no search, and read as two words."""
    lines = [line.rstrip() for line in run("pdftotext", "-raw", str(made(folder)), "-").splitlines()]
    assert sum(bool(re.search(r"\b[A-Z]-[a-z0-9]", line)) for line in lines) > 100
    broken = []
    for line, after in pairwise(lines):
        head = re.search(r"(?:^|[\s(\"“])([A-Z](?:-[a-z0-9]+)*-)$", line)
        rest = re.match(r"[a-z0-9]+(?:-[a-z0-9]+)*", after)
        # One that is longer than its column has to be.
        if head is not None and rest is not None and len(head[1] + rest[0]) <= LONGEST:
            broken.append(head[1] + rest[0])
    assert broken == []


@pytest.mark.parametrize("folder", CASES, ids=lambda folder: folder.name)
def test_no_drawing_stands_above_the_heading_it_belongs_to(folder: Path, made: Callable[[Path], Path]) -> None:
    """A drawing that goes to the top of a page goes to that of the next one, also where the layout could settle either
    way: on its own page it pushed its heading down, which so found no room for it."""
    found = run("pdftotext", "-bbox", str(made(folder)), "-")
    words = [
        (number, float(top), html_.unescape(word))
        for number, page in enumerate(found.split("<page ")[1:])
        for top, word in re.findall(r'yMin="([^"]+)" xMax="[^"]+" yMax="[^"]+">([^<]+)<', page)
    ]

    def places(*wanted: str) -> list[tuple[int, float]]:
        return [
            words[at][:2] for at in range(len(words)) if tuple(one[2] for one in words[at : at + len(wanted)]) == wanted
        ]

    # Once in the list of contents, once in its place; the drawing below it is the longest of a document.
    _, heading = places("What", "was", "done,", "in", "order")
    (caption, *_) = places("Time", "runs", "down,")
    assert heading < caption


def test_no_page_is_left_half_blank_before_a_drawing(made: Callable[[Path], Path], tmp_path: Path) -> None:
    """Ink of a page, between its head and foot, reaches down to more than half of it; the last one may end early."""
    run("pdftoppm", "-r", "20", "-gray", str(made(RETURN_PAD)), str(tmp_path / "page"))
    pages = sorted(tmp_path.glob("page-*.pgm"))
    assert len(pages) > 50
    reached = []
    for page in pages[:-1]:
        wide, high = map(int, page.read_bytes().split(maxsplit=4)[1:3])
        dots = page.read_bytes()[-wide * high :]
        # The words across a page that was not issued are lighter than any ink.
        rows = [at for at in range(int(high * 0.085), int(high * 0.93)) if min(dots[at * wide : (at + 1) * wide]) < 190]
        reached.append((rows[-1] / high - 0.085) / 0.845)
    assert min(reached) > 0.55, [(number, round(one, 2)) for number, one in enumerate(reached, 1) if one <= 0.55]
