"""One document of a state of a case, whoever asks for it: the command, the pack, the site."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path
from typing import Any

import pytest

from asfound import assess, bind, document
from asfound.assess import Means
from asfound.assess.state import state_of
from asfound.cli.document import run_document
from asfound.cli.pack import run_pack
from asfound.pack import verify
from asfound.pages import Options
from asfound.publish.finished import Kept
from asfound.publish.work import Built, build
from asfound.store import Store
from tests.unit.pack.support import archive, files_of, outcomes

from .story import Story, tell

ON = dt.date(2026, 4, 20)
PRINTED = Options(documents=True)


@pytest.fixture(scope="module")
def story(tmp_path_factory: pytest.TempPathFactory) -> Story:
    return tell(tmp_path_factory.mktemp("documents") / "repository")


def asked(story: Story, number: int, out: Path) -> bytes:
    """The document of an edition, as the command writes it."""
    assert run_document(str(story.home), number, False, str(out), "a4", ON.isoformat(), str(story.root)) == 0
    return out.read_bytes()


def packed(story: Story, number: int, out: Path) -> dict[str, bytes]:
    """The files of a pack of an edition, as the command writes it."""
    assert run_pack(str(story.home), number, False, str(out), False, ON.isoformat(), str(story.root)) == 0
    return files_of(out)


def site(story: Story, means: Means, kept: Kept | None = None) -> Built:
    return build(story.root, "cases", ON, PRINTED, True, means, kept)


def test_command_pack_and_site_give_the_same_document(story: Story, tmp_path: Path) -> None:
    built = site(story, Means())
    for number in (1, 2, 3):
        whole = asked(story, number, tmp_path / f"{number}.pdf")
        assert whole.startswith(b"%PDF-1.7")
        assert built.files[f"case/base/edition/{number}/base-edition-{number}.pdf"] == whole
        page = built.pages[f"case/base/edition/{number}/index.md"].body
        link = rf'<a href="[./]*base-edition-{number}\.pdf">This edition as one PDF</a>'
        assert re.search(link, page)
    held = packed(story, 2, tmp_path / "two.zip")
    assert held["data/report.pdf"] == (tmp_path / "2.pdf").read_bytes()
    assert document.made_by() in held["README.txt"].decode()
    assert [outcomes(verify(tmp_path / "two.zip"))[step] for step in range(1, 6)] == ["passed"] * 5


def test_a_document_is_set_once_for_as_long_as_its_case_stays(
    story: Story, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store, kept = Store(tmp_path / "store"), Kept()
    first = site(story, Means(store, remembered=kept.remembered), kept)
    monkeypatch.setattr(document, "typeset", lambda *_: pytest.fail("every document was set before"))
    for means, remembered in (
        (Means(store, remembered=kept.remembered), kept),
        (Means(store), None),
        (Means(remembered=kept.remembered), kept),
    ):
        again = site(story, means, remembered)
        assert again.files == first.files and again.pages == first.pages


class _Nowhere:
    def __enter__(self) -> None:
        return None

    def __exit__(self, *_: object) -> None:
        return None


def test_where_the_files_of_an_edition_are_not_at_hand_its_page_offers_no_document(
    story: Story, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = state_of

    def state(shared: Any, folder: Path, record: Any, dossier: Any) -> Any:
        return _Nowhere() if record.number == 2 else whole(shared, folder, record, dossier)

    monkeypatch.setattr("asfound.bind.chosen.state_of", state)
    built = site(story, Means())
    assert "case/base/edition/2/base-edition-2.pdf" not in built.files
    assert "as one PDF" not in built.pages["case/base/edition/2/index.md"].body
    assert "case/base/edition/3/base-edition-3.pdf" in built.files


def test_without_a_typesetter_a_pack_is_written_and_says_why_it_has_no_pdf(
    story: Story, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def lacking(*_: object) -> bytes:
        raise document.Undocumentable("the typesetter is not installed")

    monkeypatch.setattr(document, "typeset", lacking)
    held = packed(story, 2, tmp_path / "two.zip")
    assert "data/report.pdf" not in held
    assert "- The report as PDF: the typesetter is not installed." in held["README.txt"].decode()
    assert [outcomes(verify(tmp_path / "two.zip"))[step] for step in range(1, 6)] == ["passed"] * 5


def test_a_pack_of_the_first_format_holds_no_pdf(tmp_path: Path) -> None:
    """What a forger put into an old pack is told, as by the verifier of its time."""
    home = Path(__file__).resolve().parents[1] / "gold/packs"
    files = files_of(home / "format-1.zip")
    files["data/report.pdf"] = b"%PDF-1.7"
    found = verify(archive(tmp_path / "forged.zip", files, "base-edition-2"))
    assert outcomes(found)[1] == "failed" and "data/report.pdf belongs to no pack" in found.text()


def test_a_redacted_pack_sets_nothing(story: Story, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(document, "typeset", lambda *_: pytest.fail("nothing is to be set"))
    out = tmp_path / "red.zip"
    assert run_pack(str(story.home), 2, False, str(out), False, ON.isoformat(), str(story.root), ()) == 0
    assert not any(name.endswith(".pdf") for name in files_of(out))


def test_what_cannot_be_opened_is_said_in_a_clause(story: Story) -> None:
    shared = assess.open_repository(story.root)
    with (
        pytest.raises(bind.NotThere, match="no edition 9 that is as it was issued"),
        bind.opened(shared, story.home, 9, False, ON),
    ):
        pass
