"""Completion in the shells themselves: what a real bash, zsh and fish offer in the repository of the demonstration.

PowerShell is held against click's protocol alone: there is none here to try its script in.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from asfound.cli.cmd_completion import SHELLS
from asfound.cli.completing import Known, script, teach
from asfound.cli.main import COMMANDS, cli

from .support import PROGRAM, ROOT

CASES = {
    "bed-moved", "incubator-probe", "monitor-electrodes", "no-shock", "return-pad-lesion", "syringe-emptied",
    "tingle-isolated-room", "ventilator-disconnect", "warmer-calf",
}  # fmt: skip

BASH = """\
eval "$(asfound completion bash)"
COMP_LINE=$1; read -r -a COMP_WORDS <<< "$1"
[[ $1 == *' ' ]] && COMP_WORDS+=('')
COMP_CWORD=$(( ${#COMP_WORDS[@]} - 1 ))
_asfound_completion asfound 2>/dev/null
printf '%s\\n' "${COMPREPLY[@]}"
"""
ZSH = """\
emulate zsh; autoload -Uz compinit; compinit -u -D
eval "$(asfound completion zsh)"
compadd() { local name=${@[-1]}; print -l -- "${(@P)name}" }
_describe() { local name=$3; local -a all; all=("${(@P)name}"); print -l -- ${all%%:*} }
words=("${(@s: :)1}"); CURRENT=$#words
_asfound_completion
"""
FISH = 'asfound completion fish | source; complete -C "$argv[1]"'
TYPED = (
    ("asfound chec", {"check"}),
    ("asfound check return", {"return-pad-lesion"}),
    ("asfound check --fo", {"--format"}),
    ("asfound check --format ju", {"junit"}),
    ("asfound explain power-before", {"power-before-inspection"}),
    ("asfound explain dead-l", {"dead-link"}),
    ("asfound calc trump", {"trumpet"}),
    ("asfound new --device fluid", {"fluid-warmer"}),
    ("asfound gate bed-moved safe", {"safe-to-connect"}),
    ("asfound without no-shock M-1", None),
)


def environment(**more: str) -> dict[str, str]:
    programs = os.pathsep.join((str(Path(sys.executable).parent), os.environ["PATH"]))
    return {**os.environ, "PATH": programs, "PYTHONPATH": str(PROGRAM), "LC_ALL": "C.UTF-8", **more}


def offered(shell: str, typed: str) -> set[str]:
    """What a shell offers behind a line that was typed as far as this."""
    start = {
        "bash": ["bash", "--norc", "-c", BASH, "bash", typed], "zsh": ["zsh", "-f", "-c", ZSH, "zsh", typed],
        "fish": ["fish", "--no-config", "-c", FISH, typed],
    }[shell]  # fmt: skip
    done = subprocess.run(
        start, cwd=ROOT, env=environment(), capture_output=True, text=True, encoding="utf-8", check=False, timeout=120
    )
    assert "rror" not in done.stderr, done.stderr
    return {line.partition("\t")[0].strip() for line in done.stdout.splitlines() if line.strip()}


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_a_shell_offers_what_may_stand_there(shell: str) -> None:
    if shutil.which(shell) is None:
        pytest.skip(f"there is no {shell} on the path")
    for typed, expected in TYPED:
        found = offered(shell, typed)
        if expected is None:
            assert "M-1" in found and "M-10" in found
        else:
            assert found == expected, typed
    assert offered(shell, "asfound check ") == CASES
    assert offered(shell, "asfound trace --case bed-moved F-1") >= {"F-1"}


def powershell(*words: str, typed: str = "", at: Path = ROOT, **more: str) -> Iterator[tuple[str, str]]:
    """What the program answers the script of PowerShell."""
    asked = {"_ASFOUND_COMPLETE": "powershell_complete", "ASFOUND_WORDS": "\n".join(words), "ASFOUND_WORD": typed}
    done = subprocess.run(
        [sys.executable, "-m", "asfound"], cwd=at, env=environment(**asked, **more), capture_output=True, check=False
    )
    assert done.stderr == b"", done.stderr
    for line in done.stdout.decode("ascii").splitlines():
        if line:
            value, _, said = line.partition("\t")
            yield value, said


def test_powershell_is_answered_by_value_and_words() -> None:
    answered = dict(powershell("asfound", typed="comp"))
    assert set(answered) == {"compare", "completion"} and answered["compare"].startswith("Say what a change does")
    assert set(dict(powershell("asfound", "check"))) == CASES
    assert dict(powershell("asfound", "explain", typed="dead-l"))["dead-link"].startswith("Every link")
    assert dict(powershell("asfound", "verify", typed="x", PYTHONIOENCODING="ascii")) == {}, "files are the shell's"
    made = script("powershell")
    assert made.startswith("Register-ArgumentCompleter -Native -CommandName asfound")
    assert made.count("{") == made.count("}") and "%" not in made


def test_a_broken_repository_completes_nothing_and_says_nothing(tmp_path: Path) -> None:
    assert list(powershell("asfound", "check", at=tmp_path)) == []
    case = tmp_path / "cases" / "odd ä, one"
    case.mkdir(parents=True)
    (case / "case.yml").write_bytes(b"case: [\xff\x00\ntitle: x\n")
    (case / "items.yml").mkdir()
    (tmp_path / ".asfound").write_bytes(b"no folder")
    for words in (("check",), ("trace",), ("gate", "x", "sealed"), ("explain", "--starter"), ("new", "--device")):
        list(powershell("asfound", *words, at=tmp_path))


def test_every_parameter_that_names_a_case_or_a_file_is_completed() -> None:
    context = click.Context(cli, resilient_parsing=True)
    for name in COMMANDS:
        found = cli.get_command(context, name)
        assert found is not None
        teach(found)
        for command in (found, *(found.commands.values() if isinstance(found, click.Group) else ())):
            for one in command.params:
                if one.name in ("case", "cases") and name != "new" and one.metavar != "DIR":
                    assert isinstance(one.type, Known), f"{name} {one.name}"
                if (one.metavar or "").startswith(("FILE", "DIR")):
                    assert one.type.name in ("file", "dir"), f"{name} {one.name}"


@pytest.mark.parametrize("shell", SHELLS)
def test_the_script_of_a_shell_is_printed_the_same_everywhere(shell: str) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "asfound", "completion", shell],
        env=environment(PATH=""),
        capture_output=True,
        check=False,
    )
    assert (done.returncode, done.stdout, done.stderr) == (0, script(shell).encode(), b"")
