"""What is said of the facility's own duties is shown at work, and stands in nothing that is handed over."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest

from asfound.assess import Assessment, assess_case, catalogue, open_repository
from asfound.compare import Issued
from asfound.model.dossier import Dossier, core_digest, core_json, dossier_json, read_dossier
from asfound.model.duties import Duties
from asfound.model.edition import EditionRecord
from asfound.pages import Options, Page, Register, build_site, standalone
from asfound.pages.page import SECTIONS
from tests.rules.support import CASE, Copy, Edit
from tests.unit.pack.support import draft, files_of

US: Edit = ("case.yml", "jurisdiction: [none, invented]", "jurisdiction: [United States]")
INJURY: Edit = ("case.yml", "severity: minor", "severity: serious\noutcome_class: serious injury")
RECORD = """\
D-1:
  duty: us-user-facility-report
  decision: report to the maker
  report: yes
  reasons: Treatment was charted, and the pump was in use.
  by: risk-manager
  at: 2026-03-03 09:00 -06:00
"""
ON = dt.date(2026, 3, 20)
DUE = "2026-03-16"
"""The tenth work day after 2 March 2026; it stands nowhere in the case itself."""
TELLS = re.compile(r"\b(late|overdue|was due|is due by|is due to)\b|duty-[a-z]", re.IGNORECASE)
"""Words by which lateness, a clock, or a private rule would show."""


@pytest.fixture
def late(tmp_path: Path) -> Copy:
    """The base case with a report that nobody sent, four days past its date."""
    return Copy(tmp_path / "repository", [US, INJURY], {"duties.yml": RECORD})


def assessed(copy: Copy) -> Assessment:
    return assess_case(copy.root, copy.root / CASE, ON)


def dossier(copy: Copy) -> Dossier:
    made = assessed(copy).dossier
    assert made is not None
    return made


def site(copy: Copy, options: Options | None = None) -> dict[str, Page]:
    shared = open_repository(copy.root)
    register = Register(shared.book, catalogue(), "0", reporting=shared.reporting)
    return {page.uri: page for page in build_site([dossier(copy)], register, options or Options())}


def tells(text: str) -> list[str]:
    """What in a text would tell of the facility's own clock."""
    return [DUE] * text.count(DUE) + [found.group(0) for found in TELLS.finditer(text)]


def test_the_working_site_says_that_it_is_late(late: Copy) -> None:
    """The other side of all that follows: there is something to keep, and the words looked for are those it has."""
    made = assessed(late)
    assert {one.rule for one in made.private} == {"duty-report-overdue", "duty-report-part-missing"}
    pages = site(late)
    for uri in ("index.md", "case/base/index.md", "case/base/duties.md"):
        assert DUE in tells(pages[uri].body) and "was due" in tells(pages[uri].body), uri
    assert "nothing says that it was sent to the maker" in pages["case/base/duties.md"].body
    assert not pages["case/base/duties.md"].search
    assert 'href="duties/#duty-us-user-facility-report"' in pages["case/base/index.md"].body
    assert 'id="duty-us-user-facility-report"' in pages["case/base/duties.md"].body


def test_nothing_of_it_is_a_problem_of_the_case(late: Copy) -> None:
    made = assessed(late)
    assert made.problems == () and made.private
    assert tells(core_json(dossier(late).core)) == []


def test_the_record_and_every_other_page_of_the_case_are_silent(late: Copy) -> None:
    pages = site(late)
    silent = {uri for uri in pages if uri.startswith("case/base/")} - {"case/base/index.md", "case/base/duties.md"}
    assert "case/base/record.md" in silent and len(silent) == len(SECTIONS) - 2  # the case has no calculations
    assert {uri: tells(pages[uri].body) for uri in silent if tells(pages[uri].body)} == {}


def test_a_page_that_stands_alone_is_silent(late: Copy) -> None:
    made = dossier(late)
    text = standalone(made, {})
    assert "United States" in text and tells(text) == []
    record = EditionRecord(
        case=made.id, number=1, kind="report", issued_on=ON, previous=0, previous_digest="", reason="", changes=(),
        approvals=(), case_digest=made.core.digests.case, limits_digest=made.core.digests.limits,
        core_digest=core_digest(made.core), dossier="0" * 64, made_with="asfound 0",
    )  # fmt: skip
    issued = Issued(record, made, "0" * 64)
    assert tells(standalone(made, {}, issued=(issued,), edition=issued)) == []


def test_a_dossier_that_is_written_holds_no_duties(late: Copy) -> None:
    made = dossier(late)
    assert made.duties.lines and made.duties.problems
    text = dossier_json(made)
    assert tells(text) == []
    again = read_dossier(text)
    assert again == made and again.duties == Duties()


def test_a_pack_holds_what_people_wrote_and_nothing_of_the_clock(late: Copy, tmp_path: Path) -> None:
    found = files_of(draft(tmp_path, copy=late))
    assert any(name.endswith("duties.yml") for name in found)
    program = {name for name in found if name.endswith("verify.py")}
    told = {name: tells(data.decode("utf-8", "replace")) for name, data in found.items() if name not in program}
    assert len(told) > 40 and {name: words for name, words in told.items() if words} == {}
    assert not any(DUE.encode() in data for data in found.values())
    assert not any(b"reporting/" in data for name, data in found.items() if name.startswith("bench"))


def test_it_can_be_switched_off(late: Copy) -> None:
    pages = site(late, Options(duties=False))
    assert "case/base/duties.md" not in pages
    # The registers of rules, formats and duties, and the manual, speak of duties in general; protocols of alarms that
    # come late, and of the duty of a generator. None of these is made from a case.
    general = {"rules.md", "formats.md", "reporting.md", "cautions.md", "limits.md"}
    own = {
        uri: page for uri, page in pages.items() if uri not in general and not uri.startswith(("manual/", "protocols/"))
    }
    assert len(own) > 10 and {uri: tells(page.body) for uri, page in own.items() if tells(page.body)} == {}
    assert 'href="duties' not in pages["case/base/index.md"].body


def test_clocks_of_the_organisation_move_no_digest(late: Copy) -> None:
    """A closing moves the due date; what was signed and issued has the digest it had."""
    before, other = dossier(late), late.path(".asfound/reporting/closings.yml")
    other.parent.mkdir(parents=True)
    other.write_text(
        "reporting: closings\ntitle: Closings\ndocument: an order\nedition: '2026'\ncalendar: US federal\n"
        "closings:\n  - {day: 2026-03-10, why: closed by order}\n",
        "utf-8",
    )
    after = dossier(late)
    assert [line.due for line in before.duties.lines if line.kind == "us-user-facility-report"] == [
        dt.date(2026, 3, 16)
    ]
    assert [line.due for line in after.duties.lines if line.kind == "us-user-facility-report"] == [dt.date(2026, 3, 17)]
    assert core_digest(before.core) == core_digest(after.core)
    assert assess_case(late.root, late.root / CASE, ON).problems == ()
