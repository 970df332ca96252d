"""The cases below tests/cases/, through the real command: each must say what its `<name>.expected.txt` lists.

`python -m tests.twins` runs them all and says what differs; the exit code is 1 if anything does. The lines are
`file:line rule`, the file as it stands in the case. A case in review must be refused at each; an open one is refused
nowhere, and lists each as still needed.
"""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[1]
HOME = ROOT / "tests/cases"


@dataclass(frozen=True, slots=True)
class Twin:
    """A case with its expected problems. `root` is the repository it belongs to, relative to this one."""

    name: str
    case: str
    root: str
    open: bool
    expected: tuple[str, ...]

    @property
    def arguments(self) -> list[str]:
        """What follows `asfound`."""
        return ["check", self.case, *(["--root", self.root] if self.root else [])]


def twins() -> list[Twin]:
    """Every case that has an expectation. Raises ValueError where one is missing for the other."""
    lists = {path.name.removesuffix(".expected.txt") for path in HOME.glob("*.expected.txt")}
    folders = {path.name for path in HOME.iterdir() if path.is_dir()}
    if lists != folders or not lists:
        raise ValueError(f"tests/cases: without a partner are {sorted(lists ^ folders)}")
    return [_twin(name) for name in sorted(lists)]


def _twin(name: str) -> Twin:
    folder, root = HOME / name, ""
    if not (folder / "case.yml").is_file():
        # A repository of its own, with its own .asfound, around one case.
        (head,) = (folder / "cases").glob("*/case.yml")
        folder, root = head.parent, f"tests/cases/{name}"
    is_open = "stage: open" in (folder / "case.yml").read_text(encoding="utf-8").splitlines()
    expected = (HOME / f"{name}.expected.txt").read_text(encoding="utf-8").splitlines()
    return Twin(name, folder.relative_to(ROOT).as_posix(), root, is_open, tuple(line for line in expected if line))


def differences(twin: Twin, *more: str) -> list[str]:
    """What the command says otherwise than expected, one sentence each; `more` are further arguments."""
    command = [sys.executable, "-m", "asfound", *twin.arguments, "--format", "json", *more]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, encoding="utf-8", check=False)
    wanted = 0 if twin.open else 1
    if done.returncode != wanted:
        return [
            f"the exit code is {done.returncode}, {wanted} was expected; {done.stderr.strip() or 'nothing more said'}"
        ]
    level = "still needed" if twin.open else "reject"
    said = {
        f"{problem['path'].removeprefix(folder + '/')}:{problem['line']} {problem['rule']}"
        for folder, problems in json.loads(done.stdout)["cases"].items()
        for problem in problems
        if problem["level"] == level
    }
    missing = [f"expected, and not said: {line}" for line in twin.expected if line not in said]
    return missing + [f"said, and not expected: {line}" for line in sorted(said - set(twin.expected))]


def main() -> int:
    """Run all, print what differs; the exit code."""
    wrong = 0
    for twin in twins():
        print(f"asfound {' '.join(twin.arguments)}", flush=True)
        found = differences(twin)
        for line in found:
            print(f"  {line}")
        wrong += bool(found)
        if not found:
            print(f"  {'open' if twin.open else 'refused'} as expected: {len(twin.expected)} of {len(twin.expected)}")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
