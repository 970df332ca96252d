"""A case from its first hour to its third edition: real git, real keys, the program in processes of its own.

What happens, commit by commit: who may sign; what was impounded; a preservation edition; the examination; two
approvals; edition 2; a reading that was typed wrongly, which voids both; two approvals again; edition 3.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path

from tests.rules.signing import key, signers
from tests.rules.support import BASE, CASE
from tests.support.correction import typed_again
from tests.support.repository import Repo
from tests.unit.cli.support import Done, apart

LATER = (
    "findings.yml", "explanations.yml", "conclusion.yml", "sheets.yml", "readings", "plan.yml", "gates.yml",
    "inspection.csv", "statements.yml", "timeline.csv",
)  # fmt: skip
"""What the base case holds that nobody has in the first hour."""
REASON = "reading R-flow-4 was typed wrongly"
WHO = {"GIT_COMMITTER_NAME": "A. Bench", "GIT_COMMITTER_EMAIL": "bench@example.org"}
AUTHORS = "authors:\n  bench@example.org: examiner\n"


@dataclass
class Story:
    """The repository, and what every step printed, by the name of the step."""

    root: Path
    repo: Repo
    said: dict[str, Done] = field(default_factory=dict)
    commits: dict[str, str] = field(default_factory=dict)

    @property
    def home(self) -> Path:
        """The case folder."""
        return self.root / CASE

    def run(self, *arguments: str, step: str = "") -> Done:
        """`asfound ARGUMENTS` in the repository."""
        done = apart(self.root, *arguments, env=WHO)
        if step:
            self.said[step] = done
        return done

    def good(self, *arguments: str, step: str = "") -> Done:
        """The same, and it has to succeed."""
        done = self.run(*arguments, step=step)
        assert done.code == 0, (arguments, done.out, done.err)
        return done

    def commit(self, message: str) -> str:
        """Commit everything."""
        self.commits[message] = self.repo.commit(message)
        return self.commits[message]

    def approve(self, day: str) -> None:
        """Both sign, each with a key of their own."""
        self.good("approve", "base", "--role", "examiner", "--key", str(key("examiner-1")), "--on", day)
        self.good("approve", "base", "--role", "reviewer", "--key", str(key("second")), "--on", day)

    def amend(self) -> None:
        """Type the reading again."""
        flow = self.home / "readings" / "flow.csv"
        text = flow.read_text()
        flow.write_text(typed_again(text, "4,100,111.9", "4,100,111.7"))


def begin(root: Path) -> Story:
    """An empty repository that says who may sign."""
    root.mkdir(parents=True, exist_ok=True)
    shutil.copytree(BASE / ".asfound", root / ".asfound")
    for name, text in signers().items():
        assert isinstance(text, str)
        (root / name).write_text(text + (AUTHORS if name.endswith("roles.yml") else ""))
    story = Story(root, Repo(root))
    story.commit("say who may sign")
    return story


def impound(story: Story) -> None:
    """The first hour: things, custody, scene, photographs."""
    shutil.copytree(BASE / CASE, story.home)
    for name in LATER:
        place = story.home / name
        shutil.rmtree(place) if place.is_dir() else place.unlink()
    head = story.home / "case.yml"
    head.write_text(head.read_text().replace("stage: in review", "stage: open"))
    custody = story.home / "custody.csv"
    custody.write_text("".join(custody.read_text().splitlines(keepends=True)[:-1]))
    story.commit("impound what was attached")


def examine(story: Story) -> None:
    """The rest of the case."""
    shutil.copytree(BASE / CASE, story.home, dirs_exist_ok=True)
    story.commit("examine, measure, conclude")


def tell(root: Path) -> Story:
    """The whole story."""
    story = begin(root)
    impound(story)
    story.run("issue", "base", "--on", "2026-03-05", step="report while open")
    story.good("issue", "base", "--preservation", "--on", "2026-03-05", step="edition 1")
    story.commit("issue the preservation edition")
    story.good("issue", "base", "--tag", step="tag 1")
    examine(story)
    story.run("issue", "base", "--on", "2026-03-20", step="without approvals")
    story.approve("2026-03-20")
    story.run("issue", "base", "--on", "2026-03-20", "--reason", "the examination is done", step="uncommitted")
    story.commit("approve")
    story.good("issue", "base", "--on", "2026-03-20", "--reason", "the examination is done", step="edition 2")
    story.commit("issue edition 2")
    story.good("issue", "base", "--tag", step="tag 2")
    story.run("issue", "base", "--on", "2026-03-21", "--reason", "once more", step="nothing new")
    story.amend()
    story.commit("amend a reading")
    story.run("check", "--on", "2026-03-22", step="check after the amendment")
    story.run("issue", "base", "--on", "2026-03-22", "--reason", REASON, step="void")
    story.approve("2026-03-22")
    story.commit("approve again")
    story.run("issue", "base", "--on", "2026-03-22", step="no reason")
    story.good("issue", "base", "--on", "2026-03-22", "--reason", REASON, step="edition 3")
    story.commit("issue edition 3")
    story.good("issue", "base", "--tag", step="tag 3")
    return story


def copy(story: Story, root: Path) -> Story:
    """The same repository once more, to be tampered with."""
    shutil.copytree(story.root, root, symlinks=True)
    again = Repo(root)
    again._minute = 40
    return Story(root, again, dict(story.said), dict(story.commits))


KILLER = """\
import os, pathlib, signal, sys
count, steps = 0, int(sys.argv.pop(1))
def killing(work, always=False):
    def call(*arguments, **more):
        global count
        if always or any("editions" in str(one) for one in arguments):
            count += 1
            if count == steps:
                os.kill(os.getpid(), signal.SIGKILL)
        return work(*arguments, **more)
    return call
for name in ("mkdir", "rename", "fsync", "replace", "rmdir", "unlink"):
    setattr(os, name, killing(getattr(os, name), name == "fsync"))
pathlib.Path.open = killing(pathlib.Path.open)
from asfound.cli import main
sys.argv[0] = "asfound"
main()
"""
"""The program, killed by the system at the given step of its writing."""


def killed(story: Story, steps: int, *arguments: str) -> int:
    """`asfound ARGUMENTS`, killed at a step; its exit code (-9 where the step was reached)."""
    done = subprocess.run(
        [sys.executable, "-c", KILLER, str(steps), *arguments], cwd=story.root, capture_output=True, check=False
    )
    return done.returncode
