"""What a shell may complete. It is loaded when a shell asks, never otherwise; a file nobody can read completes nothing.

Files of cases are looked through line by line and not read as a check reads them: somebody waits between two keys.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

import click
from click.shell_completion import CompletionItem, ShellComplete, add_completion_class, get_completion_class

from asfound.cli.main import VARIABLE
from asfound.folders import find_cases, find_root

Words = Iterable[tuple[str, str]]
"""What may stand there, and a word or two about it."""

_KEY = re.compile(r"([A-Za-z0-9][A-Za-z0-9_-]*):(?:\s|$)")
_RECORD = re.compile(r"[A-Z]-[a-z0-9-]+$")

_POWERSHELL = """\
Register-ArgumentCompleter -Native -CommandName asfound, asfound.exe -ScriptBlock {
    param($wordToComplete, $commandAst, $cursorPosition)
    $words = foreach ($one in $commandAst.CommandElements) {
        if ($one.Extent.EndOffset -lt $cursorPosition) { $one.Extent.Text.Trim('"', "'") }
    }
    $before = $env:%(variable)s, $env:ASFOUND_WORDS, $env:ASFOUND_WORD, $env:PYTHONIOENCODING
    try {
        $env:%(variable)s = 'powershell_complete'
        $env:ASFOUND_WORDS = @($words) -join "`n"
        $env:ASFOUND_WORD = $wordToComplete.Trim('"', "'")
        $env:PYTHONIOENCODING = 'ascii'
        asfound 2>$null | Where-Object { $_ } | ForEach-Object {
            $value, $help = $_ -split "`t", 2
            $shown = if ($value -match '\\s') { "'" + $value + "'" } else { $value }
            [System.Management.Automation.CompletionResult]::new($shown, $value, 'ParameterValue', $help)
        }
    } finally {
        $env:%(variable)s, $env:ASFOUND_WORDS, $env:ASFOUND_WORD, $env:PYTHONIOENCODING = $before
    }
}
"""


class PowerShellComplete(ShellComplete):
    """PowerShell, which click does not know: words by line in the environment, answers by line, parted by a tab.

    Names of files are left to the shell, which offers them where nothing is answered.
    """

    name = "powershell"
    source_template = _POWERSHELL

    def source_vars(self) -> Any:
        """What the script needs to know."""
        return {"variable": self.complete_var}

    def get_completion_args(self) -> tuple[list[str], str]:
        """The words before the one that is typed, and that one."""
        return os.environ.get("ASFOUND_WORDS", "").split("\n")[1:], os.environ.get("ASFOUND_WORD", "")

    def format_completion(self, item: CompletionItem) -> str:
        """One answer. The shell wants words to show, so a value without any is shown as itself."""
        said = " ".join(str(item.help or "").split())
        return f"{item.value}\t{said or item.value}"

    def complete(self) -> str:
        """All answers but those that ask for the names of files."""
        args, incomplete = self.get_completion_args()
        found = (one for one in self.get_completions(args, incomplete) if one.type == "plain" and one.value.isascii())
        return "\n".join(self.format_completion(one) for one in found)


def script(shell: str) -> str:
    """The script of a shell. It is the same on every machine: click would start bash to ask for its version."""
    add_completion_class(PowerShellComplete)
    kind = get_completion_class(shell)
    assert kind is not None
    made = kind(click.Command("asfound"), {}, "asfound", VARIABLE)
    return ShellComplete.source(made).rstrip("\n") + "\n"


class Known(click.types.StringParamType):
    """The type of a parameter, and besides what may stand there."""

    def __init__(self, under: str, words: Callable[[click.Context], Words]) -> None:
        self.name, self._words = under, words

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
        """What begins as typed. A repository that cannot be read completes nothing."""
        try:
            found = dict(self._words(ctx))
        except (OSError, ValueError, LookupError, click.ClickException):
            return []
        return [CompletionItem(word, help=said) for word, said in found.items() if word.startswith(incomplete)]


class _Named(click.types.StringParamType):
    """Names of files or folders, which the shell knows better."""

    def __init__(self, kind: str) -> None:
        self.name = kind

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
        """One answer that sends the shell to its own."""
        return [CompletionItem(incomplete, type=self.name)]


def teach(command: click.Command) -> click.Command:
    """Give the parameters of a command, and of those below it, what may stand there."""
    for one in command.params:
        words = _words_for(command, one)
        if isinstance(words, str):
            one.type = _Named(words)
        elif words is not None:
            one.type = Known(one.type.name, words)
    if isinstance(command, click.Group):
        for inner in command.commands.values():
            teach(inner)
    return command


def _words_for(command: click.Command, one: click.Parameter) -> Callable[[click.Context], Words] | str | None:
    if isinstance(one.type, click.Choice) or not isinstance(one.type, click.types.StringParamType):
        return None
    written = one.metavar or ""
    if written.startswith("DIR"):
        return "dir"
    for (name, of), words in _OWN.items():
        if one.name == name and (of is None or command.name == of):
            return words
    if "FILE" in written or written in ("PACK", "CERTIFICATE"):
        return "file"
    return _BY_METAVAR.get(written)


def _home(ctx: click.Context) -> Path:
    asked = ctx.params.get("root")
    return Path(asked) if asked else find_root(Path.cwd())


def _cases(ctx: click.Context) -> Iterator[tuple[str, str]]:
    for folder in _folders(_home(ctx)):
        lines = _lines(folder / "case.yml")
        told = {found[1]: line[found.end() :].strip().strip("\"'") for line in lines if (found := _KEY.match(line))}
        yield told.get("case", "").split(" #")[0].strip() or folder.name, told.get("title", "")


def cases_here(ctx: click.Context) -> str:
    """The cases somebody may have meant who named none, as a sentence; empty where there is none."""
    names = [name for name, _ in _cases(ctx)]
    shown, more = names[:_SHOWN], len(names) - _SHOWN
    return f"The cases here: {', '.join(shown)}{f' and {more} more' if more > 0 else ''}." if names else ""


_SHOWN = 12


def _folders(home: Path) -> list[Path]:
    return list(find_cases(home))


def _case(ctx: click.Context) -> list[Path]:
    """The folder of the case that stands among the words typed so far; all of them where none does.

    The words are asked for it and not the parser, which has nothing to say while an option still lacks its value.
    """
    folders = _folders(_home(ctx))
    typed = set(f"{os.environ.get('COMP_WORDS', '')} {os.environ.get('ASFOUND_WORDS', '')}".split())
    named = zip(_cases(ctx), folders, strict=True)
    meant = [folder for (name, _), folder in named if {name, folder.name, f"cases/{folder.name}"} & typed]
    return meant or folders


def _lines(file: Path) -> list[str]:
    try:
        return file.read_text("utf-8-sig", errors="replace").splitlines()
    except OSError:
        return []


def _heads(ctx: click.Context, *patterns: str) -> Iterator[tuple[str, str]]:
    """The first words of the records of some files: keys without indent, first cells."""
    for folder in _case(ctx):
        for file in sorted(one for pattern in patterns for one in folder.glob(pattern)):
            for line in _lines(file):
                head = line.split(",")[0].strip('"') if file.suffix == ".csv" else line.partition(":")[0]
                if _RECORD.match(head):
                    yield head, f"in {file.name}"


def _records(ctx: click.Context) -> Iterator[tuple[str, str]]:
    yield from _heads(ctx, "*.yml", "*.csv")
    for line in _lines(_home(ctx) / ".asfound" / "instruments.yml"):
        if _RECORD.match(head := line.partition(":")[0]):
            yield head, "an instrument"


def _taken_away(ctx: click.Context) -> Iterator[tuple[str, str]]:
    """The case first, where it is not every case, and then what is taken out of it."""
    yield from _cases(ctx)
    yield from _records(ctx)


def _items(ctx: click.Context) -> Iterator[tuple[str, str]]:
    return ((head, said) for head, said in _heads(ctx, "items.yml") if head.startswith("I-"))


def _roles(ctx: click.Context) -> Iterator[tuple[str, str]]:
    """The keys below `people:` of case.yml."""
    for folder in _case(ctx):
        within, depth = False, 0
        for line in _lines(folder / "case.yml"):
            indent = len(line) - len(line.lstrip())
            found = _KEY.match(line.strip())
            if not found or line.lstrip().startswith("#"):
                continue
            if indent == 0:
                within, depth = found[1] == "people", 0
            elif within and indent == (depth := depth or indent):
                yield found[1], "a role of case.yml"


def _gates(_ctx: click.Context) -> Iterator[tuple[str, str]]:
    from asfound.model.work import GateKind

    return ((str(one).replace(" ", "-"), "a gate") for one in GateKind)


def _rules(_ctx: click.Context) -> Iterator[tuple[str, str]]:
    from asfound.cli.explain import known_rules

    return ((entry.name, entry.title) for entry in known_rules())


def _starters(ctx: click.Context) -> Iterator[tuple[str, str]]:
    from asfound.assess import open_repository

    yield "list", "all of them"
    yield from ((name, one.title) for name, one in open_repository(_home(ctx)).book.starters.items())


def _devices(ctx: click.Context) -> Iterator[tuple[str, str]]:
    from asfound.assess import open_repository

    for one in open_repository(_home(ctx)).book.protocols.values():
        yield from ((kind, one.title) for kind in one.device_kinds)


def _protocols(ctx: click.Context) -> Iterator[tuple[str, str]]:
    from asfound.assess import open_repository

    return ((name, one.title) for name, one in open_repository(_home(ctx)).book.protocols.items())


def _sets(ctx: click.Context) -> Iterator[tuple[str, str]]:
    from asfound.assess import open_repository

    return ((name, one.title) for name, one in open_repository(_home(ctx)).book.sets.items())


def _tests(ctx: click.Context) -> Iterator[tuple[str, str]]:
    from asfound.assess import open_repository

    for one in open_repository(_home(ctx)).book.protocols.values():
        yield from ((name, test.title) for name, test in one.tests.items())


def _calculations(_ctx: click.Context) -> Iterator[tuple[str, str]]:
    from asfound.physics.calc import calculations

    return ((name, one.title) for name, one in calculations().items())


def _sheets(ctx: click.Context) -> Iterator[tuple[str, str]]:
    return ((head, said) for head, said in _heads(ctx, "sheets.yml") if head.startswith("S-"))


_OWN: dict[tuple[str, str | None], Callable[[click.Context], Words]] = {
    ("case", "new"): lambda _ctx: (),
    ("device", "new"): _devices,
    ("case", None): _cases,
    ("cases", None): _cases,
    ("rule", "explain"): _rules,
    ("starter", None): _starters,
    ("name", "calc"): _calculations,
    ("name", "sheet"): _sheets,
    ("kind", "gate"): _gates,
    ("items", None): _items,
    ("item", None): _items,
    ("named", "without"): _taken_away,
    ("refs", None): _records,
    ("ref", None): _records,
    ("protocols", "plan"): _protocols,
    ("protocol", "explain"): _protocols,
    ("limit_sets", "plan"): _sets,
    ("tests", "plan"): _tests,
}
"""By a parameter's name and its command's; None: of any command."""

_BY_METAVAR: dict[str, Callable[[click.Context], Words]] = {"ROLE": _roles}
