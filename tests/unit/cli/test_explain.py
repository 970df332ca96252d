"""`asfound explain`, `--version`, and that neither they nor the arguments load what only a check needs."""

from __future__ import annotations

import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest

from asfound.cli.explain import known_rules
from asfound.problems import Entry

from .support import apart, run


def test_every_rule_is_listed_once_with_level_and_title(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    done = run(capsys, monkeypatch, tmp_path, "explain")
    assert (done.code, done.err) == (0, "")
    lines = done.out.splitlines()
    assert [line.split()[0] for line in lines] == sorted(entry.name for entry in known_rules())
    for line, entry in zip(lines, known_rules(), strict=True):
        assert line.endswith(f"{entry.level:<12}  {entry.title}")


@pytest.mark.parametrize("entry", list(known_rules()), ids=lambda entry: entry.name)
def test_a_rule_says_what_why_on_whose_authority_and_how_to_mend_it(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path, entry: Entry
) -> None:
    done = run(capsys, monkeypatch, tmp_path, "explain", entry.name)
    assert (done.code, done.err) == (0, "")
    said = " ".join(done.out.split())
    for part in (entry.name, entry.title, entry.reason, f"{entry.source} ({entry.status})", entry.mend):
        assert " ".join(part.split()) in said
    assert ("Shown at work, and in nothing that is handed over." in said) == entry.private
    assert ("Nothing lifts it." in said) == (entry.level == "reject" and not entry.liftable)
    assert max(len(line) for line in done.out.splitlines()) <= 120


def test_the_version_is_that_of_the_package(tmp_path: Path) -> None:
    done = apart(tmp_path, "--version")
    assert (done.code, done.out, done.err) == (0, f"asfound {version('asfound')}\n", "")


@pytest.mark.parametrize("arguments", [(), ("--version",), ("--help",)], ids=["import", "version", "help"])
def test_the_command_line_loads_nothing_it_does_not_need(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    heavy = (
        "pydantic",
        "scipy",
        "yaml",
        "mkdocs",
        "plotly",
        "numpy",
        "PIL",
        "jinja2",
        "rich",
        "holidays",
        "markdown_it",
    )
    call = f"sys.argv = ['asfound', *{arguments!r}]\ntry: main()\nexcept SystemExit: pass\n" if arguments else ""
    script = (
        f"import sys\nfrom asfound.cli import main\n{call}"
        f"print('LOADED', *[name for name in {heavy!r} if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=tmp_path, capture_output=True, encoding="utf-8", check=True
    )
    assert done.stdout.splitlines()[-1] == "LOADED"
