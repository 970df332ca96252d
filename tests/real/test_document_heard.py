"""The document and the sheet for the bench before a checker that is not ours and shares nothing with what set them.

outloud 0.2.1 (Apache-2.0, from PyPI, on pikepdf and PyMuPDF) asks what a program can see of PDF/UA-1 (ISO 14289-1),
by the checkpoints of the Matterhorn Protocol 1.1, and more besides. It runs in a process of its own. Of PDF/A it says
nothing, and what takes a person (colour, contrast, sense of a description) it leaves to one.
"""

from __future__ import annotations

import html as html_
import json
import re
import subprocess
from pathlib import Path
from typing import Any

import pytest
from msgspec import structs

from asfound.document import Report, typeset
from tests.conftest import HEARD
from tests.unit.cli.support import apart
from tests.unit.document.support import ROOT, on_paper

pytestmark = [pytest.mark.heard, pytest.mark.pdf_tools]

HEAD, FOOT = 770, 60
"""Points from the foot of an A4 page: above the one stands the running head, below the other the running foot."""
REPEATED = {"TAG-002", "PAG-001"}
"""What it says of lines it takes for content or for a running head; whether rightly is looked at line by line."""
HARMLESS = {"ORD-001", "TBL-012", "FIG-011", "TBL-013"}
"""Of these no standard speaks: notes of the margin are drawn after the text beside them, and a grid of evidence against
explanations is empty where evidence says nothing, as the words above it tell."""


def heard(*places: Path) -> list[dict[str, Any]]:
    """What the checker says of each file."""
    told = places[0].with_suffix(".json")
    asked = [str(HEARD), *map(str, places), "--json", str(told), "-q", "--fail-on", "never"]
    done = subprocess.run(asked, capture_output=True, check=False)
    assert done.returncode == 0, done.stderr.decode("utf-8", "replace")
    found: list[dict[str, Any]] = json.loads(told.read_bytes())["results"]
    assert len(found) == len(places) and all(one["error"] is None for one in found)
    return found


def errors(one: dict[str, Any]) -> set[str]:
    return {each["rule"] for each in one["findings"] if each["severity"] == "error"}


@pytest.mark.parametrize("name", ["return-pad-lesion", "incubator-probe", "bed-moved"])
def test_every_checkpoint_a_program_can_see_holds(name: str, tmp_path: Path) -> None:
    folder = ROOT / "cases" / name
    paper = on_paper(folder)
    place = tmp_path / f"{name}.pdf"
    place.write_bytes(typeset(Report(**structs.asdict(paper))))
    (one,) = heard(place)
    seen = {point["id"]: point["status"] for point in one["criteria"]["pdfua1"]}
    assert len(seen) == 31 and "fail" not in seen.values()
    assert [seen[at] for at in ("01", "02", "06", "10", "11", "13", "14", "15", "16", "28", "31")] == ["pass"] * 11
    assert {each["rule"] for each in one["findings"]} <= REPEATED | HARMLESS
    assert errors(one) <= {"TAG-002"}
    heads = [words(row) for row in re.findall(r"<thead\b[^>]*>(.*?)</thead>", paper.html, re.DOTALL)]
    assert len(heads) > 10
    for each in one["findings"]:
        if each["rule"] == "TAG-002":
            # A head that is said again on the next page is no content: ISO 14289-1, 7.8 has it an artifact.
            assert any(words(each["evidence"]) <= head for head in heads), each
        elif each["rule"] == "PAG-001":
            # It takes ticks and captions that recur for running lines; of ours none is among them.
            assert all(box["y0"] > FOOT and box["y1"] < HEAD for box in each["boxes"]), each


def words(text: str) -> set[str]:
    """Words of a text without its tags; a line of a head holds some of those of each cell."""
    return set(re.findall(r"\w+", html_.unescape(re.sub(r"<[^>]*>", " ", text))))


def test_the_sheet_for_the_bench_leaves_nothing_to_say(tmp_path: Path) -> None:
    for paper in ("a4", "us-letter"):
        place = tmp_path / f"{paper}.pdf"
        done = apart(
            tmp_path, "plan", "return-pad-lesion", "--dry-run", "--bench-sheet", str(place), "--paper", paper,
            "--root", str(ROOT),
        )  # fmt: skip
        assert done.code == 0, done.err
    for one in heard(tmp_path / "a4.pdf", tmp_path / "us-letter.pdf"):
        assert one["verdict"] == "pass" and one["findings"] == []


def test_it_would_hear_a_drawing_without_words_and_a_document_without_structure(tmp_path: Path) -> None:
    place = tmp_path / "whole.pdf"
    place.write_bytes(typeset(Report(**structs.asdict(on_paper(ROOT / "cases/bed-moved")))))
    subprocess.run(
        ["qpdf", "--qdf", "--object-streams=disable", str(place), str(tmp_path / "plain.pdf")], check=True
    )  # fmt: skip
    data = (tmp_path / "plain.pdf").read_bytes()
    wordless, bare = tmp_path / "wordless.pdf", tmp_path / "bare.pdf"
    wordless.write_bytes(re.sub(rb"/Alt\b", b"/Axx", data))
    bare.write_bytes(data.replace(b"/StructTreeRoot ", b"/XtructTreeRoot "))
    without_words, without_structure = heard(wordless, bare)
    assert "FIG-001" in errors(without_words)
    assert "DOC-002" in errors(without_structure)
