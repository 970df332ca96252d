"""The history of a repository, against bare git; its records, against reading and composing the same versions.

Two thousand commits over fifteen hundred files in three hundred case folders, made with `git fast-import`.
"""

from __future__ import annotations

import subprocess
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

import yaml

from asfound import history
from asfound.assess.chronicle import Chronicle
from asfound.history import Log

from .method import Line, in_turn, spoken

COMMITS, CASES, TIMES = 2000, 300, 7
FOLLOWED = 20
"""Files that `git log --follow` is measured on; the rest of the fifteen hundred is extrapolated, one process each."""
PASS_BOUND, FOLLOW_BOUND, RECORDS_BOUND = 1.5, 0.01, 2.0
FILES = ("case.yml", "items.yml", "findings.yml", "statements.yml", "service.yml")
ONE = "case-000"
"""The case whose every other commit is a change, for the measurement of records."""


def make(root: Path, commits: int = COMMITS, cases: int = CASES) -> Path:
    """A repository of `commits` commits: the first brings every case, each further one changes three files."""
    root.mkdir(parents=True)
    subprocess.run(["git", "init", "-q", "-b", "main", str(root)], check=True)
    out = bytearray()
    for number in range(commits):
        message = f"Commit {number}".encode()
        out += b"commit refs/heads/main\n"
        out += b"committer Bench <bench@example.org> %d +0000\n" % (1_770_000_000 + 60 * number)
        out += b"data %d\n%s\n" % (len(message), message)
        if number:
            here = [(f"case-{(number * 7 + one) % cases:03}", FILES[(number + one) % 5]) for one in range(2)]
            here.append((ONE, FILES[1 + number % 4]))
        else:
            here = [(f"case-{case:03}", name) for case in range(cases) for name in FILES]
        for case, name in dict.fromkeys(here):
            data = text(case, name, number).encode()
            out += f"M 100644 inline cases/{case}/{name}\n".encode() + b"data %d\n%s\n" % (len(data), data)
    subprocess.run(["git", "-C", str(root), "fast-import", "--quiet"], input=bytes(out), check=True)
    subprocess.run(["git", "-C", str(root), "reset", "-q", "--hard"], check=True)
    return root


def text(case: str, name: str, version: int) -> str:
    """One version of a file: twelve records, one of which is another in each version."""
    if name == "case.yml":
        return f"case: {case}\ntitle: Version {version}\nstage: open\nharmed: none\n"
    letter = {"items.yml": "I", "findings.yml": "F", "statements.yml": "W", "service.yml": "H"}[name]
    return "".join(
        f"{letter}-{one}:\n"
        f"  what: Electrosurgical generator, number {one}\n"
        f"  note: The cord is coiled, the plug is out; seen on shelf {version if one == version % 12 else one}.\n"
        "  characteristics: {class: I, supply: '120 V, 60 Hz'}\n"
        "  evidence: [E-1, E-2]\n"
        for one in range(12)
    )


def bare(root: Path) -> bytes:
    """What git itself writes: the floor of any reading of a history."""
    return _git(root, "log", "--raw", "-z")


def ours(root: Path) -> Log:
    """The history, read."""
    found = history.read(root)
    assert isinstance(found, Log)
    return found


def followed(root: Path, files: int) -> None:
    """One `git log --follow` a file, as tools do that date pages one by one."""
    for number in range(files):
        _git(root, "log", "--follow", "--format=%H %ct", "--", f"cases/case-{number:03}/{FILES[number % 5]}")


def versions(log: Log, case: str) -> list[str]:
    """Ids of every version of every file of a case."""
    start = f"cases/{case}/"
    found = (one for commit in log.commits for one in commit.changes if one.path.startswith(start))
    return list(dict.fromkeys(one.new for one in found if one.new))


def composed(root: Path, idents: list[str]) -> int:
    """The same versions from `git cat-file --batch`, each composed by the C parser."""
    said = _git(root, "cat-file", "--batch", data="".join(f"{one}\n" for one in idents).encode())
    at = nodes = 0
    while at < len(said):
        end = said.index(b"\n", at)
        size = int(said[at:end].split()[2])
        nodes += len(yaml.compose(said[end + 1 : end + 1 + size].decode(), yaml.CSafeLoader).value)
        at = end + size + 2
    return nodes


def told(chronicle: Chronicle, case: str) -> int:
    """Every change to every record of a case; the history itself is read already."""
    return len(chronicle.past(case, f"cases/{case}").changes)


def _git(root: Path, *arguments: str, data: bytes = b"") -> bytes:
    return subprocess.run(["git", "-C", str(root), *arguments], input=data, capture_output=True, check=True).stdout


def measure() -> list[Line]:
    """The pass over the history, one process a file, and the records of one case."""
    with tempfile.TemporaryDirectory() as folder:
        root = make(Path(folder) / "repository")
        files = CASES * len(FILES)
        mine, floor = in_turn([lambda: ours(root), lambda: bare(root)], TIMES, perf_counter)
        (one_by_one,) = in_turn([lambda: followed(root, FOLLOWED)], 1, perf_counter)
        one_by_one *= files / FOLLOWED
        idents = versions(ours(root), ONE)
        works: list[Callable[[], object]] = [
            lambda: told(_ready(root), ONE),
            lambda: _ready(root),
            lambda: composed(root, idents),
        ]
        both, read, theirs = in_turn(works, TIMES, perf_counter)
    size = f"{COMMITS} commits, {files} files"
    return [
        Line(f"history, {size}", "git log --raw -z", mine / floor, PASS_BOUND, spoken(mine), spoken(floor)),
        Line(
            "the same", "one git log --follow a file", mine / one_by_one, FOLLOW_BOUND, spoken(mine),
            spoken(one_by_one), f"theirs extrapolated from {FOLLOWED} files",
        ),
        Line(
            f"changes of records, {len(idents)} versions of 12 records", "git cat-file --batch, yaml.compose (C)",
            (both - read) / theirs, RECORDS_BOUND, spoken(both - read), spoken(theirs),
            "ours without the pass over the history",
        ),
    ]  # fmt: skip


def _ready(root: Path) -> Chronicle:
    """A chronicle that has read the history and sorted it into cases."""
    found = Chronicle(root)
    assert found.lineage is not None
    return found
