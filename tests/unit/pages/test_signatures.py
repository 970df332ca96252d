"""What the pages say of who signed, and of what changed since."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path

from asfound.assess import assess_case
from asfound.model.dossier import Dossier, core_digest, dossier_json, read_dossier
from asfound.pages import standalone
from asfound.pages.build import case_pages
from asfound.pages.page import Options
from tests.rules.signing import approval, key, signers
from tests.rules.support import CASE, ON, Copy, Edit

AMENDED: Edit = ("readings/flow.csv", "4,100,111.9", "4,100,112.9")


def assessed(tmp_path: Path, edits: Sequence[Edit] = (), **parts: Mapping[str, str | bytes]) -> Dossier:
    """The base case with files of approvals."""
    copy = Copy(tmp_path, edits, {name: data for part in parts.values() for name, data in part.items()})
    found = assess_case(copy.root, copy.root / CASE, ON).dossier
    assert found is not None
    return found


def text(dossier: Dossier, section: str) -> str:
    """The words of a page, tags left out."""
    (page,) = [page for page in case_pages(dossier, {}, Options()) if page.uri == f"case/base/{section}.md"]
    return " ".join(re.sub(r"<[^>]+>", " ", page.body).split())


def test_nobody_has_signed(tmp_path: Path) -> None:
    said = text(assessed(tmp_path), "index")
    assert "Signed by Examiner: nobody has signed. Reviewer: nobody has signed." in said
    assert "Signatures" not in text(assessed(tmp_path / "again"), "problems")


def test_both_signed_the_case_as_it_stands(tmp_path: Path) -> None:
    found = assessed(
        tmp_path, who=signers(), one=approval("examiner", "examiner-1"), two=approval("reviewer", "second", 2)
    )
    said = text(found, "index")
    assert "Examiner: examiner-1 , for the case as it stands, assessed on 2026-03-20 (Fri)." in said
    assert "It carries no time that anybody vouches for." in said
    table = text(found, "problems")
    assert table.count("Holds, and speaks of the case as it stands.") == 2
    told = subprocess.run(["ssh-keygen", "-l", "-f", str(key("second"))], capture_output=True, check=True).stdout
    assert told.decode().split()[1] in table


def test_after_a_change_the_record_is_named_and_linked(tmp_path: Path) -> None:
    found = assessed(tmp_path, [AMENDED], who=signers(), one=approval("examiner", "examiner-1"))
    said = text(found, "index")
    assert "Examiner: examiner-1 signed, but not for the case as it stands. Changed since: R-flow-4 ." in said
    (page,) = [page for page in case_pages(found, {}, Options()) if page.uri == "case/base/problems.md"]
    assert re.search(
        r'Holds for an earlier state of the case\. Changed since: <a [^>]*href="[^"]*#R-flow-4"', page.body
    )


def test_an_approval_that_does_not_hold_says_why_and_nothing_of_it_is_markup(tmp_path: Path) -> None:
    broken = {"approvals/examiner-examiner-1-1.json": b"<script>alert(1)</script>"}
    found = assessed(tmp_path, who=signers(), one=broken)
    assert "Does not hold: this is no statement of approval." in text(found, "problems")
    assert "<script>alert" not in standalone(found, {})


def test_a_page_that_stands_alone_shows_both(tmp_path: Path) -> None:
    found = assessed(tmp_path, who=signers(), one=approval("examiner", "examiner-1"))
    page = standalone(found, {})
    assert 'id="signed"' in page and 'id="signatures"' in page and 'href="#signatures"' in page


def test_a_dossier_keeps_its_approvals_and_its_digest_does_not_depend_on_them(tmp_path: Path) -> None:
    plain = assessed(tmp_path / "plain")
    signed = assessed(
        tmp_path / "signed",
        who=signers(),
        one=approval("examiner", "examiner-1"),
        two=approval("reviewer", "second", 2),
    )
    assert core_digest(plain.core) == core_digest(signed.core)
    back = read_dossier(dossier_json(signed))
    assert back.core.approvals == signed.core.approvals
    assert [one.signer for one in back.core.approvals] == ["examiner-1", "second"]
    assert back.core.approvals[0].statement is not None and not back.core.approvals[0].statement.files
    old = dossier_json(plain).replace(' "approvals": [],\n', "")
    assert read_dossier(old).core.approvals == ()
