"""The hooks, with the real pre-commit in a real repository."""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import yaml
from PIL import Image

ROOT = Path(__file__).parents[2]
BIN = Path(sys.executable).parent


def git(where: Path, *arguments: str) -> None:
    """Run git, or fail with what it said."""
    done = subprocess.run(
        ["git", "-c", "user.name=test", "-c", "user.email=test@example.org", *arguments],
        cwd=where, capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr


def pre_commit(where: Path, *arguments: str, **more: str) -> subprocess.CompletedProcess[str]:
    """The offered hooks, over what is staged."""
    environment = {
        **os.environ,
        "PATH": f"{BIN}{os.pathsep}{os.environ['PATH']}",
        "PRE_COMMIT_HOME": str(where.parent / "home"),
        "ASFOUND_CACHE": str(where.parent / "cache"),
        **more,
    }
    return subprocess.run(
        [BIN / "pre-commit", "run", *arguments], cwd=where, capture_output=True, text=True, env=environment
    )


def offered() -> dict[str, dict[str, object]]:
    return {one["id"]: one for one in yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text("utf-8"))}


@pytest.fixture
def there(tmp_path: Path) -> Path:
    """A repository of two cases, committed, with the hooks we offer."""
    where = tmp_path / "cases of a ward"
    base = ROOT / "tests" / "rules" / "base"
    shutil.copytree(base / ".asfound", where / ".asfound")
    shutil.copytree(base / "cases" / "base", where / "cases" / "first")
    shutil.copytree(base / "cases" / "base", where / "cases" / "second")
    change(where, "cases/second/case.yml", "case: base", "case: other")
    # From a checkout of ours pre-commit would build an environment from an index; here it takes the one that is there.
    local = [{**hook, "language": "system"} for hook in offered().values()]
    (where / ".pre-commit-config.yaml").write_text(yaml.safe_dump({"repos": [{"repo": "local", "hooks": local}]}))
    git(where, "init", "-q")
    git(where, "add", ".")
    git(where, "commit", "-qm", "the cases")
    return where


def change(where: Path, name: str, old: str, new: str) -> None:
    path = where / name
    text = path.read_text("utf-8")
    assert text.count(old) == 1, old
    path.write_text(text.replace(old, new), "utf-8")


def spoken_of(done: subprocess.CompletedProcess[str]) -> set[str]:
    """The cases a closing line stands for."""
    return set(re.findall(r"^(cases/\w+): ", done.stdout, re.MULTILINE))


def test_only_the_case_a_commit_touches_is_checked(there: Path) -> None:
    change(there, "cases/first/conclusion.yml", "by: examiner", "# a remark\nby: examiner")
    # What is broken beside it is somebody else's commit.
    (there / "cases/second/items.yml").write_text("I-1: [", "utf-8")
    git(there, "add", "cases/first")
    done = pre_commit(there, "--verbose")
    assert done.returncode == 0, done.stdout + done.stderr
    assert spoken_of(done) == {"cases/first"}
    git(there, "add", ".")
    done = pre_commit(there)
    assert done.returncode == 1 and spoken_of(done) == {"cases/first", "cases/second"}


def test_a_reject_stops_the_commit_and_so_it_does_the_second_time(there: Path) -> None:
    items = there / "cases/first/items.yml"
    items.write_text(items.read_text("utf-8") + "\nI-1:\n  what: a second first item\n", "utf-8")
    git(there, "add", ".")
    first, second, anew = pre_commit(there), pre_commit(there), pre_commit(there, ASFOUND_CACHE="off")
    assert first.returncode == second.returncode == anew.returncode == 1
    assert "yaml-duplicate-key" in first.stdout
    # What was said of the very same bytes is said again, to the letter.
    assert first.stdout == second.stdout == anew.stdout


def test_what_all_cases_are_held_against_touches_all_and_a_file_beside_touches_none(there: Path) -> None:
    change(there, ".asfound/instruments.yml", "what: Flow analyser", "what: Another analyser")
    git(there, "add", ".")
    done = pre_commit(there, "--verbose")
    assert spoken_of(done) == {"cases/first", "cases/second"}
    git(there, "commit", "-qm", "x", "--no-verify")
    (there / "README.md").write_text("beside\n", "utf-8")
    git(there, "add", ".")
    assert spoken_of(pre_commit(there, "--verbose")) == set()


def test_a_commit_that_only_takes_a_file_out_is_checked_too(there: Path) -> None:
    """pre-commit passes no name of a file that goes, so a hook with names alone would not run (its documentation)."""
    git(there, "rm", "-q", "cases/second/gates.yml")
    done = pre_commit(there)
    assert done.returncode == 1 and spoken_of(done) == {"cases/second"}


def test_two_cases_of_one_identity_are_seen_though_one_is_touched(there: Path) -> None:
    change(there, "cases/second/case.yml", "case: other", "case: base")
    git(there, "add", ".")
    done = pre_commit(there)
    assert done.returncode == 1 and "also stands in cases/first" in done.stdout


def test_evidence_edited_in_place_is_stopped_also_with_its_digest_written_anew(there: Path) -> None:
    evidence = yaml.safe_load((there / "cases/first/evidence.yml").read_text("utf-8"))
    ref, record = next((ref, one) for ref, one in evidence.items() if one.get("file"))
    name = f"cases/first/{record['file']}"
    data = (there / name).read_bytes() + b"\n"
    (there / name).write_bytes(data)
    change(there, "cases/first/evidence.yml", record["sha256"], hashlib.sha256(data).hexdigest())
    git(there, "add", ".")
    done = pre_commit(there, "asfound-evidence")
    assert done.returncode == 1
    assert (
        f"{name} reject evidence-altered — this file of evidence was committed before with other bytes" in done.stdout
    )
    line = 1 + (there / "cases/first/evidence.yml").read_text("utf-8")[: _at(there, ref)].count("\n")
    said = re.search(
        r"cases/first/evidence\.yml:(\d+) reject evidence-altered — the digest of (E-\d+) was", done.stdout
    )
    assert said and said[2] == ref and int(said[1]) >= line
    # The one thing that mends it is what the message says.
    git(there, "restore", "--source=HEAD", "--staged", "--worktree", "--", name, "cases/first/evidence.yml")
    assert pre_commit(there, "asfound-evidence").returncode == 0


def _at(there: Path, ref: str) -> int:
    return (there / "cases/first/evidence.yml").read_text("utf-8").index(f"{ref}:")


def test_evidence_that_moves_is_let_pass_and_evidence_that_goes_is_not(there: Path) -> None:
    git(there, "mv", "cases/first", "cases/renamed")
    assert pre_commit(there, "asfound-evidence").returncode == 0
    git(there, "reset", "-q", "--hard")
    evidence = yaml.safe_load((there / "cases/first/evidence.yml").read_text("utf-8"))
    name = next(one["file"] for one in evidence.values() if one.get("file"))
    git(there, "rm", "-q", f"cases/first/{name}")
    # The other case holds the same bytes; these are gone from here all the same.
    done = pre_commit(there, "asfound-evidence")
    assert done.returncode == 1 and f"{name} reject evidence-missing" in done.stdout


def test_a_large_file_is_stopped_before_git_keeps_it(there: Path) -> None:
    (there / "cases/first/evidence/ward.mp4").write_bytes(bytes(50 * 1_048_576 + 1))
    git(there, "add", ".")
    done = pre_commit(there, "asfound-evidence")
    assert done.returncode == 1
    assert "evidence/ward.mp4 reject file-too-large — this file has 50.0 MiB; at most 50 MiB" in done.stdout


def picture(where: Path, place: bool = False, owner: str = "", words: str = "") -> None:
    exif = Image.Exif()
    if place:
        exif.get_ifd(0x8825)[2] = (40.0, 26.0, 46.0)
    if owner:
        exif[0x013B] = owner
    if words:
        exif[0x010E] = words
    Image.new("RGB", (8, 8)).save(where, exif=exif)


def test_a_picture_that_says_where_or_whose_it_is_is_stopped(there: Path) -> None:
    pictures = there / "cases/first/evidence"
    picture(pictures / "plain.jpg")
    git(there, "add", ".")
    assert pre_commit(there, "asfound-evidence").returncode == 0
    picture(pictures / "place.jpg", place=True)
    picture(pictures / "owner.jpg", owner="somebody")
    picture(pictures / "words.jpg", words="MRN 44712290")
    git(there, "add", ".")
    done = pre_commit(there, "asfound-evidence")
    assert done.returncode == 1
    assert "evidence/place.jpg reject gps-in-picture" in done.stdout
    assert "evidence/owner.jpg reject patient-identifier" in done.stdout and "somebody" not in done.stdout
    assert "evidence/words.jpg reject patient-identifier" in done.stdout and "44712290" not in done.stdout
    assert "plain.jpg" not in done.stdout
    for name in ("owner.jpg", "words.jpg"):
        git(there, "rm", "-qf", f"cases/first/evidence/{name}")
    asked = [BIN / "asfound", "hook", "evidence", "--places"]
    assert subprocess.run(asked, cwd=there, capture_output=True).returncode == 0


def test_the_index_of_a_commit_of_some_files_is_the_one_that_is_looked_at(there: Path) -> None:
    """`git commit FILE` makes an index of its own and names it to its hooks (gitrepository-layout, githooks)."""
    done = subprocess.run(
        [BIN / "pre-commit", "install"], cwd=there, capture_output=True, text=True,
        env={**os.environ, "PRE_COMMIT_HOME": str(there.parent / "home")},
    )  # fmt: skip
    assert done.returncode == 0
    picture(there / "cases/first/evidence/place.jpg", place=True)
    git(there, "add", ".")
    change(there, "cases/second/conclusion.yml", "by: examiner", "# a remark\nby: examiner")
    told = {"PATH": f"{BIN}{os.pathsep}{os.environ['PATH']}", "PRE_COMMIT_HOME": str(there.parent / "home")}
    commit = ["git", "-c", "user.name=test", "-c", "user.email=test@example.org", "commit", "-m", "x"]
    part = subprocess.run([*commit, "cases/second/conclusion.yml"], cwd=there, capture_output=True, text=True,
                          env={**os.environ, **told})  # fmt: skip
    assert part.returncode == 0, part.stdout + part.stderr
    whole = subprocess.run(commit, cwd=there, capture_output=True, text=True, env={**os.environ, **told})
    assert whole.returncode == 1 and "gps-in-picture" in whole.stdout + whole.stderr


@pytest.mark.parametrize(
    ("command", "name"),
    [("validate-manifest", ".pre-commit-hooks.yaml"), ("validate-config", ".pre-commit-config.yaml")],
)
def test_pre_commit_takes_our_files_without_a_word(command: str, name: str, tmp_path: Path) -> None:
    env = {**os.environ, "PRE_COMMIT_HOME": str(tmp_path)}
    done = subprocess.run([BIN / "pre-commit", command, ROOT / name], capture_output=True, text=True, env=env)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


def test_our_own_hooks_name_programs_that_the_readme_s_environment_holds() -> None:
    (repo,) = yaml.safe_load((ROOT / ".pre-commit-config.yaml").read_text("utf-8"))["repos"]
    assert repo["repo"] == "local"
    for hook in repo["hooks"]:
        program = hook["entry"].split()[0]
        assert program.startswith(".venv/bin/")
        assert shutil.which(program.removeprefix(".venv/bin/"), path=str(BIN)), program


def test_the_offered_hooks_run_once_alone_and_look_at_cases_and_bench() -> None:
    hooks = offered()
    wanted = re.compile(str(hooks["asfound-check"]["files"]))
    assert wanted.search("cases/a/readings/output.csv")
    assert wanted.search("cases/a/evidence/photographs/pad.jpg")
    assert wanted.search(".asfound/limits/own.yml")
    assert not wanted.search("README.md")
    assert not wanted.search("tests/cases/a/case.yml")
    # Files are named, so that only their cases are checked; both see commits that only take files out.
    assert hooks["asfound-check"].get("pass_filenames", True) and hooks["asfound-evidence"]["pass_filenames"] is False
    assert all(hook["require_serial"] is True and hook["always_run"] is True for hook in hooks.values())


# --- commits as people make them


def test_what_is_staged_decides_and_not_what_lies_there(there: Path) -> None:
    """`git add -p` takes one part of a file; the other stays in the folder."""
    good = (there / "cases/first/items.yml").read_text("utf-8")
    bad = good + "\nI-1:\n  what: a second first item\n"
    (there / "cases/first/items.yml").write_text(bad, "utf-8")
    git(there, "add", ".")
    (there / "cases/first/items.yml").write_text(good, "utf-8")
    done = pre_commit(there)
    assert done.returncode == 1 and "yaml-duplicate-key" in done.stdout
    assert (there / "cases/first/items.yml").read_text("utf-8") == good
    change(there, "cases/first/conclusion.yml", "by: examiner", "# a remark\nby: examiner")
    (there / "cases/first/items.yml").write_text(good, "utf-8")
    git(there, "add", ".")
    (there / "cases/first/items.yml").write_text(bad, "utf-8")
    done = pre_commit(there, "--verbose")
    assert done.returncode == 0, done.stdout
    assert spoken_of(done) == {"cases/first"} and (there / "cases/first/items.yml").read_text("utf-8") == bad


def test_a_case_that_moves_is_checked_where_it_comes_to_lie_and_one_that_goes_is_not(there: Path) -> None:
    git(there, "mv", "cases/first", "cases/Fall 7 (ward ü)")
    done = pre_commit(there, "asfound-check", "--verbose")
    assert done.returncode == 0, done.stdout
    assert "cases/Fall 7 (ward ü): " in done.stdout and spoken_of(done) == set()
    change(there, "cases/Fall 7 (ward ü)/items.yml", "I-1:\n", "I-1:\nI-1:\n")
    git(there, "add", ".")
    done = pre_commit(there, "asfound-check")
    assert done.returncode == 1 and "cases/Fall 7 (ward ü)/items.yml:" in done.stdout
    git(there, "reset", "-q", "--hard")
    git(there, "rm", "-rq", "cases/first")
    done = pre_commit(there, "asfound-check", "--verbose")
    assert done.returncode == 0 and "cases/" not in done.stdout, done.stdout


def test_a_merge_is_checked_whole_and_not_only_where_it_had_conflicts(there: Path) -> None:
    """In a merge pre-commit names the files that had conflicts; the other side brings more."""
    git(there, "switch", "-qc", "other")
    items = there / "cases/second/items.yml"
    items.write_text(items.read_text("utf-8") + "\nI-1:\n  what: a second first item\n", "utf-8")
    change(there, "cases/first/conclusion.yml", "by: examiner", "# theirs\nby: examiner")
    git(there, "commit", "-qam", "theirs", "--no-verify")
    git(there, "switch", "-q", "-")
    change(there, "cases/first/conclusion.yml", "by: examiner", "# ours\nby: examiner")
    git(there, "commit", "-qam", "ours", "--no-verify")
    merge = ["git", "-c", "user.name=test", "-c", "user.email=test@example.org", "merge", "other"]
    assert subprocess.run(merge, cwd=there, capture_output=True).returncode == 1
    change_all = there / "cases/first/conclusion.yml"
    change_all.write_text(re.sub(r"<<<<<<< .*\n|=======\n|>>>>>>> .*\n", "", change_all.read_text("utf-8")), "utf-8")
    git(there, "add", ".")
    done = pre_commit(there, "asfound-check")
    assert done.returncode == 1 and spoken_of(done) == {"cases/first", "cases/second"}
    assert "cases/second/items.yml" in done.stdout


def test_in_a_worktree_of_its_own_the_hooks_see_its_index(there: Path) -> None:
    git(there, "worktree", "add", "-q", "-b", "aside", str(there.parent / "aside"))
    aside = there.parent / "aside"
    picture(aside / "cases/first/evidence/place.jpg", place=True)
    items = aside / "cases/second/items.yml"
    items.write_text(items.read_text("utf-8") + "\nI-1:\n  what: a second first item\n", "utf-8")
    git(aside, "add", ".")
    told = {"PATH": f"{BIN}{os.pathsep}{os.environ['PATH']}", "PRE_COMMIT_HOME": str(there.parent / "home")}
    done = subprocess.run(
        [BIN / "pre-commit", "install"], cwd=there, capture_output=True, text=True, env={**os.environ, **told}
    )
    assert done.returncode == 0
    commit = ["git", "-c", "user.name=test", "-c", "user.email=test@example.org", "commit", "-m", "x"]
    done = subprocess.run(commit, cwd=aside, capture_output=True, text=True, env={**os.environ, **told})
    said = done.stdout + done.stderr
    assert done.returncode == 1 and "gps-in-picture" in said and "cases/second/items.yml" in said
    assert subprocess.run(commit, cwd=there, capture_output=True, text=True, env={**os.environ, **told}).returncode
    assert pre_commit(there).returncode == 0


@pytest.mark.parametrize("ignored", [False, True])
def test_evidence_that_is_registered_and_not_brought_along_is_stopped(there: Path, ignored: bool) -> None:
    """It lies in the folder, so a check of the folder passes; whoever fetches the commit has the record alone."""
    data = b"a note of the ward\n"
    (there / "cases/first/evidence/note.txt").write_bytes(data)
    record = f"E-77:\n  file: evidence/note.txt\n  sha256: {hashlib.sha256(data).hexdigest()}\n"
    listed = there / "cases/first/evidence.yml"
    listed.write_text(listed.read_text("utf-8").rstrip("\n") + f"\n{record}  kind: document\n", "utf-8")
    if ignored:
        (there / ".gitignore").write_text("*.txt\n", "utf-8")
        git(there, "add", "cases/first/evidence.yml", ".gitignore")
    else:
        git(there, "add", "cases/first/evidence.yml")
    done = pre_commit(there, "asfound-evidence")
    assert done.returncode == 1
    line = listed.read_text("utf-8")[: listed.read_text("utf-8").index("  file: evidence/note.txt")].count("\n") + 1
    assert f"cases/first/evidence.yml:{line} reject evidence-missing — E-77 names evidence/note.txt" in done.stdout
    git(there, "add", "-f", "cases/first/evidence/note.txt")
    assert pre_commit(there, "asfound-evidence").returncode == 0


def test_a_merge_that_git_makes_by_itself_is_looked_at_where_the_hook_for_it_is_installed(there: Path) -> None:
    """Both sides are clean, and bring a record of one id in two places of a file: no conflict, and a reject."""
    told = {**os.environ, "PATH": f"{BIN}{os.pathsep}{os.environ['PATH']}"}
    told["PRE_COMMIT_HOME"] = str(there.parent / "home")
    record = "I-9:\n  what: a hose\n"
    listed = there / "cases/first/items.yml"
    text = listed.read_text("utf-8")
    git(there, "switch", "-qc", "other")
    listed.write_text(f"{record}{text}", "utf-8")
    git(there, "commit", "-qam", "theirs", "--no-verify")
    git(there, "switch", "-q", "-")
    listed.write_text(f"{text.rstrip()}\n{record}", "utf-8")
    git(there, "commit", "-qam", "ours", "--no-verify")
    merge = ["git", "-c", "user.name=test", "-c", "user.email=test@example.org", "merge", "--no-edit", "other"]
    install = [BIN / "pre-commit", "install", "-t", "pre-merge-commit"]
    assert subprocess.run(install, cwd=there, capture_output=True, env=told).returncode == 0
    done = subprocess.run(merge, cwd=there, capture_output=True, text=True, env=told)
    assert done.returncode != 0 and "yaml-duplicate-key" in done.stdout + done.stderr
