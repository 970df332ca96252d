"""From plain data to a record, each fault named at its place.

pydantic finds every fault of a record in one run. Here its findings are put into words: what stands there, what is
needed, how to mend it. A fault of our own types brings its words along (see `model.base.fault`).
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any, Generic, TypeVar

from msgspec import Struct, field
from pydantic import ValidationError
from pydantic_core import ErrorDetails, PydanticCustomError

from asfound.intake.record_entries import BY_NAME
from asfound.intake.shapes import Path, Target, names_of, target
from asfound.intake.words import crop, suggest
from asfound.intake.yaml_nodes import YamlDocument
from asfound.model.base import ID_PATTERN, REF_PATTERN, Record
from asfound.model.described import description
from asfound.problems import Problem, Span

M = TypeVar("M", bound=Record)

# Words up to this length in all are listed in the line of the problem; longer lists go below it.
_LINE = 90
_WORDS = re.compile(r"'(.*?)'(?=, '| or '|$)")


def say(
    rule: str,
    span: Span,
    found: str,
    needed: str,
    mend: str = "",
    *,
    subject: str = "",
    related: Sequence[Span] = (),
    about: str = "",
) -> Problem:
    """A problem of the record builders, with its catalogue entry's level and, unless `mend` says better, its cure."""
    entry = BY_NAME[rule]
    return Problem(
        rule=rule,
        level=entry.level,
        span=span,
        found=found,
        needed=needed,
        mend=mend or entry.mend,
        subject=subject,
        related=tuple(related),
        about=about,
    )


def say_fault(error: PydanticCustomError, span: Span, subject: str = "", about: str = "") -> Problem:
    """A problem from a fault raised by one of our own types."""
    told = error.context or {}
    return say(
        error.type, span, crop(told["found"], 160), told["needed"], told.get("mend", ""), subject=subject, about=about
    )


def place(document: YamlDocument, path: Path) -> tuple[int, int]:
    """The place of a value; of its name where the value begins on a later line, as mappings and lists mostly do."""
    value = document.place(path)
    name = document.key_places.get(path)
    return name if name is not None and name[0] != value[0] else value


def places(document: YamlDocument) -> dict[Path, tuple[int, int]]:
    """`place` for every path of a document."""
    names = document.key_places
    found = dict(document.places)
    for path, name in names.items():
        if path in found and found[path][0] != name[0]:
            found[path] = name
    return found


class Slip(Struct, frozen=True):
    """A fault of a record: what it is about, and the problem; None where the reader of the file told it already."""

    target: Target
    problem: Problem | None


class Partial(Struct, Generic[M], frozen=True):
    """A record read with what could not be read left out.

    record   None where something is wrong that cannot be left out
    dropped  paths that were left out
    problems every fault, whether left out or not
    """

    record: M | None
    dropped: tuple[Path, ...] = ()
    problems: tuple[Problem, ...] = field(default=())


def read_record(
    model: type[M], document: YamlDocument, path: Path = (), subject: str = ""
) -> tuple[M | None, tuple[Problem, ...]]:
    """Build a record from the value at `path` of a document. Raises for no data; None where anything is wrong."""
    data = _at(document.data, path)
    record, slips = _validate(model, data, document, path, subject)
    return record, _told(slips)


def read_partial(model: type[M], document: YamlDocument, keep: frozenset[str] = frozenset()) -> Partial[M]:
    """Build a record from a whole document, leaving out what cannot be read as far as the rest can stand without it.

    Left out are optional fields and entries of mappings, the smallest that hold the fault. Fields named in `keep` are
    never left out. A top-level `$schema`, which some editors ask for, is passed over.
    """
    data: Any = document.data
    if isinstance(data, dict):
        data = {name: value for name, value in data.items() if name != "$schema"}
    record, slips = _validate(model, data, document, (), "", keep)
    problems = [*_told(slips)]
    dropped: list[Path] = []
    # What is left out may have hidden nothing more, so one more round is enough; the bound is for certainty.
    for _ in range(8):
        if record is not None:
            break
        drops = [slip.target.drop for slip in slips]
        if not drops or None in drops:
            return Partial(None, tuple(dropped), tuple(problems))
        for drop in dict.fromkeys(drops):
            assert drop is not None
            data = _without(data, drop)
            dropped.append(drop)
        record, slips = _validate(model, data, document, (), "", keep)
        problems += _told(slips)
    return Partial(record, tuple(dropped), tuple(problems))


def _validate(
    model: type[M], data: Any, document: YamlDocument, base: Path, subject: str, keep: frozenset[str] = frozenset()
) -> tuple[M | None, list[Slip]]:
    try:
        return model.model_validate(data, by_alias=True, by_name=False), []
    except ValidationError as error:
        details = error.errors(include_url=False)
    slips = []
    for detail in details:
        about = target(model, detail["loc"], keep)
        path = (*base, *about.path)
        if any(path[:length] in document.refused for length in range(len(path) + 1)):
            slips.append(Slip(about, None))
        else:
            slips.append(Slip(about, _problem(detail, about, data, document, base, subject)))
    return None, slips


def _told(slips: Sequence[Slip]) -> tuple[Problem, ...]:
    return tuple(slip.problem for slip in slips if slip.problem is not None)


def _problem(
    detail: ErrorDetails, about: Target, data: Any, document: YamlDocument, base: Path, subject: str
) -> Problem:
    path = (*base, *about.path)
    kind = detail["type"]
    if kind == "missing":
        where = place(document, path[:-1])
    elif about.key or kind == "extra_forbidden":
        where = document.key_places.get(path) or document.place(path)
    elif kind == "union_tag_invalid":
        where = document.place((*path, str(detail["ctx"]["discriminator"]).strip("'")))
    else:
        where = place(document, path)
    span = Span(document.path, *where)
    # What was typed for a name has no part in how a problem is known again.
    known = about.path[:-1] if about.key or kind == "extra_forbidden" else about.path
    field = "/".join(str(step) for step in known if not isinstance(step, int))
    context = detail.get("ctx") or {}
    if kind in BY_NAME and "found" in context:
        told = crop(context["found"], 160)
        return say(kind, span, told, context["needed"], context.get("mend", ""), subject=subject, about=field)
    rule, found, needed, mend = _words(kind, detail, context, about, data)
    return say(rule, span, found, needed, mend, subject=subject, about=field)


def _words(
    kind: str, detail: ErrorDetails, context: Mapping[str, Any], about: Target, data: Any
) -> tuple[str, str, str, str]:
    """Rule, found, needed, mend for a finding of pydantic's own."""
    name = str(about.path[-1]) if about.path else ""
    value = _at(data, about.path)
    if kind == "missing":
        return _missing(name, about)
    if kind == "extra_forbidden":
        return _unknown(name, about, _at(data, about.path[:-1]))
    if kind in ("enum", "literal_error"):
        return _word(str(context["expected"]), value)
    if kind == "union_tag_invalid":
        return _word(str(context["expected_tags"]), context["tag"])
    if kind == "union_tag_not_found":
        asked = str(context["discriminator"]).strip("'")
        return "field-missing", f"there is no “{asked}” here", f"“{asked}” is needed", ""
    if kind == "string_pattern_mismatch":
        return _pattern(str(context["pattern"]), name if about.key else value)
    if kind == "string_too_short":
        return "value-blank", "nothing stands here", "a text is needed", ""
    if kind in ("bool_parsing", "bool_type"):
        return "not-yes-or-no", stands(value), "yes or no is needed", ""
    if kind.startswith(("int_", "decimal_", "float_", "greater_than", "less_than", "finite_")):
        bound = ", not below 0," if kind == "greater_than_equal" else ""
        return "value-not-a-number", stands(value), f"a whole number{bound} is needed", ""
    return _shape(kind, detail, about, value)


def _missing(name: str, about: Target) -> tuple[str, str, str, str]:
    told = _about(about)
    mend = f"Add a line “{name}: …”" + (f"; it says: {told[0].lower()}{told[1:]}" if told else ".")
    return "field-missing", f"there is no “{name}” here", f"“{name}” is needed", mend


def _about(about: Target) -> str:
    """The first sentence of a field's description, on one line."""
    text = " ".join(description(about.owner, str(about.path[-1])).split()) if about.field is not None else ""
    return text.partition(". ")[0].rstrip(".") + "." if text else ""


def _unknown(name: str, about: Target, beside: Any) -> tuple[str, str, str, str]:
    known = list(names_of(about.owner))
    taken = beside if isinstance(beside, dict) else {}
    meant = suggest(name, (other for other in known if other not in taken))
    mend = f"Write “{meant}” if that is meant; otherwise use" if meant else "Use"
    # `{by: plug of the head, locked}`: YAML takes what follows a comma for a name that has nothing behind it.
    cut = not taken.get(name, "…") and not meant
    hint = "If it belongs to a text with a comma between { }, put that text in quotation marks. " if cut else ""
    return (
        "field-unknown",
        f"a field “{crop(name)}” is not known here",
        f"“{meant}” is perhaps meant" if meant else "a known field is needed",
        f"{hint}{mend} one of: {', '.join(known)}.",
    )


def _word(expected: str, value: Any) -> tuple[str, str, str, str]:
    words = _WORDS.findall(expected)
    return ("word-unknown", stands(value), *one_of(words, value if isinstance(value, str) else ""))


def one_of(words: Sequence[str], typed: str) -> tuple[str, str]:
    """What is needed, and how to mend it, where one of `words` should stand and `typed` does."""
    listed = ", ".join(words)
    meant = suggest(typed, words)
    mend = f"Write “{meant}” if that is meant. " if meant else ""
    if len(listed) <= _LINE:
        return f"one of these is needed: {listed}", mend.strip()
    return "a word of its list is needed", f"{mend}The list is: {listed}."


def _pattern(pattern: str, value: Any) -> tuple[str, str, str, str]:
    if pattern == REF_PATTERN:
        return id_words(str(value))
    plain = re.sub(r"[^a-z0-9]+", "-", str(value).lower()).strip("-")
    mend = f"Write {plain}, if that is meant." if re.fullmatch(pattern, plain) and len(plain) <= 40 else ""
    short = ", 40 at most," if "{0,39}" in pattern else ""
    return "word-malformed", stands(value), f"small letters, digits and hyphens{short} are needed", mend


def id_words(typed: str) -> tuple[str, str, str, str]:
    """Rule, found, needed and mend for a text that should be an id and is not."""
    plain = re.sub(r"[^a-z0-9]+", "-", typed.lower()).strip("-")
    plain = plain[:1].upper() + plain[1:]
    meant = re.fullmatch(ID_PATTERN, plain) is not None and len(plain) <= 40 and plain != typed
    mend = (
        f"Write {plain}, if that is meant."
        if meant
        else "Write it as in I-3: a capital, a hyphen, small letters and digits."
    )
    return "id-malformed", f"found “{crop(typed)}”", "the id of a record is needed", mend


_SHAPES = {
    "string": ("a text is needed", "Put quotation marks around a text that begins with a bracket or a brace."),
    "tuple": ("a list is needed", "Write each entry on a line of its own behind a hyphen."),
    "list": ("a list is needed", "Write each entry on a line of its own behind a hyphen."),
    "dict": ("a mapping is needed", "Write each entry on a line of its own as “name: value”."),
    "model": (
        "a mapping of fields is needed",
        "Write each field on a line of its own as “name: value”, two spaces further in.",
    ),
}


def _shape(kind: str, detail: ErrorDetails, about: Target, value: Any) -> tuple[str, str, str, str]:
    sort = kind.partition("_")[0]
    if sort not in _SHAPES:
        # A finding of a later version of the library: its own words are better than none.
        return "shape-wrong", stands(value), detail["msg"][:1].lower() + detail["msg"][1:], ""
    needed, mend = _SHAPES[sort]
    entry = about.entry
    if entry is not None and value is not None and sort in ("tuple", "list"):
        mend = f"Write each entry on a line of its own, as in - {_outline(entry)}."
    elif entry is not None and sort == "model" and isinstance(about.path[-1], int):
        mend = f"Write the entry with its fields, as in - {_outline(entry)}."
    elif sort in ("tuple", "list") and isinstance(value, str) and len(value) <= 40:
        mend = f"Write it in square brackets: [{value}]."
    elif sort == "string" and isinstance(value, list | tuple) and len(value) == 1:
        mend = f"Without brackets and hyphen, {crop(str(value[0]))}, where one is meant. {mend}"
    elif sort == "string" and isinstance(value, list | tuple) and value:
        mend = f"One is needed here, without brackets, and not a list of {len(value)}. {mend}"
    elif sort == "dict" and isinstance(value, list | tuple) and value and isinstance(value[0], dict):
        mend = "Give each entry a name of its own, an id where it is a record (A-1:), and its fields below it."
    elif value is None:
        mend = "Write it, or take the line out." if sort == "model" else "Take the line out if there is nothing to say."
    return "shape-wrong", stands(value), needed, mend


def _outline(entry: type[Record]) -> str:
    """What an entry of a list holds at the least, as it is written: `{what: …, at: …, ok: yes}`."""
    asked = {name: field for name, field in names_of(entry).items() if field.is_required()}
    shown = (f"{name}: {'yes' if field.annotation is bool else '…'}" for name, field in asked.items())
    return f"{{{', '.join(shown)}}}"


def stands(value: Any) -> str:
    """What stands in a place, as a clause."""
    if value is None or value == "":
        return "nothing stands here"
    if isinstance(value, dict):
        return "a mapping stands here"
    if isinstance(value, list | tuple):
        return "a list stands here"
    return f"found “{crop(str(value))}”"


def _at(data: Any, path: Path) -> Any:
    for part in path:
        if isinstance(data, dict):
            data = data.get(part)
        elif isinstance(data, list) and isinstance(part, int) and part < len(data):
            data = data[part]
        else:
            return None
    return data


def _without(data: Any, path: Path) -> Any:
    """The data without what stands at `path`; what is not on the way to it is shared, not copied."""
    if not isinstance(data, dict) or path[0] not in data:
        return data
    if len(path) == 1:
        return {name: value for name, value in data.items() if name != path[0]}
    return {name: _without(value, path[1:]) if name == path[0] else value for name, value in data.items()}
