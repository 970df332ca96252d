"""`asfound new`."""

from __future__ import annotations

import re
import shlex
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import click

from asfound import assess, desk, emit
from asfound.assess import Repository
from asfound.cli.new_words import EVENTS, HARMED, OUTCOMES
from asfound.cli.refusal import told_disk, told_refusal
from asfound.cli.schema import modeline
from asfound.cli.yes_or_no import yes_or_no
from asfound.desk import Answers, InUse, Refused
from asfound.model.base import ROLE_PATTERN, Moment
from asfound.model.event import CASE_ID_PATTERN
from asfound.model.limits import Book
from asfound.model.reporting import Reporting
from asfound.model.things import ItemRole

TIME = "as in 2026-05-04 10:30 +02:00"
_NOT_KNOWN = "empty: not known"
NEEDED = ("in_use", "device", "event", "harmed", "told_at", "time_source", "where", "account", "title")
"""Without these there is no case; the rest may come later."""

_FIRST = ("items.yml", "gates.yml")
"""What is written before case.yml, which makes a folder a case."""

_NO_IDENTITY = '"{}" is no identity; small letters, digits and hyphens, 40 at most, are needed'


def run_new(root: str | None, **given: Any) -> int:
    """Write the first files of a case, or say why not; the exit code."""
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    home = home.resolve()
    shared = assess.open_repository(home)
    book = shared.book
    if _terminal():
        try:
            _ask(given, shared, home)
        except click.Abort:
            _how_to_go_on(given, root)
            raise
    answers = _answers(given, book)
    folder = home / "cases" / answers.case
    try:
        names = ("items.yml", "gates.yml", "case.yml")
        texts = desk.new_case(answers, {name: modeline(home, folder / name) for name in names})
        _free(home, folder, answers.case)
        left = _taken_up(folder, answers.case, texts)
        place = desk.real_folder(home, f"cases/{answers.case}", make=True)
        for name, text in texts.items():
            if name not in left:
                desk.replace_file(place / name, None, text.encode("utf-8"))
    except Refused as refused:
        return told_refusal(refused)
    except OSError as error:
        return told_disk(
            error, "What was written by then is whole, and the same answers take it up when you run this again."
        )
    for name, text in texts.items():
        for number, line in enumerate(text.splitlines(), start=1):
            click.echo(emit.plain(f"cases/{answers.case}/{name}:{number} {line}"))
    if not answers.safe_at:
        click.echo(
            "First of all: see that the device is out of use and that nobody tries it again; then asfound gate.",
            err=True,
        )
    click.echo(f"What is still needed: asfound check cases/{answers.case}", err=True)
    return 0


def _free(home: Path, folder: Path, case: str) -> None:
    if (folder.exists() or folder.is_symlink()) and not _cut_off(folder):
        raise Refused(f"cases/{case} is there already; give the new case another identity with --id")
    for other in assess.find_cases(home):
        head = (other / "case.yml").read_text("utf-8", errors="replace")
        if re.search(rf"^case:\s*[\"']?{re.escape(case)}[\"']?\s*(?:#|$)", head, re.MULTILINE):
            where = other.resolve().relative_to(home).as_posix()
            raise Refused(f"the case {case} stands in {where}; give the new one another identity with --id")


def _cut_off(folder: Path) -> bool:
    """Whether a folder may be what was left of an `asfound new` that was cut off: case.yml, which comes last, lacks."""
    if folder.is_symlink() or not folder.is_dir():
        return False
    return all(one.name in _FIRST or one.name.startswith(desk.TEMPORARY) for one in folder.iterdir())


def _taken_up(folder: Path, case: str, texts: Mapping[str, str]) -> tuple[str, ...]:
    """Files that were left, and are those that would be written, byte for byte; else somebody's work would be lost."""
    left = tuple(name for name in _FIRST if (folder / name).exists())
    for name in left:
        if (folder / name).read_bytes() != texts.get(name, "").encode("utf-8"):
            raise Refused(
                f"cases/{case}/{name} is there without a case.yml, and holds other lines than these answers give; "
                f"look at it, put it aside, and run this again"
            )
    return left


# From options to answers


def _answers(given: Mapping[str, Any], book: Book) -> Answers:
    wrong: list[str] = []
    lacking = [f"--{name.replace('_', '-')}" for name in NEEDED if not given[name]]
    if not given["safe_at"] and not given["not_safe"]:
        lacking.insert(0, "--safe-at with --safe-by and --safe-how, or --not-safe")
    if lacking:
        wrong.append(f"a case is opened with: {', '.join(lacking)} (on a terminal they are asked for)")
    if given["safe_at"] and given["not_safe"]:
        wrong.append("--safe-at and --not-safe contradict each other")
    if given["safe_at"] and not given["safe_by"]:
        wrong.append("--safe-at needs --safe-by, the role of whoever took it out of use")
    if bool(given["asked_by"]) != bool(given["asked_at"]) or bool(given["asked_by"]) != bool(given["asked_how"]):
        wrong.append("--asked-by, --asked-at and --asked-how go together")
    for name in ("safe_at", "collected_at", "asked_at", "told_at", "aware_at"):
        if given[name] and (fault := _time(given[name])):
            wrong.append(f"--{name.replace('_', '-')} {fault}")
    for name in ("safe_by", "collected_by", "asked_by", "examiner"):
        if given[name] and (fault := _role(given[name])):
            wrong.append(f"--{name.replace('_', '-')} {fault}")
    if given["device"] and (fault := _kind(book)(given["device"])):
        wrong.append(f"--device {fault}")
    things, faults = _things(given["in_use"], given["not_impounded"])
    wrong += faults
    case = given["case"] or desk.identity(given["told_at"] or "", given["device"] or "")
    if given["case"] and not re.fullmatch(CASE_ID_PATTERN, given["case"]):
        wrong.append(f"--id {_NO_IDENTITY.format(given['case'])}")
    if wrong:
        raise click.UsageError("; ".join(wrong))
    text = {name: " ".join(str(given[name] or "").split()) for name in ("title", "where", "account", "time_source")}
    return Answers(
        case, text["title"], given["device"], given["event"], given["harmed"], given["told_at"].strip(),
        text["time_source"], text["where"], text["account"], given["safe_at"] or "", given["safe_by"] or "",
        given["safe_how"] or "", things, given["collected_by"] or "", given["collected_at"] or "",
        given["asked_by"] or "", given["asked_at"] or "", given["asked_how"] or "", given["examiner"] or "",
        tuple(given["jurisdiction"]), given["outcome"] or "", given["aware_at"] or "",
    )  # fmt: skip


def _identity(home: Path, text: str) -> str:
    """What stands against an identity, as a sentence without its full stop; empty where nothing does."""
    if not re.fullmatch(CASE_ID_PATTERN, text):
        return _NO_IDENTITY.format(text)
    try:
        _free(home, home / "cases" / text, text)
    except Refused as refused:
        return str(refused).partition(";")[0] + "; another identity is needed"
    return ""


def _things(in_use: tuple[str, ...], left: tuple[str, ...]) -> tuple[tuple[InUse, ...], list[str]]:
    parted = [(*_role_and_name(text), text) for text in in_use]
    names = [what.casefold() for _, what, _ in parted]
    whys: dict[str, str] = {}
    wrong: list[str] = []
    for text in left:
        what, why = _what_and_why(text, names)
        if not why:
            wrong.append(f'--not-impounded "{text}" lacks its reason: "WHAT: WHY" is needed')
        if names.count(what) > 1:
            wrong.append(f'--not-impounded "{what}" names {names.count(what)} things; {_TELL_APART}')
        elif what not in names:
            wrong.append(f'--not-impounded "{what}" names nothing that was in use; write it as under --in-use')
        whys[what] = why
    found: list[InUse] = []
    for number, (role, what, text) in enumerate(parted):
        if not what:
            wrong.append(f'--in-use "{text}" names no thing')
        role = role or (ItemRole.MAIN_DEVICE if number == 0 else ItemRole.ACCESSORY)
        found.append(InUse(what, role, whys.get(what.casefold(), "")))
    return tuple(found), wrong


_TELL_APART = 'a name that no other thing has is needed, as in "Sling, blue"'


def _role_and_name(text: str) -> tuple[ItemRole | None, str]:
    """What was typed of a thing: a role only where it is one, since a name may hold a colon too."""
    head, _, tail = text.partition(":")
    if tail and head.strip() in set(ItemRole):
        return ItemRole(head.strip()), tail.strip()
    return None, text.strip()


def _what_and_why(text: str, names: list[str]) -> tuple[str, str]:
    """The thing's name, in small letters, and the reason. It parts at the colon after a name that is known."""
    cuts = [at for at, sign in enumerate(text) if sign == ":"]
    known = [at for at in cuts if text[:at].strip().casefold() in names]
    at = known[-1] if known else cuts[0] if cuts else len(text)
    return text[:at].strip().casefold(), " ".join(text[at + 1 :].split())


def _time(text: str) -> str:
    try:
        Moment.read(text.strip())
    except ValueError:
        return f'"{text}" is no time with its offset from UTC; one {TIME} is needed'
    return ""


def _role(text: str) -> str:
    if re.fullmatch(ROLE_PATTERN, text):
        return ""
    if not text.strip():
        return "nothing was typed; a role is needed, as in ward-nurse: unknown-person where nobody knows who it was"
    return f'"{text}" is no role; small letters, digits and hyphens, as in ward-nurse, are needed'


def _kind(book: Book) -> Callable[[str], str]:
    known = kinds(book)

    def check(text: str) -> str:
        if text in known:
            return ""
        typed = f'"{text}" is a kind no protocol knows' if text.strip() else "nothing was typed"
        return f"{typed}; there is {', '.join(known)}. Where none of them fits, any-device has the tests for all"

    return check


def kinds(book: Book) -> tuple[str, ...]:
    """Every kind of device that a protocol is for."""
    return tuple(sorted({kind for one in book.protocols.values() for kind in one.device_kinds}))


# Questions


def places(known: Reporting) -> tuple[str, ...]:
    """The words of `jurisdiction` that clocks go by: the first of each set, as the union before its countries."""
    return tuple(sorted({one.jurisdictions[0] for one in known.sets.values() if one.jurisdictions}))


def _terminal() -> bool:
    return sys.stdin.isatty() and sys.stderr.isatty()


def _ask(given: dict[str, Any], shared: Repository, home: Path) -> None:
    """Ask for what no option says, what cannot wait first. An empty answer: not known yet."""
    book = shared.book
    if not given["safe_at"] and not given["not_safe"]:
        click.echo(
            "Care for the person comes first. Then make it safe: out of use, left as it is, tried by nobody.", err=True
        )
        if yes_or_no("Is it out of use", unknown=True):
            given["safe_at"] = _until("When was it taken out of use", _time)
        else:
            given["not_safe"] = True
    if given["safe_at"]:
        given["safe_by"] = given["safe_by"] or _until("By which role", _role)
        given["safe_how"] = given["safe_how"] or _text("How was it left (on battery, unplugged, switched off)")
    if not given["in_use"]:
        click.echo("What was in use at the event, the device first; an empty line ends the list.", err=True)
        click.echo(f"A role may stand before it, with a colon: {', '.join(ItemRole)}.", err=True)
        found: list[str] = []
        left: list[str] = list(given["not_impounded"])
        while what := _text("Thing" if found else "Device"):
            role, bare = _role_and_name(what)
            if fault := _thing(bare, found):
                click.echo(f"  {emit.plain(fault)}.", err=True)
                continue
            found.append(what)
            if not role and re.match(r"[a-z][a-z ]*:", what):
                click.echo(
                    f'  "{emit.plain(what.partition(":")[0])}" is no role, and stays part of the name.', err=True
                )
            if not yes_or_no("  Is it impounded"):
                left.append(f"{bare}: {_until('  Why not', lambda text: '' if text else 'the reason is needed')}")
        given["in_use"], given["not_impounded"] = tuple(found), tuple(left)
    if len(given["not_impounded"]) < len(given["in_use"]):
        given["collected_by"] = given["collected_by"] or _until("Who impounded what is impounded", _role, _NOT_KNOWN)
        given["collected_at"] = given["collected_at"] or _until("When was it impounded", _time, _NOT_KNOWN)
    given["asked_by"] = given["asked_by"] or _until("Which role asked for the examination", _role, "empty: nobody yet")
    if given["asked_by"]:
        given["asked_at"] = given["asked_at"] or _until("When was that asked", _time)
        given["asked_how"] = given["asked_how"] or _until("How (letter, telephone, in person)", _needed)
    if not given["outcome"]:
        given["outcome"] = click.prompt(
            "What is due goes by the outcome, as a clinician tells it", type=click.Choice(OUTCOMES),
            default="not yet known", err=True,
        )  # fmt: skip
    given["aware_at"] = given["aware_at"] or _until("When did staff learn of it", _time, _NOT_KNOWN)
    if not given["jurisdiction"]:
        click.echo(f"Reporting clocks are known of: {', '.join(places(shared.reporting))}.", err=True)
        said = _text("Where it happened, as far as clocks go by it (parted by commas; empty: not known)")
        given["jurisdiction"] = tuple(part.strip() for part in said.split(",") if part.strip())
    if not given["device"]:
        click.echo(f"Kinds of devices: {', '.join(kinds(book))}.", err=True)
        given["device"] = _until("Kind of the device", _kind(book))
    given["event"] = given["event"] or click.prompt("Which kind of event was it", type=click.Choice(EVENTS), err=True)
    given["harmed"] = given["harmed"] or click.prompt("Who was harmed", type=click.Choice(HARMED), err=True)
    given["told_at"] = given["told_at"] or _until("When, as told", _time)
    for name, question in (
        ("time_source", "Which clock or person says so"),
        ("where", "Where, in general words"),
        ("account", "What happened, as reported, without opinion and without names"),
        ("title", "Title of the case"),
    ):
        given[name] = given[name] or _until(question, _needed)
    if not given["case"]:
        proposed = desk.identity(given["told_at"], given["device"])
        # Told now, since a fault found at the end would cost every answer.
        while True:
            given["case"] = str(click.prompt("Its identity for ever", default=proposed, err=True)).strip()
            if not (fault := _identity(home, given["case"])):
                break
            click.echo(f"  {emit.plain(fault)}.", err=True)


def _text(question: str) -> str:
    return str(click.prompt(question, default="", show_default=False, err=True)).strip()


def _thing(bare: str, found: list[str]) -> str:
    """What stands against the name of a thing: what is told of one must not be told of another."""
    if not bare:
        return "no thing was named; its name is needed after the colon"
    alike = bare.casefold() in {_role_and_name(one)[1].casefold() for one in found}
    return f'"{bare}" stands in the list already; {_TELL_APART}' if alike else ""


def _needed(text: str) -> str:
    return "" if text else "an answer is needed"


def _until(question: str, fault: Callable[[str], str], empty: str = "") -> str:
    """Ask until the answer can be written down as it is; a time is asked for as it has to look.

    `empty` says what no answer means; without it there has to be one.
    """
    hints = "; ".join(one for one in (TIME if fault is _time else "", empty) if one)
    asked = f"{question} ({hints})" if hints else question
    while True:
        text = _text(asked)
        if not text and empty:
            return ""
        said = fault(text)
        if not said:
            return text
        click.echo(f"  {emit.plain(said)}.", err=True)


def _how_to_go_on(given: Mapping[str, Any], root: str | None) -> None:
    """Print the command that asks for the rest only; quoted as shells of Unix and PowerShell read it."""
    line = ["asfound", "new"]
    for name, value in (*given.items(), ("root", root)):
        option = "--id" if name == "case" else f"--{name.replace('_', '-')}"
        if value is True:
            line.append(option)
        elif value:
            line += [part for one in ([value] if isinstance(value, str) else value) for part in (option, one)]
    if len(line) > 2:
        click.echo("\nNothing was written. With what was answered, this asks for the rest:", err=True)
        click.echo(f"  {emit.plain(shlex.join(line))}", err=True)
