"""Rules about editions: altered files, broken chains, missing numbers, tags that moved, amendments without a reason."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest

from asfound.model.edition import edition_number, read_edition
from asfound.problems import Level
from tests.rules.support import CASE, Copy, Prepare, assert_fires, assert_silent, run_with
from tests.support.editions import base_dossier, chain, edition
from tests.support.repository import Repo

FIRST, SECOND = "editions/1/edition.json", "editions/2/edition.json"
DOSSIER = "editions/1/dossier.json"


def test_a_sound_chain_says_nothing() -> None:
    assert [problem.headline() for problem in run_with(extra=chain(3))] == []


# --- altered


def test_a_changed_dossier_is_seen() -> None:
    files = chain(1)
    files[DOSSIER] = files[DOSSIER].replace("A bag emptied early", "A bag emptied late", 1)
    assert_fires("edition-altered", extra=files, at=(FIRST, None), says="the frozen dossier was changed: its digest is")
    assert_silent("edition-altered", extra=chain(1))


def test_line_ends_that_a_checkout_changed_are_told_as_such() -> None:
    files = chain(1)
    files[DOSSIER] = files[DOSSIER].replace("\n", "\r\n")
    assert_fires("edition-altered", extra=files, at=(FIRST, None), says="line ends were changed, as a checkout may do")
    files = chain(1)
    files[FIRST] = files[FIRST].replace("\n", "\r\n")
    assert_fires("edition-altered", extra=files, at=(FIRST, None), says="line ends were changed, as a checkout may do")


@pytest.mark.parametrize("name", [FIRST, DOSSIER])
def test_a_file_that_is_gone_is_missed(name: str) -> None:
    files = chain(1)
    del files[name]
    files["editions/1/left.txt"] = "so that the folder stands\n"
    problems = [one for one in run_with(extra=files) if one.rule == "edition-altered"]
    strange, gone = problems
    assert f"{name.rpartition('/')[2]} is missing" in gone.found
    assert "editions/1/left.txt belongs to no edition" in strange.found


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (lambda data: data.update(number=2), "it says of itself that it is edition 2 of base"),
        (lambda data: data.update(case="other"), "it says of itself that it is edition 1 of other"),
        (lambda data: data.update(case_digest="0" * 64), "the digests of case and limits are not those"),
        (lambda data: data.update(limits_digest="0" * 64), "the digests of case and limits are not those"),
        (lambda data: data.update(core_digest="0" * 64), "the digest of the core is not that"),
        (lambda data: data.update(format=7), "the edition has format '7'; this program reads 1"),
        (lambda data: data.update(kind="opinion"), "the edition is not whole"),
        (lambda data: data.update(case_digest="short"), "the edition is not whole"),
        (lambda data: data.pop("reason"), "the edition is not whole"),
        (lambda data: data.update(approvals=["examiner"]), "the edition is not whole"),
    ],
)
def test_a_record_that_was_edited_is_seen(spoil: Callable[[dict[str, object]], object], says: str) -> None:
    files = chain(1)
    data = json.loads(files[FIRST])
    spoil(data)
    files[FIRST] = json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n"
    assert_fires("edition-altered", extra=files, at=(FIRST, None), says=says)


def test_one_meaning_one_form() -> None:
    text = chain(1)[FIRST]
    twice = text.replace('{\n "approvals"', '{\n "case": "other",\n "approvals"', 1)
    assert json.loads(twice)["case"] == "base"
    for other in (twice, text + " ", text.replace("\n ", "\n  "), "[]", "null", "7", "{}", "not json", "[" * 9999):
        with pytest.raises(ValueError, match="edition"):
            read_edition(other)
    assert read_edition(text).text() == text


def test_an_approval_that_an_edition_rests_on_may_not_go() -> None:
    from asfound.model.edition import ApprovalRef

    ref = ApprovalRef("approvals/examiner-examiner-1.json", "0" * 64, "examiner", "examiner")
    files = chain(1, approvals=(ref,))
    assert_fires(
        "edition-altered", extra=files, at=(FIRST, None),
        says="the approval approvals/examiner-examiner-1.json, on which it rests, is missing",
    )  # fmt: skip


def test_names_that_belong_to_no_edition_are_named() -> None:
    for name in ("editions/01/edition.json", "editions/draft.json", "editions/zwei/edition.json"):
        assert_fires("edition-altered", extra={name: "{}\n"}, at=("editions", None), says="belongs to no edition")
    # What an issue that was interrupted left behind is no edition, and no problem.
    assert_silent("edition-altered", extra={"editions/.1.partial/edition.json": "{"})
    assert edition_number("1") == 1 and edition_number("0") is None and edition_number("1\n") is None
    assert edition_number("٣") is None


# --- the chain


def test_a_broken_chain_is_seen() -> None:
    files = chain(3)
    record, text = edition(2, "another first edition")
    files |= {SECOND: record.text(), "editions/2/dossier.json": text}
    problems = [one for one in run_with(extra=files) if one.rule == "edition-chain-broken"]
    assert [one.span.path for one in problems] == [f"{CASE}/{SECOND}", f"{CASE}/editions/3/edition.json"]
    assert "followed an edition 1 with the digest" in problems[0].found


def test_one_broken_link_is_told_once() -> None:
    assert_fires(
        "edition-chain-broken", extra=chain(2, previous_digest="0" * 64), at=(SECOND, None),
        says="edition 2 followed an edition 1 with the digest 000000000000…",
    )  # fmt: skip
    assert_fires("edition-chain-broken", extra=chain(2, previous=0), at=(SECOND, None), says="follows edition 0")
    assert_silent("edition-chain-broken", extra=chain(2))


def test_a_missing_number_is_seen() -> None:
    files = {name: text for name, text in chain(3).items() if not name.startswith("editions/2/")}
    assert_fires("edition-missing-number", extra=files, at=("editions", None), says="edition 2 is missing")
    assert_silent("edition-missing-number", extra=chain(3))


def test_an_amendment_says_why_and_what() -> None:
    assert_fires("amendment-without-reason", extra=chain(2, reason=" "), at=(SECOND, None), says="names no reason")
    assert_fires("amendment-without-reason", extra=chain(2, changes=()), at=(SECOND, None), says="names no change")
    assert_silent("amendment-without-reason", extra=chain(2))
    assert_silent("amendment-without-reason", extra=chain(1))


# --- tags


def tagged(*names: str, after: Callable[[Repo, Copy], object] | None = None, branch: str = "main") -> Prepare:
    """Commit the copy as it lies, and set tags on that commit."""

    def prepare(copy: Copy) -> None:
        repo = Repo(copy.root, branch)
        repo.commit("issue an edition")
        for name in names:
            repo.git("tag", "-a", "-m", "an edition", name)
        if after is not None:
            after(repo, copy)

    return prepare


def test_a_merged_edition_without_a_tag_is_told() -> None:
    assert_fires(
        "edition-tag-missing", extra=chain(1), at=(FIRST, None), level=Level.WARN, prepare=tagged(),
        says="edition 1 has no tag; the tag edition/base/1 is needed",
    )  # fmt: skip
    assert_silent("edition-tag-missing", extra=chain(1), prepare=tagged("edition/base/1"))
    # On a branch of its own it is not merged, and without git nothing is known of tags.
    assert_silent("edition-tag-missing", extra=chain(1), prepare=tagged(branch="issue"))
    assert_silent("edition-tag-missing", extra=chain(1))


def test_a_tag_that_was_moved_is_seen() -> None:
    def move(repo: Repo, copy: Copy) -> None:
        (copy.root / CASE / DOSSIER).write_text("{}\n")
        repo.commit("write the edition again")
        repo.git("tag", "-f", "-a", "-m", "moved", "edition/base/1")
        (copy.root / CASE / DOSSIER).write_text(chain(1)[DOSSIER])

    assert_fires(
        "edition-tag-moved", extra=chain(1), at=(FIRST, None), prepare=tagged("edition/base/1", after=move),
        says="which does not hold this edition",
    )  # fmt: skip
    assert_silent("edition-tag-moved", extra=chain(1), prepare=tagged("edition/base/1"))


def test_a_tag_under_another_name_is_seen() -> None:
    def rename(repo: Repo, _copy: Copy) -> None:
        repo.git("update-ref", "refs/tags/v1", repo.git("rev-parse", "refs/tags/edition/base/1"))
        repo.git("tag", "-d", "edition/base/1")

    problem = assert_fires(
        "edition-tag-moved", extra=chain(1), at=(FIRST, None), prepare=tagged("edition/base/1", after=rename),
        says="the tag v1 says of itself that it is edition/base/1",
    )  # fmt: skip
    assert problem.level is Level.REJECT

    # And the other way round: another tag's text under the name of the edition.
    def borrow(repo: Repo, _copy: Copy) -> None:
        repo.git("update-ref", "refs/tags/edition/base/1", repo.git("rev-parse", "refs/tags/v9"))

    assert_fires(
        "edition-tag-moved", extra=chain(1), at=(FIRST, None), prepare=tagged("v9", after=borrow),
        says="the tag edition/base/1 says of itself that it is v9",
    )  # fmt: skip


def test_a_tag_holds_though_the_case_moved_to_another_folder() -> None:
    def move(repo: Repo, copy: Copy) -> None:
        elsewhere = copy.root / "cases" / "older"
        elsewhere.parent.mkdir(exist_ok=True)
        (copy.root / CASE).rename(elsewhere)
        repo.commit("first under another name")
        repo.git("tag", "-a", "-m", "an edition", "edition/base/1")
        elsewhere.rename(copy.root / CASE)
        repo.commit("then under its own")

    assert_silent("edition-tag-moved", extra=chain(1), prepare=tagged(after=move))
    assert_silent("edition-tag-missing", extra=chain(1), prepare=tagged(after=move))


def test_an_edition_that_a_tag_names_may_not_be_missing() -> None:
    def lose(repo: Repo, copy: Copy) -> None:
        import shutil

        shutil.rmtree(copy.root / CASE / "editions" / "2")
        repo.commit("lose an edition")

    assert_fires(
        "edition-missing-number", extra=chain(2), at=("editions", None),
        prepare=tagged("edition/base/1", "edition/base/2", after=lose),
        says="edition 2 is missing, though the tag edition/base/2 names it",
    )  # fmt: skip

    def lose_all(repo: Repo, copy: Copy) -> None:
        import shutil

        shutil.rmtree(copy.root / CASE / "editions")

    assert_fires(
        "edition-missing-number", extra=chain(1), at=("editions", None),
        prepare=tagged("edition/base/1", after=lose_all), says="edition 1 is missing, though the tag",
    )  # fmt: skip

    def before(repo: Repo, copy: Copy) -> None:
        repo.git("checkout", "-q", "-b", "older", "HEAD~1")

    def first(copy: Copy) -> None:
        repo = Repo(copy.root)
        (copy.root / CASE / "editions").rename(copy.root / "aside")
        repo.commit("the case")
        (copy.root / "aside").rename(copy.root / CASE / "editions")
        repo.commit("its edition")
        repo.git("tag", "-a", "-m", "an edition", "edition/base/1")
        before(repo, copy)

    # A branch that began before the edition does not miss it.
    assert_silent("edition-missing-number", extra=chain(1), prepare=first)


def test_an_object_put_in_the_place_of_another_does_not_help() -> None:
    def replace(repo: Repo, copy: Copy) -> None:
        place = copy.root / CASE / DOSSIER
        place.write_text(chain(1)[DOSSIER].replace("A bag emptied early", "A bag emptied late", 1))
        forged = repo.commit("write the edition again")
        repo.git("tag", "-f", "-a", "-m", "moved", "edition/base/1")
        repo.git("checkout", "-q", "HEAD~1", "--", ".")
        # Plain git would now show the true commit wherever the forged one is asked for.
        repo.git("replace", forged, repo.git("rev-parse", "HEAD~1"))

    assert_fires(
        "edition-tag-moved", extra=chain(1), at=(FIRST, None), prepare=tagged("edition/base/1", after=replace),
        says="which does not hold this edition",
    )  # fmt: skip


# --- today's rules


def test_what_todays_rules_say_otherwise_is_noted() -> None:
    from dataclasses import replace

    from asfound.model.outcome import Outcome

    frozen = base_dossier()
    then = frozen.core.verdicts[0]
    other = Outcome.PASS if then.outcome is not Outcome.PASS else Outcome.FAIL
    core = replace(frozen.core, verdicts=(then._replace(outcome=other), *frozen.core.verdicts[1:]))
    record, text = edition(1, dossier=replace(frozen, core=core))
    assert_fires(
        "edition-rules-differ", extra={FIRST: record.text(), DOSSIER: text}, at=(FIRST, None), level=Level.NOTE,
        says=f"today's rules say otherwise of edition 1: {then.subject} against",
    )  # fmt: skip
    assert_silent("edition-rules-differ", extra=chain(1))
