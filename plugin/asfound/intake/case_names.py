"""Names in a case folder, of files and of records, and what is said of one that is not as it should be."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.intake.files import CaseFiles
from asfound.intake.records import say
from asfound.intake.rows import is_id, is_slug
from asfound.intake.words import crop, suggest
from asfound.intake.yaml_nodes import YamlDocument
from asfound.model.case import Path
from asfound.model.ids import KINDS
from asfound.model.layout import KEYED, SINGLE, TABLES
from asfound.problems import Problem, Span

_README = frozenset(("README.md", "readme.md"))


def readings_name(path: str) -> str | None:
    """`output` for `readings/output.csv`; None for any other file."""
    if not path.startswith("readings/") or not path.endswith(".csv"):
        return None
    name = path.removeprefix("readings/").removesuffix(".csv")
    return name if is_slug(name) else None


def unexpected(walked: CaseFiles, path: str) -> Iterator[Problem]:
    """A file of a case folder that is not read, with the name that is perhaps meant."""
    name = path.rpartition("/")[2]
    if path in _README:
        return
    span = Span(walked.at(path))
    if path.startswith("readings/") and path.endswith(".csv"):
        found = f"“{crop(name.removesuffix('.csv'))}” cannot be the name of a sheet, so the file is not read"
        yield say("file-unexpected", span, found, "small letters, digits and hyphens are needed")
        return
    stem, known = name.rpartition(".")[0], [*SINGLE, *KEYED, *TABLES]
    meant = suggest(name, known) or next((other for other in known if other.partition(".")[0] == stem), None)
    if meant is not None and meant not in {file.path for file in walked.files}:
        found, needed = "this file is not read", f"the name “{meant}” is perhaps meant"
    else:
        found, needed = (
            "this file belongs to no part of a case and is not read",
            "the name of a file of the case is needed",
        )
    yield say("file-unexpected", span, found, needed)


def not_an_id(document: YamlDocument, key: str, letter: str) -> Problem:
    """A name in the place of an id."""
    span = Span(document.path, *document.key_places[(key,)])
    tail = "-".join(part for part in key.lower().replace("_", "-").replace(" ", "-").split("-") if part)
    tail = tail.removeprefix(f"{letter.lower()}-")
    meant = f"{letter}-{tail}"
    mend = f"Write {meant}, if that is meant." if is_id(meant) and len(meant) <= 40 else ""
    within = document.data.get(key) if isinstance(document.data, dict) else None
    if isinstance(within, dict) and within and all(is_id(str(one)) for one in within):
        mend = f"Take this line out, and the two spaces before what follows: in {document.path.rpartition('/')[2]} the "
        mend += "records stand at the left edge."
    needed = f"an id such as {letter}-1 is needed"
    return say("id-malformed", span, f"found “{crop(key)}”", needed, mend)


def wrong_letter(document: YamlDocument, path: Path, key: str, letter: str) -> Problem:
    """An id of another kind of record, with the file where that stands."""
    span = Span(document.path, *document.key_places[path])
    kind, home = KINDS.get(key[0], ("", ""))
    found = (
        f"the id {crop(key)} is that of {_article(kind)}, which stands in {home}" if home else f"found “{crop(key)}”"
    )
    return say("id-letter-wrong", span, found, f"an id that begins with {letter} is needed here", subject=key)


def _article(words: str) -> str:
    return f"an {words}" if words[:1] in "aeiou" else f"a {words}"
