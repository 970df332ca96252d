"""What a request to merge may bring: `.ci/take-cases` with the real git, and requests that mean harm."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TAKE = ROOT / ".ci/take-cases"

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="a script of the workflows, which run on Linux")


def git(where: Path, *arguments: str, stdin: bytes = b"") -> str:
    """Run git, or fail with what it said; its answer without the last line end."""
    command = ["git", "-c", "user.name=test", "-c", "user.email=test@example.invalid", *arguments]
    done = subprocess.run(command, cwd=where, input=stdin, capture_output=True, check=False)
    assert done.returncode == 0, done.stderr.decode()
    return done.stdout.decode().rstrip("\n")


@pytest.fixture
def base(tmp_path: Path) -> Path:
    """A repository on its base branch: a configuration, a bench, two cases, and our script."""
    home = tmp_path / "base"
    for name, text in {
        "mkdocs.yml": "site_name: Base\n",
        ".asfound/settings.yml": "organisation: Base\n",
        "cases/kept/case.yml": "case: kept\n",
        "cases/dropped/case.yml": "case: dropped\n",
    }.items():
        (home / name).parent.mkdir(parents=True, exist_ok=True)
        (home / name).write_text(text, encoding="utf-8")
    (home / ".ci").mkdir()
    shutil.copy(TAKE, home / ".ci/take-cases")
    git(home, "init", "-q", "-b", "main")
    git(home, "add", ".")
    git(home, "commit", "-qm", "base")
    return home


def requested(base: Path, **files: bytes | None) -> str:
    """The commit of a request that writes (with None, removes) files; the base branch is checked out after."""
    git(base, "switch", "-q", "-c", "request")
    for name, data in files.items():
        path = base / name
        if data is None:
            path.unlink()
            continue
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    git(base, "-c", "core.autocrlf=false", "add", "-A")
    git(base, "commit", "-qm", "request")
    return back(base)


def entry(base: Path, mode: str, ident: str, path: str) -> str:
    """The commit of a request whose tree holds an entry that git would not make from a file."""
    git(base, "switch", "-q", "-c", "request")
    if path == "cases":
        git(base, "rm", "-rq", "--cached", "cases")
    git(base, "update-index", "--add", "--cacheinfo", f"{mode},{ident},{path}")
    git(base, "commit", "-qm", "request")
    return back(base)


def back(base: Path) -> str:
    commit = git(base, "rev-parse", "HEAD")
    git(base, "switch", "-q", "-f", "main")
    return commit


def take(base: Path, commit: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([base / ".ci/take-cases", commit], cwd=base, capture_output=True, text=True, check=False)


def below(base: Path) -> dict[str, bytes]:
    """Every file of the working tree."""
    return {
        path.relative_to(base).as_posix(): path.read_bytes()
        for path in base.rglob("*")
        if path.is_file() and ".git" not in path.relative_to(base).parts
    }


def test_the_cases_are_those_of_the_request_and_everything_else_stays(base: Path) -> None:
    before = below(base)
    request = {
        "cases/new/case.yml": b"case: new\n",
        "cases/kept/case.yml": b"case: kept\ntitle: changed\n",
        "cases/dropped/case.yml": None,
        "mkdocs.yml": b"site_name: Hostile\nhooks: [evil.py]\n",
        ".asfound/settings.yml": b"organisation: Hostile\n",
        ".ci/take-cases": b"#!/bin/sh\necho hostile\n",
        "evil.py": b"raise SystemExit\n",
    }
    commit = requested(base, **request)
    done = take(base, commit)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == f"take-cases: 2 files below cases/, as in {commit}\n"
    after = below(base)
    assert {name: data for name, data in after.items() if not name.startswith("cases/")} == {
        name: data for name, data in before.items() if not name.startswith("cases/")
    }
    assert {name: data for name, data in after.items() if name.startswith("cases/")} == {
        "cases/new/case.yml": request["cases/new/case.yml"],
        "cases/kept/case.yml": request["cases/kept/case.yml"],
    }
    # The history that a case is read with is the request's.
    assert git(base, "rev-parse", "HEAD") == commit
    assert git(base, "status", "--porcelain", "--", "cases") == ""


def test_every_byte_arrives_as_it_was_committed(base: Path, tmp_path: Path) -> None:
    """Attributes of the request ask for other line ends, another encoding, an identity, a program; none is given."""
    ran = tmp_path / "ran"
    git(base, "config", "filter.evil.smudge", f"touch {ran}; cat")
    files = {
        "cases/new/case.yml": b"case: new\r\ntitle: $Id$\r\n",
        "cases/new/evidence/log.csv": b"a,b\r\n1,2\n\x00\xff\xfe",
        "cases/new/notes.txt": "µ".encode(),
    }
    git(base, "switch", "-q", "-c", "request")
    attributes = base / ".git/info/attributes"
    # So that the request is committed with the bytes it is written with.
    attributes.write_text("* -text -ident -filter -working-tree-encoding\n", encoding="utf-8")
    for name, data in files.items():
        (base / name).parent.mkdir(parents=True, exist_ok=True)
        (base / name).write_bytes(data)
    (base / "cases/.gitattributes").write_text(
        "* text eol=lf ident filter=evil\n*.yml eol=crlf\n*.txt working-tree-encoding=UTF-16\n", encoding="utf-8"
    )
    git(base, "add", "cases")
    git(base, "commit", "-qm", "request")
    commit = back(base)
    attributes.unlink()
    ran.unlink(missing_ok=True)
    assert take(base, commit).returncode == 0
    assert {name: (base / name).read_bytes() for name in files} == files
    assert not ran.exists()


@pytest.mark.parametrize(
    ("path", "mode", "said"),
    [
        ("cases/kept/evidence/passwd", "120000", "cases/kept/evidence/passwd is a symbolic link"),
        ("cases/kept/other", "160000", "cases/kept/other is another repository"),
        ("cases", "120000", "cases is in the place of the folder"),
        ("cases", "100644", "cases is in the place of the folder"),
    ],
    ids=["link", "repository", "link for the folder", "file for the folder"],
)
def test_what_is_no_plain_file_is_refused_by_name_and_nothing_is_taken(
    base: Path, path: str, mode: str, said: str
) -> None:
    before, head = below(base), git(base, "rev-parse", "HEAD")
    ident = head if mode == "160000" else git(base, "hash-object", "-w", "--stdin", stdin=b"/etc/passwd")
    done = take(base, entry(base, mode, ident, path))
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr == f"take-cases: {said}; only plain files below cases/ are taken\n"
    assert below(base) == before
    assert git(base, "rev-parse", "HEAD") == head


def test_a_name_cannot_speak_to_the_log(base: Path) -> None:
    ident = git(base, "hash-object", "-w", "--stdin", stdin=b"x")
    done = take(base, entry(base, "120000", ident, "cases/a\n::error::forged\x1b[2J"))
    assert done.returncode == 1
    assert len(done.stderr.splitlines()) == 1
    assert "\x1b" not in done.stderr


def test_a_hook_and_a_replaced_commit_have_no_say(base: Path, tmp_path: Path) -> None:
    ran = tmp_path / "ran"
    hook = base / ".git/hooks/post-checkout"
    hook.parent.mkdir(exist_ok=True)
    commit = requested(base, **{"cases/new/case.yml": b"case: new\n"})
    hook.write_text(f"#!/bin/sh\ntouch {ran}\n", encoding="utf-8")
    hook.chmod(0o755)
    git(base, "replace", commit, git(base, "rev-parse", "HEAD"))
    assert take(base, commit).returncode == 0
    assert (base / "cases/new/case.yml").is_file()
    assert not ran.exists()


def test_a_request_without_cases_leaves_none(base: Path) -> None:
    commit = requested(base, **{"cases/kept/case.yml": None, "cases/dropped/case.yml": None})
    assert take(base, commit).returncode == 0
    assert not (base / "cases").exists()


@pytest.mark.parametrize("name", ["main", "HEAD", "--all", "abc123", ""])
def test_only_the_full_name_of_a_commit_is_taken(base: Path, name: str) -> None:
    before = below(base)
    done = take(base, name)
    assert done.returncode != 0
    assert below(base) == before


def test_the_script_can_be_run() -> None:
    assert os.access(TAKE, os.X_OK)
    assert os.access(ROOT / ".ci/run", os.X_OK)
