"""From the first hour to the third edition, told once with real git and real keys; then everybody tampers with it."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import shutil
import subprocess
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from asfound.assess import assess_case, assess_cases
from asfound.assess.issue import prepare_edition, write_edition
from asfound.model.dossier import core_digest, dossier_json, read_dossier
from asfound.model.edition import PRESERVATION, REPORT, EditionRecord, read_edition
from asfound.problems import Level, Problem
from tests.rules.signing import key
from tests.rules.support import CASE

from .story import REASON, Story, begin, copy, examine, impound, killed, tell
from .support import MATERIAL, Site, build, configure

pytestmark = pytest.mark.xdist_group("story")


@pytest.fixture(scope="module")
def story(tmp_path_factory: pytest.TempPathFactory) -> Story:
    return tell(tmp_path_factory.mktemp("story") / "repository")


def record(story: Story, number: int) -> EditionRecord:
    return read_edition((story.home / "editions" / str(number) / "edition.json").read_text())


def problems(story: Story) -> tuple[Problem, ...]:
    """What the check says, of the case and of the organisation's files."""
    found = assess_cases(story.root, [story.home], dt.date(2026, 3, 22))
    return tuple(problem for one in found for problem in one.problems)


def sha256(place: Path) -> str:
    return hashlib.sha256(place.read_bytes()).hexdigest()


# --- the story itself


def test_every_reason_against_an_edition_is_told_in_one_run(story: Story) -> None:
    said = story.said["report while open"]
    assert said.code == 1 and said.out == ""
    assert said.err.splitlines() == [
        "No edition of cases/base can be issued:",
        "  no examiner has approved the case as it stands (asfound approve base --role examiner).",
        "  no reviewer has approved the case as it stands (asfound approve base --role reviewer).",
        "  the case is open; set its stage to in review in case.yml once it is ready.",
    ]
    assert story.said["without approvals"].err.splitlines()[1:] == [
        "  no examiner has approved the case as it stands (asfound approve base --role examiner).",
        "  no reviewer has approved the case as it stands (asfound approve base --role reviewer).",
        "  edition 2 follows another and needs a reason (--reason).",
    ]
    assert story.said["uncommitted"].err.splitlines()[1:] == [
        f"  {CASE}/approvals/{name} is not committed."
        for name in (
            "examiner-examiner-1-1.json", "examiner-examiner-1-1.json.sig", "reviewer-second-2.json",
            "reviewer-second-2.json.sig",
        )
    ]  # fmt: skip
    assert story.said["nothing new"].err.splitlines()[1:] == ["  nothing has changed since edition 2."]
    assert story.said["no reason"].err.splitlines()[1:] == [
        "  edition 3 follows another and needs a reason (--reason)."
    ]


def test_the_hour_one_edition_holds_facts_and_nobody_signed_it(story: Story) -> None:
    first = record(story, 1)
    assert (first.kind, first.approvals, first.previous, first.previous_digest) == (PRESERVATION, (), 0, "")
    dossier = read_dossier((story.home / "editions/1/dossier.json").read_text())
    case = dossier.core.case
    assert case.items and case.custody and case.evidence and case.scene
    assert not case.findings and not case.explanations and case.conclusion is None and case.head.summary is None
    # It came with the third commit of the repository.
    count = story.repo.git("rev-list", "--count", story.commits["issue the preservation edition"])
    assert count == "3"


def test_editions_are_chained_signed_and_say_what_changed(story: Story) -> None:
    first, second, third = (record(story, number) for number in (1, 2, 3))
    assert (second.kind, third.kind) == (REPORT, REPORT)
    for before, after in ((first, second), (second, third)):
        assert after.previous == before.number
        assert after.previous_digest == sha256(story.home / f"editions/{before.number}/edition.json")
    for one in (first, second, third):
        assert one.dossier == sha256(story.home / f"editions/{one.number}/dossier.json")
    assert [(one.signer, one.role) for one in third.approvals] == [("examiner-1", "examiner"), ("second", "reviewer")]
    for one in third.approvals:
        assert one.sha256 == sha256(story.home / one.path)
        assert json.loads((story.home / one.path).read_text())["core_digest"] == third.core_digest
    assert third.reason == REASON and third.reviewed
    (told,) = [change for change in third.changes if change.startswith("The reading R-flow-4 was changed")]
    assert "value from 111.9\u00a0mL/h to 111.7\u00a0mL/h" in told and "struck 111.9" in told
    assert [change for change in third.changes if "R-flow-" in change and "R-flow-4" not in change] == []


def test_the_chain_can_be_held_together_with_stock_programs_alone(story: Story) -> None:
    """As the page on method says; the SHA-256 here is that of GNU coreutils, not of this program."""

    def sha256sum(name: str) -> str:
        done = subprocess.run(["sha256sum", name], cwd=story.home, capture_output=True, text=True, check=True)
        return done.stdout.split()[0]

    before = ""
    for number in (1, 2, 3):
        data = json.loads((story.home / f"editions/{number}/edition.json").read_text())
        assert data["dossier"] == sha256sum(f"editions/{number}/dossier.json")
        assert data["previous_digest"] == before
        assert [one["sha256"] for one in data["approvals"]] == [sha256sum(one["path"]) for one in data["approvals"]]
        before = sha256sum(f"editions/{number}/edition.json")
        assert before in story.repo.git("cat-file", "tag", f"edition/base/{number}")


def test_a_change_voids_the_approvals_and_names_the_record(story: Story) -> None:
    said = story.said["check after the amendment"]
    assert said.out.count("warn approval-void") == 2
    assert "the case changed since: R-flow-4" in said.out
    refused = story.said["void"]
    assert refused.code == 1
    assert refused.err.splitlines()[1:] == [
        f"  the {role}'s approval approvals/{name}.json does not hold: the case changed since "
        "(R-flow-4, readings/flow.csv)."
        for role, name in (("examiner", "examiner-examiner-1-1"), ("reviewer", "reviewer-second-2"))
    ]


def test_tags_stand_on_the_commits_that_brought_the_editions(story: Story) -> None:
    for number, message in ((1, "issue the preservation edition"), (2, "issue edition 2"), (3, "issue edition 3")):
        assert story.repo.git("rev-parse", f"edition/base/{number}^{{commit}}") == story.commits[message]
        text = story.repo.git("cat-file", "tag", f"edition/base/{number}")
        assert f"SHA-256 of edition.json: {sha256(story.home / f'editions/{number}/edition.json')}" in text
        assert "tagger A. Bench <bench@example.org>" in text
    again = story.run("issue", "base", "--tag")
    assert again.code == 0 and "stands already" in again.err


def test_the_check_has_nothing_against_it(story: Story) -> None:
    done = story.run("check", "--on", "2026-03-22")
    assert done.code == 0, done.out
    assert not [line for line in done.out.splitlines() if " reject " in line or " warn " in line]


def test_the_trace_of_a_finding_names_the_editions_a_change_entered(story: Story) -> None:
    done = story.run("trace", "F-1")
    assert done.code == 0
    assert "R-flow-4 changed" in done.out
    assert "entered edition 3" in done.out and "entered edition 2" in done.out


def test_what_an_edition_says_was_changed_is_what_git_says_entered_with_it(story: Story) -> None:
    """Two roads to one list: dossiers side by side, and the commits between two editions."""
    found = assess_case(story.root, story.home, dt.date(2026, 3, 22), history=True).dossier
    assert found is not None
    entered = {
        one.ref
        for one in found.history.changes
        if one.edition == 3 and not one.ref.startswith(("approvals/", "editions/")) and one.fields
    }
    third = record(story, 3)
    told = {ref for ref in found.core.case.records if any(f" {ref} was changed" in change for change in third.changes)}
    assert entered == told == {"R-flow-4"}
    # What stood in edition 2 entered with it or with the one before, and nothing after.
    early = {one.edition for one in found.history.changes if one.ref in ("I-1", "F-1", "conclusion.yml")}
    assert early <= {1, 2} and 0 not in early


def test_the_site_shows_every_edition_as_it_was_issued(story: Story, tmp_path: Path) -> None:
    own = copy(story, tmp_path / "site")
    site: Site = build(configure(own.root, MATERIAL))
    second, third = site.page("case/base/edition/2"), site.page("case/base/edition/3")
    assert "111.9" in second.text and "111.7" not in second.text and "Superseded." in second.text
    assert "111.7" in third.text and "Superseded." not in third.text and REASON in third.text
    changes = site.page("case/base/edition/3/changes").text
    assert "111.9" in changes and "111.7" in changes
    assert "Draft after edition 3 of 2026-03-22 (Sun)" in site.page("case/base").text
    # Nobody issues with names: only roles stand on the pages.
    assert not [name for name, page in site.pages.items() if "A. Bench" in page.text]


def test_an_issue_is_the_same_bytes_wherever_it_is_made(story: Story, tmp_path: Path) -> None:
    other = copy(story, tmp_path / "elsewhere")
    other.repo.git("tag", "-d", "edition/base/3")
    other.repo.git("reset", "-q", "--hard", story.commits["approve again"])
    other.good("issue", "base", "--on", "2026-03-22", "--reason", REASON)
    for name in ("dossier.json", "edition.json"):
        place = f"editions/3/{name}"
        assert (other.home / place).read_bytes() == (story.home / place).read_bytes()


# --- refusals


def test_a_two_person_shop_issues_what_is_marked_as_not_reviewed(tmp_path: Path) -> None:
    shop = begin(tmp_path / "shop")
    settings = shop.root / ".asfound" / "settings.yml"
    settings.write_text(settings.read_text() + "two_person_shop: yes\n")
    impound(shop)
    examine(shop)
    shop.good("approve", "base", "--role", "examiner", "--key", str(key("examiner-1")), "--on", "2026-03-20")
    shop.commit("approve")
    done = shop.good("issue", "base", "--on", "2026-03-20")
    assert "Edition 1 of base, not reviewed, is issued." in done.err
    assert not record(shop, 1).reviewed


def test_a_change_that_git_is_told_to_overlook_is_seen(story: Story, tmp_path: Path) -> None:
    own = copy(story, tmp_path / "own")
    own.repo.git("update-index", "--assume-unchanged", f"{CASE}/findings.yml")
    place = own.home / "findings.yml"
    place.write_text(place.read_text() + "# a remark\n")
    assert own.repo.git("status", "--porcelain") == ""
    done = own.run("issue", "base", "--on", "2026-03-23", "--reason", "x")
    assert f"  {CASE}/findings.yml differs from the last commit." in done.err.splitlines()


def test_no_preservation_edition_after_the_first_hour(story: Story) -> None:
    done = story.run("issue", "base", "--preservation", "--on", "2026-03-23")
    assert done.code == 1
    assert "  the case is in review; a preservation edition is made while it is open." in done.err.splitlines()
    assert "  edition 2 is a report already; a preservation edition comes before any." in done.err.splitlines()


def test_a_folder_without_git_can_issue_nothing(story: Story, tmp_path: Path) -> None:
    own = copy(story, tmp_path / "own")
    shutil.rmtree(own.root / ".git")
    done = own.run("issue", "base", "--on", "2026-03-23", "--reason", "x")
    assert done.code == 1 and "an edition rests on a commit, and there is none" in done.err
    assert own.run("issue", "base", "--tag").code == 1


# --- tampering


def _forge(own: Story) -> None:
    """Write edition 2 again, its record with it, so that the two agree."""
    place = own.home / "editions/2"
    dossier = read_dossier((place / "dossier.json").read_text())
    conclusion = dossier.core.case.conclusion
    assert conclusion is not None
    said = conclusion.model_copy(update={"limits_of_work": "None."})
    text = dossier_json(replace(dossier, core=replace(dossier.core, case=replace(dossier.core.case, conclusion=said))))
    (place / "dossier.json").write_text(text)
    forged = replace(
        record(own, 2),
        dossier=hashlib.sha256(text.encode()).hexdigest(),
        core_digest=core_digest(read_dossier(text).core),
    )
    (place / "edition.json").write_text(forged.text())


def _flip(own: Story) -> None:
    place = own.home / "editions/2/dossier.json"
    place.write_bytes(place.read_bytes().replace(b"111.9", b"101.9", 1))


def _drop(own: Story) -> None:
    shutil.rmtree(own.home / "editions/2")


def _move_tag(own: Story) -> None:
    own.repo.git("tag", "-f", "-a", "-m", "moved", "edition/base/2", own.commits["issue the preservation edition"])


def _rename_tag(own: Story) -> None:
    own.repo.git("update-ref", "refs/tags/edition/base/2", own.repo.git("rev-parse", "refs/tags/edition/base/3"))


def _lose_tag(own: Story) -> None:
    own.repo.git("tag", "-d", "edition/base/2")


def _replace_object(own: Story) -> None:
    """Let plain git show the true commit where the moved tag leads."""
    true = own.commits["issue edition 2"]
    _move_tag(own)
    own.repo.git("replace", own.commits["issue the preservation edition"], true)
    shown = own.repo.git("ls-tree", "--name-only", "edition/base/2^{commit}", f"{CASE}/editions/2/")
    assert shown == f"{CASE}/editions/2/dossier.json\n{CASE}/editions/2/edition.json"


def _drop_approval(own: Story) -> None:
    (own.home / "approvals/reviewer-second-2.json").unlink()
    (own.home / "approvals/reviewer-second-2.json.sig").unlink()


@pytest.mark.parametrize(
    ("tamper", "rules"),
    [
        (_flip, {"edition-altered"}),
        (_forge, {"edition-altered", "edition-chain-broken", "edition-tag-moved"}),
        (_drop, {"edition-missing-number"}),
        (_move_tag, {"edition-tag-moved"}),
        (_rename_tag, {"edition-tag-moved"}),
        (_replace_object, {"edition-tag-moved"}),
        (_lose_tag, {"edition-tag-missing"}),
        (_drop_approval, {"edition-altered"}),
    ],
)  # fmt: skip
def test_tampering_is_seen(story: Story, tmp_path: Path, tamper: Callable[[Story], None], rules: set[str]) -> None:
    own = copy(story, tmp_path / "own")
    tamper(own)
    found = problems(own)
    said = {one.rule: one.level for one in found}
    assert rules <= set(said), [one.headline() for one in found]
    missing = {"edition-tag-missing"}
    assert all(said[rule] is (Level.WARN if rule in missing else Level.REJECT) for rule in rules)


def test_a_forged_newest_edition_lacks_the_approval_it_claims(story: Story, tmp_path: Path) -> None:
    """The newest edition has no successor that holds its digest, and a tag can be lost: the signatures still tell."""
    own = copy(story, tmp_path / "own")
    for number in (2, 3):
        own.repo.git("tag", "-d", f"edition/base/{number}")
    own.repo.git("reset", "-q", "--hard", own.commits["issue edition 2"])
    _forge(own)
    done = own.run("check", "--on", "2026-03-20")
    assert done.code == 1
    assert "no approval was given for the dossier it holds" in done.out


def test_signers_edited_in_the_same_change_do_not_make_an_edition_good(story: Story, tmp_path: Path) -> None:
    """Whoever takes the reviewer out of the signers leaves the reviewer's approvals unverified, and that is told."""
    own = copy(story, tmp_path / "own")
    place = own.root / ".asfound/allowed_signers"
    place.write_text("".join(line for line in place.read_text().splitlines(True) if not line.startswith("second ")))
    done = own.run("check", "--on", "2026-03-22")
    assert done.code == 1 and " reject approval-signer-unknown " in done.out
    refused = own.run("issue", "base", "--on", "2026-03-23", "--reason", "x")
    assert refused.code == 1 and "the reviewer's approval approvals/reviewer-second-4.json does not hold" in refused.err
    assert "  .asfound/allowed_signers differs from the last commit." in refused.err.splitlines()


# --- a stop at any moment


def test_a_kill_at_any_moment_leaves_an_edition_whole_or_not_at_all(story: Story, tmp_path: Path) -> None:
    arguments = ("issue", "base", "--on", "2026-03-22", "--reason", REASON)
    reached = 0
    for steps in range(1, 40):
        own = copy(story, tmp_path / f"killed-{steps}")
        own.repo.git("tag", "-d", "edition/base/3")
        own.repo.git("reset", "-q", "--hard", own.commits["approve again"])
        before = {path: path.read_bytes() for path in own.home.rglob("*") if path.is_file()}
        code = killed(own, steps, *arguments)
        if code != -9:
            assert code == 0
            break
        reached += 1
        place = own.home / "editions/3"
        assert all(path.read_bytes() == data for path, data in before.items())
        assert not [one.headline() for one in problems(own) if one.level is Level.REJECT]
        if place.exists():
            assert sorted(one.name for one in place.iterdir()) == ["dossier.json", "edition.json"]
        else:
            prepared = prepare_edition(own.root, own.home, dt.date(2026, 3, 22), REASON)
            assert not prepared.reasons
            write_edition(own.root, prepared)
        for name in ("dossier.json", "edition.json"):
            assert (place / name).read_bytes() == (story.home / "editions/3" / name).read_bytes()
        assert [one.name for one in (own.home / "editions").iterdir() if one.name.startswith(".")] == []
        shutil.rmtree(own.root)
    assert reached == 9, "fewer writes were killed than an edition takes"
