"""The sheet of tags: the fields of the standard, codes that lead back, nothing that runs, nothing lost."""

from __future__ import annotations

import datetime as dt
import re
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from markupsafe import escape

from asfound.assess import assess_case
from asfound.model.dossier import Dossier
from asfound.pages.tags import CAUTION, NoCodesError, drawn, tags_html, tags_of
from tests.support import twins
from tests.unit.cli.support import repository, run

ROOT = Path(__file__).parents[3]


def dossier() -> Dossier:
    found = assess_case(ROOT, ROOT / twins.GOOD, dt.date(2026, 3, 20)).dossier
    assert found is not None
    return found


# --- reading a code back, by the published recipe


def modules(svg: str) -> list[list[bool]]:
    """The dark modules of a drawn code, without the quiet zone of four."""
    root = ET.fromstring(svg)
    size = int(float(root.attrib["viewBox"].split()[2])) - 8
    grid = [[False] * size for _ in range(size)]
    path = next(one for one in root.iter() if one.tag.endswith("path")).attrib["d"]
    x, y = 0.0, 0.0
    for letter, numbers in re.findall(r"([Mmh])([-0-9. ]+)", path):
        first, *rest = (float(one) for one in numbers.split())
        if letter == "h":
            for at in range(int(x), int(x + first)):
                grid[int(y) - 4][at - 4] = True
            x += first
        else:
            x, y = (first, rest[0]) if letter == "M" else (x + first, y + rest[0])
    return grid


MASKS = (
    lambda r, c: (r + c) % 2 == 0,
    lambda r, c: r % 2 == 0,
    lambda r, c: c % 3 == 0,
    lambda r, c: (r + c) % 3 == 0,
    lambda r, c: (r // 2 + c // 3) % 2 == 0,
    lambda r, c: r * c % 2 + r * c % 3 == 0,
    lambda r, c: (r * c % 2 + r * c % 3) % 2 == 0,
    lambda r, c: ((r + c) % 2 + r * c % 3) % 2 == 0,
)


def read_code(grid: list[list[bool]]) -> str:
    """The text of a code of versions 2 and 3 in byte mode, by ISO/IEC 18004 (from memory): format, mask, zigzag.

    Nothing is corrected: every module must be right.
    """
    size = len(grid)
    version = (size - 17) // 4
    assert version in {2, 3}
    bits = [grid[8][c] for c in (0, 1, 2, 3, 4, 5, 7, 8)]
    level = (bits[0] << 1 | bits[1]) ^ 0b10  # the format is masked with 101010000010010
    assert level == 0b00, "level M"
    mask = MASKS[(bits[2] << 2 | bits[3] << 1 | bits[4]) ^ 0b101]
    align = size - 7

    def free(r: int, c: int) -> bool:
        finder = (r < 9 and c < 9) or (r < 9 and c >= size - 8) or (r >= size - 8 and c < 9)
        return not (finder or r == 6 or c == 6 or (abs(r - align) < 3 and abs(c - align) < 3))

    stream: list[int] = []
    columns = [c for c in range(size - 1, 0, -2) if c > 6] + [5, 3, 1]
    for number, right in enumerate(columns):
        order = range(size - 1, -1, -1) if number % 2 == 0 else range(size)
        stream += [grid[r][c] ^ mask(r, c) for r in order for c in (right, right - 1) if free(r, c)]
    value = int("".join(str(int(bit)) for bit in stream), 2)
    whole = len(stream)

    def take(start: int, length: int) -> int:
        return value >> (whole - start - length) & ((1 << length) - 1)

    assert take(0, 4) == 0b0100, "byte mode"
    return bytes(take(12 + 8 * n, 8) for n in range(take(4, 8))).decode("utf-8")


@pytest.mark.parametrize(
    "code", ["asfound:small-case#I-1", "asfound:return-pad-lesion#I-3", "asfound:return-pad-lesion#I-12"]
)
def test_a_code_reads_back_as_what_it_is_said_to_hold(code: str) -> None:
    assert read_code(modules(str(drawn(code)))) == code


# --- the sheet


def test_a_tag_bears_the_fields_of_the_standard() -> None:
    """Item, case, collector, date, short description: ASTM E1459-13(2018), 4.1.4 (confirmed)."""
    tags = tags_of(dossier())
    assert [tag.item for tag in tags] == [f"I-{n}" for n in range(1, 13)]
    pad = tags[3]
    assert (pad.case, pad.collector) == ("return-pad-lesion", "custodian of evidence")
    assert pad.collected.startswith("2026-03-09 15:52") and pad.description.startswith("Used pad")
    assert (pad.seal, pad.code, pad.biohazard) == ("40117", "asfound:return-pad-lesion#I-4", True)
    text = tags_html(tags, "A case")
    for said in (pad.item, pad.case, pad.collector, pad.collected, pad.description):
        assert escape(said) in text


def test_the_sheet_is_one_file_that_runs_and_fetches_nothing() -> None:
    text = tags_html(tags_of(dossier()), "A <b>case</b>")
    assert "<script" not in text and "http://www.w3.org/2000/svg" not in re.sub(r'xmlns="[^"]*"', "", text)
    assert not re.search(r"""(?:src|href)=|url\(|@import""", text)
    assert "default-src 'none'" in text and "A &lt;b&gt;case" in text
    assert text.count("<article") == text.count("<svg") == text.count(CAUTION) == 12
    assert text == tags_html(tags_of(dossier()), "A <b>case</b>")


def test_without_the_library_the_codes_are_not_left_out_in_silence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "segno", None)
    with pytest.raises(NoCodesError):
        drawn("asfound:a#I-1")


# --- the command

ITEMS = (
    "I-1:\n  what: Warmer <2>\n  role: main device\n  in_use_at_event: yes\n  impounded: yes\n"
    "I-2:\n  what: Pole\n  role: accessory\n  in_use_at_event: yes\n  impounded: no\n"
)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    root = repository(tmp_path / "home")
    (root / "cases/small-case/items.yml").write_text(ITEMS, encoding="utf-8")
    return root


def test_the_command_writes_what_is_impounded_and_leaves_lines_for_what_is_not_on_record(
    home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    done = run(capsys, monkeypatch, home, "tags", "small-case", "--out", "tags.html")
    assert (done.code, done.out, done.err) == (0, "", "1 tag written to tags.html.\n")
    text = (home / "tags.html").read_text(encoding="utf-8")
    assert "Warmer &lt;2&gt;" in text and "I-2" not in text
    assert text.count('<dd class="write">') == 6  # description, identity, collector, date, seal, signature
    assert [one.name for one in home.iterdir() if one.name.startswith(".tags-")] == []


def test_an_item_may_be_asked_for_by_its_id(
    home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run(capsys, monkeypatch, home, "tags", "small-case", "--item", "I-2", "--out", "t.html").code == 0
    assert 'id="I-2"' in (home / "t.html").read_text(encoding="utf-8")
    done = run(capsys, monkeypatch, home, "tags", "small-case", "--item", "I-7", "--out", "u.html")
    assert done.code == 2 and "has no item I-7; it has I-1, I-2" in done.err and not (home / "u.html").exists()


def test_a_file_that_is_there_is_not_written_over_unasked(
    home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (home / "t.html").write_text("mine", encoding="utf-8")
    done = run(capsys, monkeypatch, home, "tags", "small-case", "--out", "t.html")
    assert done.code == 2 and "is there already" in done.err
    assert (home / "t.html").read_text(encoding="utf-8") == "mine"
    assert run(capsys, monkeypatch, home, "tags", "small-case", "--out", "t.html", "--replace").code == 0


@pytest.mark.parametrize(
    ("out", "says"),
    [
        ("cases/small-case/evidence.html", "whose files are evidence"),
        ("nowhere/t.html", "there is no folder"),
        ("cases", "is no file"),
    ],
)
def test_nothing_is_written_among_the_evidence_or_nowhere(
    home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, out: str, says: str
) -> None:
    done = run(capsys, monkeypatch, home, "tags", "small-case", "--out", out)
    assert done.code == 2 and says in done.err and not (home / out).is_file()


def test_a_missing_library_is_named(
    home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "segno", None)
    done = run(capsys, monkeypatch, home, "tags", "small-case", "--out", "t.html")
    assert done.code == 2 and 'pip install "asfound[tags]"' in done.err and not (home / "t.html").exists()


def test_a_case_that_cannot_be_read_gives_no_tag(
    home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (home / "cases/small-case/case.yml").write_text("case: small-case\ntitle: [\n", encoding="utf-8")
    done = run(capsys, monkeypatch, home, "tags", "small-case", "--out", "t.html")
    assert done.code == 1 and "no tag was written" in done.err and not (home / "t.html").exists()
