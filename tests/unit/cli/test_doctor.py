"""`asfound doctor` in the situations it is there for: each brought about for real, and what is said of it."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from importlib.metadata import requires
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from asfound.cli.doctor import EXTRAS, run_doctor
from asfound.cli.main import cli
from tests.support.repository import Repo

from ...real.support import BASE, PROGRAM

ATTRIBUTES = "*.yml text eol=lf\n*.csv text eol=lf\n**/evidence/** -text\n"


def examined(root: Path, code: int = 0) -> dict[str, dict[str, Any]]:
    """What is said, by what it is about."""
    done = CliRunner().invoke(cli, ["doctor", "--json", "--root", str(root)])
    assert done.exit_code == code, done.output
    return {one["about"]: one for one in json.loads(done.output)["found"]}


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A repository in good order."""
    home = tmp_path / "a bench with ünlaut"
    shutil.copytree(BASE, home)
    (home / ".gitattributes").write_text(ATTRIBUTES, "utf-8")
    assert CliRunner().invoke(cli, ["schema", "--out", ".asfound/schemas", "--root", str(home)]).exit_code == 0
    Repo(home).commit("Begin")
    return home


def settings(monkeypatch: pytest.MonkeyPatch, root: Path, text: str) -> None:
    """A person's own settings of git."""
    path = root.parent / "gitconfig"
    path.write_text(text, "utf-8")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(path))


def test_a_repository_in_good_order(root: Path) -> None:
    found = examined(root)
    for about in (
        "asfound",
        "mkdocs",
        "mkdocs-material",
        "cases",
        "git",
        "history",
        "line ends",
        "schemas",
        "ssh-keygen",
    ):
        assert found[about]["matters"] == "fine", found[about]
    assert re.match(r"version \d", found["git"]["found"])
    assert re.search(r"the bytes of \d+ files of evidence are kept", found["line ends"]["found"])
    assert {one["matters"] for one in found.values()} <= {"fine", "worth knowing"}
    before = sorted(path.as_posix() for path in root.rglob("*"))
    text = CliRunner().invoke(cli, ["doctor", "--root", str(root)]).output
    assert re.search(r"^\d+ things looked at: 0 in the way, \d+ worth knowing\.$", text, re.M)
    assert sorted(path.as_posix() for path in root.rglob("*")) == before, "it changes nothing"


def test_a_history_cut_short_is_said_with_what_brings_it(root: Path, tmp_path: Path) -> None:
    Repo(root).git("commit", "-q", "--allow-empty", "-m", "Go on")
    clone = tmp_path / "clone"
    subprocess.run(["git", "clone", "-q", "--depth", "1", root.as_uri(), str(clone)], check=True, capture_output=True)
    found = examined(clone)["history"]
    assert found["matters"] == "worth knowing" and "shallow" in found["found"]
    assert "--unshallow" in found["mend"] and "fetch-depth: 0" in found["why"]


def test_without_git_the_check_goes_on(root: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    monkeypatch.setenv("PATH", str(tmp_path / "empty"))
    found = examined(root)
    assert found["git"]["found"] == "not found" and found["git"]["matters"] == "worth knowing"
    assert found["ssh-keygen"]["matters"] == "worth knowing"
    assert not {"history", "line ends"} & found.keys()


def test_outside_a_repository_it_is_said(tmp_path: Path) -> None:
    shutil.copytree(BASE, tmp_path / "loose")
    assert "do not lie in a git repository" in examined(tmp_path / "loose")["repository"]["found"]


@pytest.mark.parametrize("setting", ["true", "input"])
def test_line_ends_that_git_would_change_are_in_the_way_where_evidence_is_not_kept(
    setting: str, root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is what happens: a log of evidence, committed and checked out under that setting, has other bytes."""
    log = root / "cases/base/evidence/log.txt"
    log.write_bytes(b"one\r\ntwo\r\n")
    settings(monkeypatch, root, f"[core]\n\tautocrlf = {setting}\n[user]\n\tname = x\n\temail = x@example.org\n")
    assert examined(root)["line ends"]["matters"] == "fine"
    Repo(root).git("rm", "-q", ".gitattributes")
    found = examined(root, code=1)["line ends"]
    assert found["matters"] == "in the way" and f"core.autocrlf is {setting}" in found["found"]
    assert "**/evidence/** -text" in found["mend"]
    subprocess.run(["git", "-C", str(root), "add", "-A"], check=True, capture_output=True)
    kept = subprocess.run(
        ["git", "-C", str(root), "show", ":cases/base/evidence/log.txt"], check=True, capture_output=True
    )
    assert kept.stdout == b"one\ntwo\n", "git did change them"


def test_evidence_that_no_attribute_keeps_is_worth_knowing(root: Path) -> None:
    (root / ".gitattributes").write_text("*.yml text eol=lf\n", "utf-8")
    found = examined(root)["line ends"]
    assert found["matters"] == "worth knowing" and "cases/base/evidence/" in found["found"]


def test_a_folder_git_refuses_is_explained(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """git's own test of it: it then takes every folder for somebody else's."""
    monkeypatch.setenv("GIT_TEST_ASSUME_DIFFERENT_OWNER", "1")
    found = examined(root)["repository"]
    assert "dubious ownership" in found["found"] and found["matters"] == "worth knowing"
    assert "safe.directory" in found["mend"] and root.as_posix() in found["mend"]


def test_schemas_of_another_version_are_told(root: Path) -> None:
    folder = root / ".asfound/schemas"
    old = folder / "items.schema.json"
    old.write_text(old.read_text("utf-8").replace('"Seal', '"A seal', 1).replace("impounded", "taken", 1), "utf-8")
    (folder / "case.schema.json").unlink()
    found = examined(root)["schemas"]
    assert "1 of " in found["found"] and "case.schema.json missing" in found["found"]
    assert found["mend"].endswith("asfound schema --out .asfound/schemas")
    shutil.rmtree(folder)
    assert "none in .asfound/schemas" in examined(root)["schemas"]["found"]


def test_schemas_checked_out_with_other_line_ends_are_of_this_version(root: Path) -> None:
    for path in (root / ".asfound/schemas").glob("*.json"):
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    assert examined(root)["schemas"]["matters"] == "fine"


def test_signers_that_are_refused_are_named(root: Path) -> None:
    (root / ".asfound/allowed_signers").write_text("* ssh-ed25519 AAAA\n", "utf-8")
    found = examined(root)["signers"]
    assert "1 refused" in found["found"] and ".asfound/allowed_signers:1:" in found["found"]


def test_signers_that_cannot_be_read_are_in_the_way(root: Path) -> None:
    (root / ".asfound/allowed_signers").unlink(missing_ok=True)
    (root / ".asfound/allowed_signers").mkdir()
    assert "cannot be read: is a directory" in examined(root, code=1)["signers"]["found"]


def test_a_cache_within_the_repository_is_in_the_way(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ASFOUND_CACHE", str(root / "kept"))
    found = examined(root, code=1)["cache"]
    assert "lies in the repository" in found["found"]
    monkeypatch.setenv("ASFOUND_CACHE", str(root.parent / "kept"))
    assert examined(root)["cache"]["matters"] == "fine"


def test_an_engine_of_another_kind_is_in_the_way(
    root: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    import asfound.cli.doctor as doctor

    real = doctor._version
    monkeypatch.setattr(doctor, "_version", lambda name: {"mkdocs": "2.0.1", "typst": ""}.get(name, real(name)))
    assert run_doctor(False, str(root)) == 1
    said = capsys.readouterr().out
    assert "mkdocs: version 2.0.1 — in the way." in said and 'pip install "mkdocs<2"' in said
    assert 'pip install "asfound[document]"' in said
    monkeypatch.setattr(doctor, "_version", lambda name: "" if name in ("mkdocs", "properdocs") else real(name))
    assert run_doctor(False, str(root)) == 1
    assert "No site can be built." in capsys.readouterr().out


def test_a_narrow_console_is_said_and_ends_nothing(root: Path) -> None:
    """As a program of its own, its output redirected under a code page that has no ohm."""
    done = subprocess.run(
        [sys.executable, "-m", "asfound", "doctor", "--root", str(root)],
        env={**os.environ, "PYTHONPATH": str(PROGRAM), "PYTHONIOENCODING": "cp1252", "PYTHONUTF8": "0"},
        capture_output=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    said = done.stdout.decode("cp1252")
    assert "prints in cp1252, without U+03A9, U+2212, U+2033, U+2264" in said


def test_every_extra_is_known_with_its_packages() -> None:
    """As the package itself declares them; those for tests and measurements are nobody's business here."""
    declared: dict[str, set[str]] = {}
    for line in requires("asfound") or []:
        found = re.fullmatch(r"([A-Za-z0-9_.-]+).*;.*extra == ['\"]([a-z]+)['\"]", line)
        if found and found.group(2) not in {"test", "bench"}:
            declared.setdefault(found.group(2), set()).add(found.group(1).lower())
    assert declared == {name: {one.lower() for one in packages} for name, packages, _ in EXTRAS}
