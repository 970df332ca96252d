"""Packs of a case that went through three editions: real git, real keys, the command in a process of its own."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from asfound.pack import alone
from tests.rules.signing import line, sign
from tests.unit.cli.support import Done, apart
from tests.unit.pack.support import archive, files_of, sealed

from .story import Story, copy, tell

pytestmark = pytest.mark.xdist_group("story")

Files = dict[str, bytes]


@pytest.fixture(scope="module")
def story(tmp_path_factory: pytest.TempPathFactory) -> Story:
    return tell(tmp_path_factory.mktemp("packs") / "repository")


@pytest.fixture(scope="module")
def packs(story: Story, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a pack of each edition."""
    home = tmp_path_factory.mktemp("out")
    for number in (1, 2, 3):
        done = apart(home, "pack", "base", "--edition", str(number), "--root", str(story.root))
        assert done.code == 0, done.err
    return home


@pytest.fixture(scope="module")
def list_of_keys(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Keys as somebody got them by another way than the pack."""
    place = tmp_path_factory.mktemp("keys") / "signers"
    place.write_text(line("examiner-1") + line("second"))
    return place


def verify(at: Path, pack: Path, *more: str) -> tuple[Done, dict[int, tuple[str, str]]]:
    """`asfound verify`, and of each step what became of it and what it said."""
    done = apart(at, "verify", str(pack), "--json", *more)
    assert done.code in (0, 1), done.err
    steps = json.loads(done.out)["steps"]
    return done, {one["number"]: (one["outcome"], "; ".join(one["said"])) for one in steps}


@pytest.mark.parametrize("number", [1, 2, 3])
def test_every_edition_verifies_with_keys_and_repository(
    number: int, story: Story, packs: Path, list_of_keys: Path, tmp_path: Path
) -> None:
    pack = packs / f"base-edition-{number}.zip"
    done, steps = verify(tmp_path, pack, "--signers", str(list_of_keys), "--repo", str(story.root))
    assert done.code == 0
    outcomes = [steps[one][0] for one in range(1, 9)]
    # Nobody signs the preservation edition.
    assert outcomes == ["passed"] * 6 + ["not done" if number == 1 else "passed", "passed"]
    assert f"edition {number}" in steps[5][1]
    assert ("15 verdicts" if number > 1 else "0 verdicts") in steps[6][1]


def test_older_editions_come_from_the_commit_that_holds_them(story: Story, packs: Path) -> None:
    wrong = files_of(packs / "base-edition-2.zip")["data/case/readings/flow.csv"]
    right = files_of(packs / "base-edition-3.zip")["data/case/readings/flow.csv"]
    assert b"4,100,111.9" in wrong and b"4,100,111.7" in right
    assert right == (story.home / "readings/flow.csv").read_bytes()
    assert "conclusion.yml" not in " ".join(files_of(packs / "base-edition-1.zip"))


def test_a_pack_without_anything_from_outside_says_who_is_claimed(packs: Path, tmp_path: Path) -> None:
    done, steps = verify(tmp_path, packs / "base-edition-3.zip")
    assert done.code == 0
    assert steps[7][0] == "not done" and "claims to be by examiner-1 as examiner, with the key SHA256:" in steps[7][1]
    assert steps[8] == ("not done", "no repository was named that might hold the tag edition/base/3 (--repo)")
    assert "does not show who made it" in json.loads(done.out)["closing"]


def test_keys_of_somebody_else_fail(packs: Path, tmp_path: Path) -> None:
    keys_of_others = tmp_path / "signers"
    keys_of_others.write_text(line("examiner-1", of="nobody") + line("second"))
    done, steps = verify(tmp_path, packs / "base-edition-3.zip", "--signers", str(keys_of_others))
    assert done.code == 1 and steps[7][0] == "failed"
    assert "the key that signed is not listed" in steps[7][1]


def test_the_list_of_keys_in_the_pack_is_not_taken(packs: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(packs / "base-edition-3.zip") as read:
        read.extractall(tmp_path)
    bag = tmp_path / "base-edition-3"
    done = apart(tmp_path, "verify", str(bag), "--signers", str(bag / "data/asfound/allowed_signers"))
    assert done.code == 2 and "a list of signers that lies in the pack shows nothing" in done.err


def edit(name: str, old: bytes, new: bytes) -> Callable[[Files], Files]:
    """One text of one file."""

    def change(files: Files) -> Files:
        assert files[name].count(old) >= 1, f"{name} does not hold {old!r}"
        return files | {name: files[name].replace(old, new, 1)}

    return change


def without(*names: str) -> Callable[[Files], Files]:
    """Some files gone."""
    return lambda files: {name: data for name, data in files.items() if name not in names}


def forged_dossier(files: Files) -> Files:
    """A verdict turned round in the dossier, and every digest of it made anew, up to the edition."""
    import hashlib

    data = json.loads(files["data/dossier.json"])
    verdict = next(one for one in data["core"]["verdicts"] if one["outcome"] == "pass")
    verdict["outcome"] = "fail"
    text = (json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n").encode()
    record = json.loads(files["data/editions/3/edition.json"])
    record |= {
        "dossier": hashlib.sha256(text).hexdigest(),
        "core_digest": alone.core_digest(data["core"]),
        "approvals": [],
    }
    said = (json.dumps(record, ensure_ascii=False, indent=1, sort_keys=True) + "\n").encode()
    return files | {
        "data/dossier.json": text, "data/editions/3/dossier.json": text, "data/editions/3/edition.json": said,
    }  # fmt: skip


EXAMINER = "data/approvals/examiner-examiner-1-3.json"
FORGED: dict[str, tuple[Callable[[Files], Files], int, str]] = {
    "an altered file of the case": (
        edit("data/case/readings/flow.csv", b"111.7", b"111.9"), 5, "not those the dossier was computed from",
    ),
    "an added file of the case": (
        lambda files: files | {"data/case/evidence/more.txt": b"x"}, 5, "not those the dossier was computed from",
    ),
    "a file of the case taken away": (
        without("data/case/findings.yml"), 5, "not those the dossier was computed from",
    ),
    "two photographs swapped": (
        lambda files: files | _swapped(files), 5, "not those the dossier was computed from",
    ),
    "the edition before taken away": (
        without("data/editions/1/edition.json", "data/editions/1/dossier.json"), 5, "edition 1 is missing",
    ),
    "an altered edition before": (
        edit("data/editions/2/edition.json", b"the examination is done", b"the examination is over"), 5,
        "edition 3 does not rest on the edition before it",
    ),
    "an altered dossier": (edit("data/dossier.json", b'"pass"', b'"fail"'), 5, "data/dossier.json is not the dossier"),
    "an edition whose half is gone": (without("data/editions/2/dossier.json"), 5, "edition 2 is not whole"),
    "an approval taken away": (without(EXAMINER, f"{EXAMINER}.sig"), 5, "is missing"),
    "an altered approval": (edit(EXAMINER, b"2026-03-22", b"2026-03-23"), 5, "is not the one on which edition 3 rests"),
    "a signature taken away": (without(f"{EXAMINER}.sig"), 7, "no signature lies beside it"),
    "a signature of another statement": (
        lambda files: files | {f"{EXAMINER}.sig": sign(b"another", "examiner-1")}, 7, "is not of this statement",
    ),
    "a signature for another use": (
        lambda files: files | {f"{EXAMINER}.sig": sign(files[EXAMINER], "examiner-1", "file")}, 7, "",
    ),
    "another's signature": (
        lambda files: files | {f"{EXAMINER}.sig": sign(files[EXAMINER], "second")}, 7, 'is that of "second"',
    ),
    "a verdict turned round and all made anew": (forged_dossier, 6, "the verdict on R-"),
    "an instrument altered": (
        edit("data/asfound/instruments.yml", b"serial:", b"note: gone over\n  serial:"), 6, "the instrument M-",
    ),
}  # fmt: skip


def _swapped(files: Files) -> Files:
    one, other = [name for name in files if name.startswith("data/case/evidence/")][:2]
    return {one: files[other], other: files[one]}


@pytest.mark.parametrize("name", FORGED)
def test_a_forger_who_makes_every_list_anew_is_found_at_the_step_that_can(
    name: str, packs: Path, list_of_keys: Path, tmp_path: Path
) -> None:
    change, number, said = FORGED[name]
    files = files_of(packs / "base-edition-3.zip")
    pack = archive(tmp_path / "forged.zip", sealed(change(files)), top="base-edition-3")
    done, steps = verify(tmp_path, pack, "--signers", str(list_of_keys))
    assert done.code == 1
    assert [one for one in steps if steps[one][0] == "failed"] == [number], steps
    assert said in steps[number][1], steps[number][1]
    # No step says more than the ones before it allow.
    assert all(steps[one][0] == "not done" for one in steps if one > number and number < 6)


def test_what_no_signature_covers_is_said(packs: Path, list_of_keys: Path, tmp_path: Path) -> None:
    """The report is not signed: a forged one passes, and the step that checks signatures says that it would."""
    files = files_of(packs / "base-edition-3.zip")
    forged = sealed(edit("data/report.html", b"<title>", b"<title>Forged: ")(files))
    done, steps = verify(
        tmp_path, archive(tmp_path / "f.zip", forged, "base-edition-3"), "--signers", str(list_of_keys)
    )
    assert done.code == 0
    assert "report.html, history.json and the words of edition.json are not" in steps[7][1]


def test_a_tag_that_was_moved_or_is_missing_fails(story: Story, packs: Path, tmp_path: Path) -> None:
    other = copy(story, tmp_path / "moved")
    other.repo.git("tag", "-f", "edition/base/3", other.commits["issue edition 2"])
    _, steps = verify(tmp_path, packs / "base-edition-3.zip", "--repo", str(other.root))
    assert steps[8][0] == "failed" and "does not hold this edition" in steps[8][1]
    other.repo.git("tag", "-d", "edition/base/3")
    _, steps = verify(tmp_path, packs / "base-edition-3.zip", "--repo", str(other.root))
    assert steps[8] == ("failed", "the repository has no tag edition/base/3")


def test_a_clone_that_is_cut_short_is_not_asked(story: Story, packs: Path, tmp_path: Path) -> None:
    subprocess.run(
        ["git", "clone", "-q", "--depth", "1", f"file://{story.root}", str(tmp_path / "shallow")],
        check=True,
        timeout=60,
    )
    done, steps = verify(tmp_path, packs / "base-edition-3.zip", "--repo", str(tmp_path / "shallow"))
    assert done.code == 0 and steps[8][0] == "not done"


def test_the_history_holds_facts_and_no_drafts_of_opinion(packs: Path, story: Story, tmp_path: Path) -> None:
    told = json.loads(files_of(packs / "base-edition-3.zip")["data/history.json"])
    changed = {one["ref"] for one in told["changes"]}
    assert "R-flow-4" in changed and "I-1" in changed
    assert not any(one.startswith("X-") or one == "conclusion.yml" for one in changed)
    assert told["left_out"] and "drafts of opinion" in told["left_out"][0]
    examined = next(one for one in told["commits"] if one["id"] == story.commits["examine, measure, conclude"])
    assert examined["subject"].startswith("(message left out")
    amended = next(one for one in told["commits"] if one["id"] == story.commits["amend a reading"])
    assert amended["subject"] == "amend a reading"
    assert "drafts of opinion" in files_of(packs / "base-edition-3.zip")["README.txt"].decode()
    done = apart(tmp_path, "pack", "base", "--with-drafts", "--out", "all.zip", "--root", str(story.root))
    assert done.code == 0, done.err
    everything = json.loads(files_of(tmp_path / "all.zip")["data/history.json"])
    assert any(one["ref"].startswith("X-") for one in everything["changes"]) and everything["left_out"] == []


def test_the_history_of_an_edition_ends_with_it(packs: Path, story: Story) -> None:
    told = json.loads(files_of(packs / "base-edition-1.zip")["data/history.json"])
    assert {one["edition"] for one in told["changes"]} == {1}
    assert story.commits["amend a reading"] not in {one["id"] for one in told["commits"]}


def test_no_name_or_address_of_a_person_is_in_a_pack(packs: Path) -> None:
    for pack in packs.iterdir():
        for name, data in files_of(pack).items():
            assert b"bench@example.org" not in data and b"A. Bench" not in data, name


def test_the_same_edition_gives_the_same_bytes_from_another_clone(packs: Path, story: Story, tmp_path: Path) -> None:
    subprocess.run(["git", "clone", "-q", str(story.root), str(tmp_path / "clone")], check=True, timeout=60)
    for number in (2, 3):
        done = apart(tmp_path, "pack", "base", "--edition", str(number), "--root", "clone")
        assert done.code == 0, done.err
        name = f"base-edition-{number}.zip"
        assert (tmp_path / name).read_bytes() == (packs / name).read_bytes()


def test_the_newest_edition_is_packed_where_none_is_named_and_no_other_number_is(story: Story, tmp_path: Path) -> None:
    done = apart(tmp_path, "pack", "base", "--root", str(story.root))
    assert done.code == 0 and [one.name for one in tmp_path.iterdir()] == ["base-edition-3.zip"]
    done = apart(tmp_path, "pack", "base", "--edition", "4", "--root", str(story.root))
    assert done.code == 1 and "there is no edition 4 that is as it was issued (there is: 1, 2, 3)" in done.err


def test_an_edition_whose_files_are_nowhere_is_not_packed(story: Story, tmp_path: Path) -> None:
    other = copy(story, tmp_path / "no-git")
    shutil.rmtree(other.root / ".git")
    done = apart(tmp_path, "pack", "base", "--edition", "2", "--root", str(other.root))
    assert done.code == 1 and "neither in the folder, which went on since, nor in a commit" in done.err
    assert apart(tmp_path, "pack", "base", "--edition", "3", "--root", str(other.root)).code == 0
    files = files_of(tmp_path / "base-edition-3.zip")
    assert json.loads(files["data/history.json"])["known"] is False
    assert "do not lie in a git repository" in files["README.txt"].decode()


def test_a_pack_is_never_put_into_a_case(story: Story, tmp_path: Path) -> None:
    before = sorted(one.name for one in story.home.iterdir())
    done = apart(story.home, "pack", "base", "--root", str(story.root))
    assert done.code == 2 and "would be a file of the case" in done.err
    assert sorted(one.name for one in story.home.iterdir()) == before


def test_a_redacted_edition_holds_nothing_of_the_repository(
    story: Story, packs: Path, list_of_keys: Path, tmp_path: Path
) -> None:
    """Beside the whole pack of the same edition: no commit, key, digest, file name or date of it is in the other."""
    done = apart(tmp_path, "pack", "base", "--edition", "3", "--redacted", "--root", str(story.root))
    assert done.code == 0, done.err
    assert "A person has to read it before it is handed on" in done.err
    pack = tmp_path / "redacted-edition-3.zip"
    done, steps = verify(tmp_path, pack, "--signers", str(list_of_keys), "--repo", str(story.root))
    assert done.code == 0
    assert [steps[one][0] for one in range(1, 9)] == ["passed"] * 4 + ["not done"] * 4
    assert json.loads(done.out)["pack"] == "redacted-edition-3"
    whole = files_of(packs / "base-edition-3.zip")
    leads_back = {one.decode() for one in re.findall(rb"\b[0-9a-f]{40,128}\b", whole["SHA256SUMS"])}
    leads_back |= {*story.commits.values(), "examiner-1", "ssh-ed25519", "2026-03-"}
    leads_back |= {name.rpartition("/")[2] for name in whole if name.startswith("data/case/evidence/")}
    own = {line.split()[0] for line in files_of(pack)["SHA256SUMS"].decode().splitlines()}
    for name, data in files_of(pack).items():
        for one in leads_back - own:
            assert one.encode() not in data or name == "verify.py", f"{name} holds {one}"
    home = tmp_path / "bag"
    subprocess.run(["unzip", "-q", str(pack), "-d", str(home)], check=True, timeout=60)
    alone_ = subprocess.run(
        [sys.executable, "verify.py"], cwd=home / "redacted-edition-3", capture_output=True, text=True, timeout=60
    )
    assert alone_.returncode == 0, alone_.stdout


def _stock(pack: Path, home: Path) -> Path:
    """Info-ZIP, GNU coreutils, bagit of the Library of Congress and the bundled verifier take it; unpacked here."""
    name = pack.stem
    subprocess.run(["unzip", "-tq", str(pack)], check=True, timeout=60, capture_output=True)
    subprocess.run(["unzip", "-q", str(pack), "-d", str(home)], check=True, timeout=60)
    bag = home / name
    done = subprocess.run(["sha256sum", "-c", "--strict", "SHA256SUMS"], cwd=bag, capture_output=True, text=True)
    count = sum(1 for one in bag.rglob("*") if one.is_file())
    assert done.returncode == 0 and done.stdout.count(": OK") == count - 1, done.stderr
    script = "import bagit, sys; bagit.Bag(sys.argv[1]).validate(processes=1)"
    subprocess.run([sys.executable, "-W", "ignore", "-c", script, str(bag)], check=True, timeout=60)
    done = subprocess.run([sys.executable, "-I", "-S", "verify.py"], cwd=bag, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout
    return bag


@pytest.mark.parametrize("number", [1, 2, 3])
def test_the_whole_and_the_redacted_pack_of_an_edition_stand_before_stock_programs(
    number: int, story: Story, packs: Path, tmp_path: Path
) -> None:
    whole = _stock(packs / f"base-edition-{number}.zip", tmp_path)
    done = apart(tmp_path, "pack", "base", "--edition", str(number), "--redacted", "--root", str(story.root))
    assert done.code == 0, done.err
    bag = _stock(tmp_path / f"redacted-edition-{number}.zip", tmp_path)
    done, steps = verify(tmp_path, tmp_path / f"redacted-edition-{number}.zip")
    assert done.code == 0 and [steps[one][0] for one in range(1, 9)] == ["passed"] * 4 + ["not done"] * 4
    assert "nor that it tells of any case" in json.loads(done.out)["closing"]
    # Both tell of the same readings; only one of them tells when.
    shown = json.loads((bag / "data/redacted.json").read_text())
    core = json.loads((whole / "data/dossier.json").read_text())["core"]
    assert set(shown["items"]) == set(core["case"]["items"]) and len(shown.get("verdicts", [])) == len(core["verdicts"])
    assert ("conclusion" in shown) is (number > 1)
    assert "2026-03" in (whole / "data/report.html").read_text()
    assert "2026-03" not in (bag / "data/report.html").read_text()


def test_plain_ssh_keygen_verifies_the_approvals_in_a_pack_of_the_story(packs: Path, tmp_path: Path) -> None:
    """OpenSSH alone, with keys that did not come with the pack."""
    keys = tmp_path / "signers"
    keys.write_text(line("examiner-1") + line("second"))
    files = files_of(packs / "base-edition-3.zip")
    signed = [name for name in files if name.startswith("data/approvals/") and name.endswith(".json")]
    assert signed
    for name in signed:
        (tmp_path / "sig").write_bytes(files[f"{name}.sig"])
        who = json.loads(files[name])["signer"]
        arguments = ["-f", str(keys), "-I", who, "-n", "approval@asfound", "-s", str(tmp_path / "sig")]
        command = ["ssh-keygen", "-Y", "verify", *arguments]
        assert subprocess.run(command, input=files[name], capture_output=True, timeout=60).returncode == 0
        assert subprocess.run(command, input=files[name] + b" ", capture_output=True, timeout=60).returncode != 0
