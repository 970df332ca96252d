"""`asfound normalise`."""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Callable, Iterable
from contextlib import nullcontext
from pathlib import Path
from typing import Any

import click
from msgspec import structs

from asfound import assess, desk, emit
from asfound.cli.files import write_whole
from asfound.cli.refusal import told_disk
from asfound.desk import Refused
from asfound.desk.normal import Answers, Fate, Found, Normal, Question, normalise
from asfound.desk.write import read_whole
from asfound.intake.files import CSV_BYTES
from asfound.intake.text import megabytes

_SIGNS = {"comma": ",", "semicolon": ";", "tab": "\t", "stroke": "|"}
_FIELDS = {"--decimal": "decimal", "--separator": "separator", "--encoding": "encoding"}
_SHOWN = 5


def run_normalise(files: tuple[str, ...], to: str | None, in_place_copy: bool, everything: bool, **given: Any) -> int:
    """Tell of each file, and write what was asked for; the exit code."""
    if to is not None and in_place_copy:
        raise click.UsageError("--to and --in-place-copy are two places for the copy; give one of them")
    if to is not None and not Path(to).is_dir():
        raise click.UsageError(f"there is no folder {to}")
    answers = Answers(given["encoding"] or "", _SIGNS.get(given["separator"] or "", ""), given["decimal"] or "")
    write: Callable[[Path, Normal], None] | None = None
    if to is not None:
        folder = Path(to)
        write = lambda file, made: _to(folder, file, made)  # noqa: E731
    elif in_place_copy:
        write = _in_place
    return max([_one(Path(name), answers, write, everything) for name in dict.fromkeys(files)])


def _one(file: Path, answers: Answers, write: Callable[[Path, Normal], None] | None, everything: bool) -> int:
    name = emit.plain(str(file))
    try:
        made = _normal(file, answers)
        if made.question is not None:
            _tell(name, made.found, everything)
            return _asked(name, made.question)
        if made.clean:
            click.echo(f"{name}: nothing to mend.")
            _tell(name, made.found, everything)
            return 0
        _tell(name, made.found, everything)
        if made.copy == made.data:
            click.echo(f"{name}: nothing that can be mended by copy; {_things(len(made.left))} left to settle.")
            return 1
        if write is None:
            click.echo(f"{name}: {_things(len(made.mended))} can be put right by copy: --to DIR, or --in-place-copy.")
            return 1
        write(file, made)
    except Refused as refused:
        for reason in refused.reasons:
            click.echo(f"{name}: {emit.plain(reason)}.", err=True)
        return 1
    except OSError as error:
        return told_disk(error, name=name)
    return 1 if made.left else 0


def _normal(file: Path, answers: Answers) -> Normal:
    data = read_whole(file)
    if data is None:
        raise Refused("there is no such file")
    if len(data) > CSV_BYTES:
        raise Refused(f"it has {megabytes(len(data))}; at most {megabytes(CSV_BYTES)} is read")
    made = normalise(data, answers)
    # On a terminal the person who holds the paper is asked; a run without one never waits for anybody.
    while made.question is not None and sys.stdin.isatty() and sys.stderr.isatty():
        answers = structs.replace(answers, **{_FIELDS[made.question.option]: _ask(made.question)})
        made = normalise(data, answers)
    return made


def _ask(question: Question) -> str:
    click.echo(emit.plain(question.asks), err=True)
    for number, (_, means) in enumerate(question.choices, 1):
        click.echo(f"  {number}: {emit.plain(means)}", err=True)
    chosen = click.prompt("Which", type=click.IntRange(1, len(question.choices)), err=True)
    return question.choices[chosen - 1][0]


def _asked(name: str, question: Question) -> int:
    click.echo(f"{name}: {emit.plain(question.asks)}", err=True)
    words = {sign: word for word, sign in _SIGNS.items()}
    for answer, means in question.choices:
        click.echo(f"    {question.option} {words.get(answer, answer)}: {emit.plain(means)}", err=True)
    click.echo(f"{name}: nothing was written; look at the paper and answer by the option.", err=True)
    return 1


def _tell(name: str, found: Iterable[Found], everything: bool) -> None:
    """Each place, by kind; of a kind the first few, unless all are asked for."""
    kinds: dict[tuple[Fate, str], list[Found]] = {}
    for one in found:
        kinds.setdefault((one.fate, one.kind), []).append(one)
    for (_, kind), listed in kinds.items():
        for one in listed if everything else listed[:_SHOWN]:
            click.echo(f"{name}: {one.where}: {emit.plain(one.found)}; {emit.plain(one.done)}")
        if len(listed) > _SHOWN and not everything:
            click.echo(f"{name}: {len(listed) - _SHOWN} more of {kind}; --all, or the log, lists every one")


def _to(folder: Path, file: Path, made: Normal) -> None:
    copy, log = folder / file.name, folder / f"{file.name}.log.txt"
    if copy.exists() and copy.resolve() == file.resolve():
        raise Refused(f"{folder} is where the original lies; name another folder, or --in-place-copy")
    for place in (copy, log):
        if place.exists():
            raise Refused(f"{place} stands there already, and nothing is written over it")
    assert made.copy is not None
    write_whole(copy, made.copy)
    write_whole(log, made.log(file.name, file.name).encode("utf-8"))
    click.echo(f"{emit.plain(str(copy))}: the copy, {_done(made)}; the log beside it says of each where and how.")


def _in_place(file: Path, made: Normal) -> None:
    """The original is copied away and read back before its place is taken."""
    case = _case_of(file)
    assert made.copy is not None
    with desk.alone(case) if case else nullcontext():
        folder = desk.real_folder(case, "evidence", make=True) if case else file.resolve().parent
        stem = file.name.removesuffix(".csv")
        # Beside a sheet outside of a case nothing may end like one: a pattern would take the original for another.
        kept = folder / (f"{stem}-as-saved.csv" if case else f"{file.name}.as-saved")
        log = folder / (f"{stem}-normalised.txt" if case else f"{file.name}.normalised.txt")
        if log.exists():
            raise Refused(f"{log.name} stands there already; a second run would hide the first, so put it aside")
        desk.copy_file(file, kept, hashlib.sha256(made.data).hexdigest())
        write_whole(log, made.log(kept.name, file.name).encode("utf-8"))
        desk.replace_file(file, made.data, made.copy)
    click.echo(f"{emit.plain(str(file))}: {_done(made)}. The original is {emit.plain(_near(kept))}, byte for byte.")
    if case:
        what = f"The sheet {file.name} as the spreadsheet saved it."
        click.echo("Register original and log, so that the check knows them:", err=True)
        for place, says in ((kept, what), (log, f"What was put right in the sheet {file.name}, and where.")):
            files = f'"{emit.plain(_near(place))}" --case "{emit.plain(_near(case))}"'
            click.echo(f'    asfound evidence add {files} --kind data --by ROLE --what "{emit.plain(says)}"', err=True)


def _near(place: Path) -> str:
    """A place as one would type it from here."""
    here = Path.cwd().resolve()
    return place.relative_to(here).as_posix() if place.is_relative_to(here) and place != here else str(place)


def _case_of(file: Path) -> Path | None:
    """The case a file belongs to; None where it lies in none."""
    place = file.resolve()
    for folder in place.parents:
        if (folder / "case.yml").is_file() and folder in assess.find_cases(assess.find_root(folder)):
            return folder
    return None


def _done(made: Normal) -> str:
    left = f", {_things(len(made.left))} left to settle" if made.left else ""
    return f"{_things(len(made.mended))} put right{left}"


def _things(count: int) -> str:
    return "1 thing" if count == 1 else f"{count} things"
