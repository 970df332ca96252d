"""`asfound doctor`: what this machine and this repository bring, what of it matters, and how to mend it."""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Iterator
from enum import StrEnum
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import click
from msgspec import Struct

from asfound import assess, emit
from asfound.cli.schema import FOLDER, OURS
from asfound.emit.schemas import schema_json, schemas
from asfound.history import Git, Own, Unknown, own
from asfound.history.git import shallow_words
from asfound.seal.signers import FILE, read_signers
from asfound.seal.ssh import PROGRAM
from asfound.store import PlaceRefused, open_store

ENGINES = (("mkdocs", 2), ("properdocs", 2), ("mkdocs-material", 10))
"""What builds the site, and the first version that the plugin was not written for."""
EXTRAS = (
    ("document", ("typst",), "sets a case as PDF, for `asfound document`, packs and `documents: true`"),
    ("sheet", ("Flask", "waitress"), "opens the form for readings, for `asfound sheet`"),
    ("table", ("pyarrow",), "writes and reads Parquet, for `asfound table` and long series"),
    ("tags", ("segno",), "draws codes on tags, for `asfound tags`"),
    ("udi", ("biip",), "reads a scanned UDI"),
    ("workers", ("dask", "distributed"), "lets a Dask scheduler work, for `--scheduler`"),
)
"""Each extra, the packages it brings, and what for."""
SIGNS = "Ω ± – − µ ″ ≤"
"""Signs that stand in messages and readings."""
NAMED = 3


class Matters(StrEnum):
    """What a finding means for the work."""

    FINE = "fine"
    KNOW = "worth knowing"
    BREAKS = "in the way"


class Found(Struct, frozen=True):
    """One line: what was looked at, what was found, whether it matters and why, and how to mend it."""

    about: str
    found: str
    matters: Matters = Matters.FINE
    why: str = ""
    mend: str = ""


def run_doctor(as_json: bool, root: str | None) -> int:
    """Look, print; the exit code."""
    home = (Path(root) if root else assess.find_root(Path.cwd())).resolve()
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {root}")
    found = list(looked(home))
    breaks = sum(one.matters is Matters.BREAKS for one in found)
    if as_json:
        told = [
            {"about": one.about, "found": one.found, "matters": str(one.matters), "why": one.why, "mend": one.mend}
            for one in found
        ]
        click.echo(json.dumps({"format": 1, "found": told}, indent=2, ensure_ascii=True))
        return 1 if breaks else 0
    for one in found:
        click.echo(f"{one.about}: {emit.plain(one.found)} — {one.matters}.")
        for said in (one.why, one.mend):
            if said:
                click.echo(f"    {emit.plain(said)}")
    know = sum(one.matters is Matters.KNOW for one in found)
    click.echo(f"{len(found)} things looked at: {breaks} in the way, {know} worth knowing.")
    return 1 if breaks else 0


def looked(home: Path) -> Iterator[Found]:
    """Everything that was looked at, what the work rests on first."""
    yield _program()
    yield from _engines()
    yield from _cases(home)
    yield from _git(home)
    yield _schemas(home)
    yield from _signing(home)
    yield _console()
    yield _cache(home)
    yield from _extras()
    yield Found("not needed", "a browser, a typesetter of the machine's own, and a network: no command asks for them")


def _version(package: str) -> str:
    try:
        return version(package)
    except PackageNotFoundError:
        return ""


def _program() -> Found:
    python = ".".join(map(str, sys.version_info[:3]))
    return Found("asfound", f"version {version('asfound')}, on Python {python}")


def _engines() -> Iterator[Found]:
    known = {name: _version(name) for name, _ in ENGINES}
    for name, beyond in ENGINES:
        held = known[name]
        if held and int(held.partition(".")[0]) >= beyond:
            why = f"The plugin is written for versions before {beyond}; the site may not build, or lack the cases."
            mend = f'Install an earlier one: pip install "{name}<{beyond}". The check and asfound render do without.'
            yield Found(name, f"version {held}", Matters.BREAKS, why, mend)
        elif held:
            yield Found(name, f"version {held}")
        elif name == "mkdocs-material":
            yield Found(name, "not installed", Matters.KNOW, "mkdocs.yml cannot name the theme material.",
                        f"pip install {name}, or name the theme mkdocs.")  # fmt: skip
        elif name == "mkdocs" and not known["properdocs"]:
            yield Found(name, "not installed, and no ProperDocs either", Matters.BREAKS, "No site can be built.",
                        "pip install mkdocs. The check and asfound render do without.")  # fmt: skip


def _cases(home: Path) -> Iterator[Found]:
    found = assess.find_cases(home)
    if found:
        yield Found("cases", f"{len(found)} below cases/")
    else:
        why = f"Commands without a CASE look below cases/ of the repository, and that is {home.name}."
        yield Found(
            "cases", "none below cases/", Matters.KNOW, why, "Run this where the cases are, or begin one: asfound new."
        )


def _git(home: Path) -> Iterator[Found]:
    evidence = tuple(
        path.relative_to(home).as_posix()
        for case in assess.find_cases(home)
        for path in sorted((case / "evidence").rglob("*"))
        if path.is_file() and not path.is_symlink()
    )
    mine = own(home, evidence)
    if not mine.version:
        why = "Without it there is no record of changes, no order of thought and no tag of an edition; the check works."
        yield Found(
            "git", mine.refused or "not found", Matters.KNOW, why, "Install git, and see that it is on the path."
        )
        return
    yield Found("git", mine.version.removeprefix("git ").strip())
    repository = Git.open(home)
    if isinstance(repository, Unknown):
        yield Found("repository", repository.why, Matters.KNOW, "Nothing shows who changed what, and when.",
                    "git init here, or run this in the repository.")  # fmt: skip
        return
    if mine.refused:
        why = "asfound reads the repository all the same; your own commands of git, such as commit, will not work."
        mend = f"If you trust this folder: git config --global --add safe.directory {repository.top.as_posix()}"
        yield Found("repository", f"git refuses to work in it: {mine.refused.splitlines()[0]}", Matters.KNOW, why, mend)
    if repository.shallow:
        yield Found("history", "cut short (a shallow clone)", Matters.KNOW, shallow_words(),
                    "git fetch --unshallow")  # fmt: skip
    elif not mine.refused:
        yield Found("history", "whole")
    if not mine.refused:
        yield _line_ends(home, mine, evidence)


def _line_ends(home: Path, mine: Own, evidence: tuple[str, ...]) -> Found:
    setting = f"core.autocrlf is {mine.autocrlf}" if mine.autocrlf else "core.autocrlf is not set"
    attributes = (home / ".gitattributes").is_file()
    said = f"{setting}; {'.gitattributes is there' if attributes else 'there is no .gitattributes'}"
    mend = (
        "Put these lines into .gitattributes and commit it: *.yml text eol=lf, *.csv text eol=lf, **/evidence/** -text"
    )
    if mine.changed:
        more = len(mine.changed) - NAMED
        named = ", ".join(mine.changed[:NAMED]) + (f" and {more} more" if more > 0 else "")
        said += f"; no attribute keeps the bytes of {len(mine.changed)} of {len(evidence)} files of evidence: {named}"
        if mine.autocrlf in ("true", "input"):
            why = "git changes line ends in files it takes for text, and evidence then differs from its digest."
            return Found("line ends", said, Matters.BREAKS, why, mend)
        why = "Where somebody else's git changes line ends, evidence would differ from its digest."
        return Found("line ends", said, Matters.KNOW, why, mend)
    if not attributes and not evidence:
        why = "Evidence that comes in may have its line ends changed by somebody's git."
        return Found("line ends", said, Matters.KNOW, why, mend)
    if evidence:
        said += f"; the bytes of {len(evidence)} files of evidence are kept"
    return Found("line ends", said)


def _schemas(home: Path) -> Found:
    folder = home / FOLDER
    there = {path.name: path.read_bytes() for path in sorted(folder.glob("*.schema.json")) if path.is_file()}
    ours = {name: data for name, data in there.items() if OURS.encode() in data[:400]}
    write = f"asfound schema --out {FOLDER}"
    if not ours:
        why = "An editor completes, explains and marks with them while one types; the check does without."
        return Found("schemas", f"none in {FOLDER}", Matters.KNOW, why, f"Write them: {write}")
    now = {name: schema_json(schema).encode("utf-8") for name, schema in schemas().items()}
    old = sorted(name for name in ours if ours[name].replace(b"\r\n", b"\n") != now.get(name, b""))
    lacking = sorted(now.keys() - ours.keys())
    if old or lacking:
        parts = [f"{len(old)} of {len(ours)} are of another version than this one"] if old else []
        parts += (
            [f"{', '.join(lacking[:NAMED])}{' and others' if len(lacking) > NAMED else ''} missing"] if lacking else []
        )
        why = "An editor may mark what is right, and not know what is new; the check goes by this version."
        return Found("schemas", "; ".join(parts), Matters.KNOW, why, f"Write them anew: {write}")
    return Found("schemas", f"{len(ours)} in {FOLDER}, of this version")


def _signing(home: Path) -> Iterator[Found]:
    if shutil.which(PROGRAM):
        yield Found(PROGRAM, "found")
    else:
        why = "Approvals cannot be signed, and those there are cannot be verified: they count as not verified."
        yield Found(
            PROGRAM, "not found", Matters.KNOW, why, "Install OpenSSH's client, and see that it is on the path."
        )
    place = home / FILE
    if not place.exists():
        yield Found("signers", f"there is no {FILE}", Matters.KNOW, "Nobody can approve a case yet.",
                    "A line each: name, namespaces=\"approval@asfound\", public key; commit it.")  # fmt: skip
        return
    try:
        signers = read_signers(place.read_bytes())
    except OSError as error:
        said = (error.strerror or "the system refused").lower()
        yield Found("signers", f"{FILE} cannot be read: {said}", Matters.BREAKS,
                    "No approval can be verified, and the check will not know whose keys count.",
                    "Let the file be read by whoever runs this.")  # fmt: skip
        return
    count = len(signers.lines)
    said = f"{count} {'key' if count == 1 else 'keys'} in {FILE}"
    if signers.problems:
        first = signers.problems[0].headline()
        yield Found("signers", f"{said}; {len(signers.problems)} refused, the first: {first}", Matters.KNOW,
                    "What is refused counts for nobody.", "Mend the lines that asfound check names.")  # fmt: skip
    else:
        yield Found("signers", said)


def _console() -> Found:
    encoding = getattr(sys.stdout, "encoding", None) or "none"
    shown = encoding.removeprefix("asfound_")
    lost = []
    for sign in SIGNS.split():
        try:
            sign.encode(encoding)
        except (UnicodeEncodeError, LookupError):
            lost.append(sign)
    if not lost:
        return Found("console", f"prints in {shown}, every sign that is needed")
    written = ", ".join(f"U+{ord(sign):04X}" for sign in lost)
    why = "Signs it does not have are named in ASCII, such as ohm; nothing is lost and nothing ends."
    return Found("console", f"prints in {shown}, without {written}", Matters.KNOW, why,
                 "Set PYTHONUTF8=1, or choose UTF-8 in the terminal.")  # fmt: skip


def _cache(home: Path) -> Found:
    try:
        store = open_store(home)
    except PlaceRefused as error:
        why = "Commands that keep what they worked out end at once."
        return Found("cache", str(error).rstrip("."), Matters.BREAKS, why,
                     "Set ASFOUND_CACHE to a folder of your own outside the repository, or to off.")  # fmt: skip
    if store is None:
        why = "Each run works everything out anew. It costs time and changes nothing."
        return Found("cache", "kept nowhere: off, or no folder of yours can be had", Matters.KNOW, why,
                     "Unset ASFOUND_CACHE, or name a whole path that only you can write to.")  # fmt: skip
    return Found("cache", "kept in a folder of your own, outside the repository")


def _extras() -> Iterator[Found]:
    for name, packages, purpose in EXTRAS:
        lacking = [one for one in packages if not _version(one)]
        if lacking:
            mend = f'If you want it: pip install "asfound[{name}]"'
            yield Found(f"extra {name}", "not installed", Matters.FINE, f"It {purpose}.", mend)
        else:
            held = ", ".join(f"{one} {_version(one)}" for one in packages)
            yield Found(f"extra {name}", f"{held}; {purpose}")
