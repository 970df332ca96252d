"""Every command on a machine unlike ours: a narrow code page, no locale, a narrow console, odd names of folders.

What Windows and macOS do is simulated with their code page and locale; nothing here ran there.
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from asfound.cli.main import COMMANDS
from asfound.model.plain import plain

from .following import typed
from .support import BASE, OFFLINE, PROGRAM

ODD = "Prüfung #1 & 50% (ñ)"
FOLDER = "cases/Fälle é #2"
CASE = ("base",)
ON = ("--on", "2026-03-20")
AT = "2026-03-19 10:00 -05:00"
PICTURE = "Bild ü 100% #3.jpg"
BARE = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
MACHINES: dict[str, tuple[dict[str, str], str]] = {
    "cp1252": ({"PYTHONIOENCODING": "cp1252"}, "cp1252"),
    "no-locale": (BARE, "ascii"),
}
"""What the environment says, and what standard output is to be read as."""

# What is typed behind `asfound`, and the exit code it is to have; {odd} stands for a folder with an odd name.
TRIED: dict[str, tuple[tuple[tuple[str, ...], int], ...]] = {
    "approve": ((("base", "--role", "examiner", "--dry-run", *ON), 1),),
    "audit-site": ((("{odd}/site ä",), 1), (("no such ä",), 2)),
    "calc": ((("heating-factor", "current=1.15±0.03 A", "time=95 s"), 0), (("heating-factor", "current=5 kΩ"), 2)),
    "check": (((*CASE, *ON), 0), ((FOLDER, *ON, "--format", "markdown"), 0), (("nö",), 2)),
    "compare": ((("HEAD", *ON), 0), (("HEAD", *ON, "--format", "html"), 0), (("Ärger", *ON), 2)),
    "completion": ((("bash",), 0), (("powershell",), 0)),
    "doctor": (((), 0), (("--json",), 0)),
    "document": ((("base", "--draft", *ON, "--out", "{odd}/b ä.pdf"), 0),),
    "evidence": ((("add", PICTURE, "--case", "base", "--by", "examiner", "--what", "Größe 5 µm.", "--yes"), 1),),
    "explain": (((), 0), (("custody-gap",), 0), (("--starter", "skin-lesion"), 0), (("lücke",), 2)),
    "gate": (
        (("base", "rechecked", "I-1", "--by", "examiner", "--note", "5 µA ≤ 10 µA", *ON), 0),
        (("base", "ä", "--by", "x"), 2),
    ),
    "hook": ((("check", f"{FOLDER}/case.yml", *ON), 0), (("evidence",), 0)),
    "init": ((("{odd}/neu é #2", "--no-git", "--name", "Fälle ≤ 5 µA"), 0), (("{odd}/neu é #2", "--no-git"), 0)),
    "instrument": ((("add", "{odd}/schein ö.xml", "--due", "2027-02-03"), 1),),
    "issue": ((("base", "--dry-run", *ON), 1),),
    "log": (
        (("base", "I-1", "--from", "examiner", "--to", "store", "--note", "Ø 3 Ω", "--at", AT, *ON), 0),
    ),
    "new": (((), 2), (("--device", "größe"), 2)),
    "normalise": ((("{odd}/blatt ö.csv",), 1), (("{odd}/fehlt ö.csv",), 1)),
    "pack": ((("base", "--draft", *ON, "--out", "{odd}/b ä.zip"), 0),),
    "plan": ((("base", "--dry-run"), 0), (("base", "--bench-sheet", "{odd}/bank ä.pdf"), 0)),
    "render": ((("{odd}/seiten ä", *ON), 0),),
    "schema": (
        ((), 0), (("--out", "{odd}/schemas ä"), 0), (("--line", f"{FOLDER}/items.yml"), 0), (("--settings",), 0),
    ),
    "sheet": ((("base", "--sheet", "S-ä"), 2),),
    "status": ((("base", *ON), 0), (("base", "--json", *ON), 0)),
    "table": (((*CASE, "--out", "{odd}/tafeln ä", *ON), 0), (("--schema",), 0)),
    "tags": ((("base", "--out", "{odd}/zettel ä.html"), 0),),
    "trace": ((("F-1",), 0), (("F-ü",), 2)),
    "verify": ((("{odd}/fehlt ä.zip",), 2),),
    "verify-site": ((("{odd}/site ä",), 1), (("{odd}/fehlt ä",), 2)),
    "without": ((("base", "M-1"), 0), (("base", "M-ä"), 2)),
}  # fmt: skip


@pytest.fixture(scope="module")
def prepared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The base case in git, in folders whose names hold what shells, addresses and code pages trip over."""
    root = tmp_path_factory.mktemp("machine") / ODD
    shutil.copytree(BASE, root)
    (root / "cases" / "base").rename(root / FOLDER)
    (root / ".asfound").mkdir(exist_ok=True)
    shutil.copy(root / FOLDER / "evidence" / "front.jpg", root / PICTURE)
    (root / "blatt ö.csv").write_bytes("row;value [µA];note\n1;5,2;Größe\n".encode("cp1252"))
    (root / "site ä").mkdir()
    (root / "site ä" / "index.html").write_text("<!doctype html><title>ä</title><p>Ω", "utf-8")
    for words in (["init", "-q"], ["add", "-A", "cases", ".asfound"], ["commit", "-q", "-m", "Fälle"]):
        git(root, *words)
    return root


def git(at: Path, *words: str) -> str:
    who = {f"GIT_{one}_{what}": "a@example.org" for one in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")}
    return subprocess.run(
        ["git", *words], cwd=at, env={**os.environ, **who}, capture_output=True, check=True, text=True, encoding="utf-8"
    ).stdout


def environment(**more: str) -> dict[str, str]:
    paths = os.pathsep.join((str(OFFLINE), str(PROGRAM)))
    return {**os.environ, "PYTHONPATH": paths, "COLUMNS": "20", "ASFOUND_CACHE": "off", **more}


def asfound(at: Path, *words: str, **more: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "asfound", *words], cwd=at, env=environment(**more), capture_output=True,
        stdin=subprocess.DEVNULL, check=False, timeout=170,
    )  # fmt: skip


DATA = {
    ("check", "markdown"),
    ("compare", "html"),
    ("status", "--json"),
    ("explain", "--starter"),
    ("schema", "--line"),
}
"""What another program takes in is UTF-8 on every machine."""


def is_data(words: tuple[str, ...]) -> bool:
    return any(words[0] == name and mark in words for name, mark in DATA)


@pytest.mark.skipif(sys.platform == "win32", reason="a locale of POSIX")
@pytest.mark.parametrize("machine", MACHINES)
@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_works_on_a_machine_unlike_ours(prepared: Path, tmp_path: Path, name: str, machine: str) -> None:
    env, page = MACHINES[machine]
    root = tmp_path / ODD
    shutil.copytree(prepared, root)
    assert name in TRIED, f"nobody tried {name} on another machine"
    for words, code in (*TRIED[name], (("--help",), 0)):
        given = (name, *(one.format(odd=root) for one in words))
        done = asfound(root, *given, **env)
        out, err = done.stdout.decode("utf-8" if is_data(given) else page), done.stderr.decode(page)
        told = f"{given}\n{out[-600:]}\n{err}"
        assert done.returncode == code, told
        assert "Traceback" not in out + err and "fault of its own" not in out + err, told
        assert (out or err or given == ("hook", "evidence")) and "\ufffd" not in out + err, told
        assert plain(out.replace("\n", "")) == out.replace("\n", ""), told
        assert "<U+DC" not in out + err, told
        if code == 2:
            assert re.search(r"Error: .", err), told


def test_signs_are_named_and_letters_written_out(prepared: Path) -> None:
    """The same sentence on three machines: what a page holds is shown, what it lacks is said in ASCII."""
    words = ("calc", "heating-factor", "current=1.15±0.03 A", "time=95 s")
    wide, windows, bare = (
        asfound(prepared, *words, **env).stdout.decode(page)
        for env, page in (({}, "utf-8"), *MACHINES.values())
    )  # fmt: skip
    assert "I² × t" in wide and wide == windows
    assert "I^2 x t" in bare and "1.15+/-0.03 A" in bare and "?" not in bare
    said = asfound(prepared, "check", "base", *ON, **BARE).stdout.decode("ascii")
    assert r"cases/F\xe4lle \xe9 #2" in said


@pytest.mark.skipif(sys.platform == "win32", reason="an interrupt of POSIX")
@pytest.mark.parametrize("machine", MACHINES)
def test_the_form_opens_and_ends_on_a_machine_unlike_ours(prepared: Path, machine: str) -> None:
    env, page = MACHINES[machine]
    process = subprocess.Popen(
        [sys.executable, "-m", "asfound", "sheet", "base", "--port", "0"], cwd=prepared, env=environment(**env),
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, stdin=subprocess.DEVNULL,
    )  # fmt: skip
    assert process.stdout is not None
    assert re.match(r"http://127\.0\.0\.1:\d+/enter/", process.stdout.readline().decode(page))
    process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=60)
    assert process.returncode == 0 and "Ended." in err.decode(page)


@pytest.mark.skipif(sys.platform == "win32", reason="a locale of POSIX")
def test_what_commands_write_is_the_same_on_every_machine(prepared: Path, tmp_path: Path) -> None:
    """Files, digests and machine-readable output depend on neither code page nor locale."""
    found: list[dict[str, Any]] = []
    for number, env in enumerate(({}, *(one for one, _ in MACHINES.values()))):
        root = tmp_path / str(number) / ODD
        shutil.copytree(prepared, root)
        words = (
            "base",
            "rechecked",
            "I-1",
            "--by",
            "examiner",
            "--at",
            "2026-03-19 10:00 -05:00",
            "--note",
            "5 µA, é",
            *ON,
        )
        assert asfound(root, "gate", *words, **env).returncode == 0
        told = asfound(root, "check", "base", *ON, "--format", "json", **env).stdout
        status = asfound(root, "status", "base", "--json", *ON, **env).stdout
        assert asfound(root, "document", "base", "--draft", *ON, "--out", str(root / "b ä.pdf"), **env).returncode == 0
        gates = (root / FOLDER / "gates.yml").read_bytes()
        assert "5 µA, é".encode() in gates
        found.append({"gates": gates, "told": told, "status": status, "paper": (root / "b ä.pdf").read_bytes()})
    assert found[0] == found[1] == found[2]


ATTRIBUTES = "**/evidence/** -text\n**/editions/** -text\n**/approvals/** -text\n"
"""What the manual's chapter on machines asks for; this repository asks for more."""


@pytest.fixture(scope="module")
def checkouts(prepared: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Clones with either kind of line end, and one with CR LF whose evidence nobody protected."""
    place = tmp_path_factory.mktemp("checkouts")
    origin = place / "origin"
    shutil.copytree(prepared, origin)
    git(origin, "-c", "core.autocrlf=true", "clone", "-q", str(origin), str(place / "unprotected"))
    (origin / ".gitattributes").write_text(ATTRIBUTES, "utf-8")
    git(origin, "add", ".gitattributes")
    git(origin, "commit", "-q", "-m", "Protect the evidence")
    git(origin, "clone", "-q", str(origin), str(place / "lf"))
    git(origin, "-c", "core.autocrlf=true", "clone", "-q", str(origin), str(place / "crlf"))
    git(place / "crlf", "config", "core.autocrlf", "true")
    return {name: place / name for name in ("lf", "crlf", "unprotected")}


def test_a_checkout_with_cr_lf_is_the_same_case(checkouts: dict[str, Path]) -> None:
    lf, crlf = checkouts["lf"], checkouts["crlf"]
    assert b"\r\n" in (crlf / FOLDER / "case.yml").read_bytes(), "git made no CR LF"
    assert b"\r\n" in (crlf / FOLDER / "readings" / "flow.csv").read_bytes()
    for one in sorted((lf / FOLDER / "evidence").iterdir()):
        assert one.read_bytes() == (crlf / FOLDER / "evidence" / one.name).read_bytes()
    for words in (
        ("check", "base", *ON, "--format", "json"), ("status", "base", "--json", *ON), ("trace", "F-1"),
        ("trace", "R-flow-1", "--format", "json"), ("compare", "HEAD", *ON), ("without", "base", "M-1", "--json"),
        ("approve", "base", "--role", "examiner", "--dry-run", *ON), ("hook", "check", f"{FOLDER}/items.yml", *ON),
        ("hook", "evidence"), ("plan", "base", "--dry-run"),
    ):  # fmt: skip
        one, other = (asfound(at, *words) for at in (lf, crlf))
        assert (one.returncode, one.stdout, one.stderr) == (other.returncode, other.stdout, other.stderr), words


def test_evidence_that_git_rewrote_is_found_and_the_mend_names_the_attributes(checkouts: dict[str, Path]) -> None:
    done = asfound(checkouts["unprotected"], "check", "base", *ON)
    assert done.returncode == 1
    said = done.stdout.decode()
    assert "evidence/statement.txt" in said and ".gitattributes" in said and "line ends" in said


def test_a_line_written_into_a_file_with_cr_lf_ends_so(checkouts: dict[str, Path], tmp_path: Path) -> None:
    root = tmp_path / "crlf"
    shutil.copytree(checkouts["crlf"], root)
    gate = ("gate", "base", "rechecked", "I-1", "--by", "examiner", "--at", AT, *ON)
    log = ("log", "base", "I-1", "--from", "examiner", "--to", "store", "--at", "2026-03-19 10:05 -05:00", *ON)
    for words in (gate, log):
        assert asfound(root, *words).returncode == 0
    for name in ("gates.yml", "custody.csv"):
        data = (root / FOLDER / name).read_bytes()
        assert data.count(b"\n") == data.count(b"\r\n")
        assert len(git(root, "diff", "--numstat", f"{FOLDER}/{name}").split()) >= 3
        assert "\t0\t" in git(root, "diff", "--numstat", "--", f"{FOLDER}/{name}"), "lines that nobody changed moved"


@pytest.mark.parametrize("words", [(), ("--help",), ("--version",), ("no such ä",)])
def test_without_a_command_it_speaks_on_every_machine(tmp_path: Path, words: tuple[str, ...]) -> None:
    for env, page in MACHINES.values():
        done = asfound(tmp_path, *words, **env)
        assert done.returncode == (2 if words == ("no such ä",) else 0)
        assert (done.stdout + done.stderr).decode(page)


def test_a_site_is_built_below_a_folder_with_an_odd_name(prepared: Path, tmp_path: Path) -> None:
    root = tmp_path / ODD
    shutil.copytree(prepared, root)
    (root / "mkdocs.yml").write_text(
        "site_name: Fälle\ndocs_dir: cases\ntheme: {name: mkdocs, highlightjs: false}\nplugins:\n  - asfound:\n"
        '      assess_on: "2026-03-20"\n', "utf-8",
    )  # fmt: skip
    (tmp_path / "home").mkdir()
    code, said, _ = typed("mkdocs build -q --strict\nasfound audit-site site\n", tmp_path, root)
    assert code == 0, said
