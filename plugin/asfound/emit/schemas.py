"""JSON Schemas (2020-12) for every YAML file of a case and of the organisation, for editors that complete and check.

A schema is a help while typing, not the judge: whatever the reader takes, the schema takes too, also in the types that
an editor's YAML gives to plain scalars (`2026` a number, `yes` a truth value). Names, words and descriptions come from
the records themselves, so that they cannot differ.
"""

from __future__ import annotations

import json
from typing import Any, TypeAlias

from asfound.model.base import ID_PATTERN, Record
from asfound.model.examples import DATES, FIELDS, of_pattern
from asfound.model.layout import BENCH, KEYED, ORGANISATION, SINGLE, Keyed, Single
from asfound.model.meanings import MEANINGS

Schema: TypeAlias = dict[str, Any]

DIALECT = "https://json-schema.org/draft/2020-12/schema"

_NUMBER: Schema = {"type": ["number", "string"], "pattern": r"^[+-]?[0-9]+(\.[0-9]+)?([eE][+-]?[0-9]+)?$"}
_YES_NO: Schema = {
    "type": ["boolean", "string"],
    "pattern": r"^\s*([Yy][Ee][Ss]|[Nn][Oo]|[Tt][Rr][Uu][Ee]|[Ff][Aa][Ll][Ss][Ee])\s*$",
}
# What a plain scalar may turn into in an editor, where a text is asked for.
_TEXT = ["string", "number", "boolean"]
_LED_TO: Schema = {
    "type": "string",
    "description": "Where the schema of this file lies, for editors that do not read it from a first line.",
}
# Formats of the model that say what a text refers to; no validator knows them.
_OUR_FORMATS = frozenset(("prose", "record", "role", "planned test"))


def schemas() -> dict[str, Schema]:
    """Every schema by the name of its file: `items.schema.json`, `instruments.schema.json`, `limits.schema.json`."""
    kinds: dict[str, Single | Keyed] = {**SINGLE, **KEYED, **ORGANISATION}
    return {schema_name(file): _schema(file, kind) for file, kind in sorted(kinds.items())}


def globs() -> dict[str, str]:
    """Which files a schema is for: name of the schema → pattern of paths, for the settings of an editor."""
    found = {schema_name(file): f"cases/**/{file}" for file in (*SINGLE, *KEYED)}
    found.update({schema_name(file): f"{BENCH}/{file}" for file in ORGANISATION})
    return dict(sorted(found.items()))


def schema_name(file: str) -> str:
    """`items.yml` → `items.schema.json`; `limits/*.yml` → `limits.schema.json`."""
    return f"{file.removesuffix('.yml').removesuffix('/*')}.schema.json"


def schema_json(schema: Schema) -> str:
    """A schema as the text of its file; the same schema gives the same bytes."""
    return json.dumps(schema, ensure_ascii=False, indent=2) + "\n"


def _schema(file: str, kind: Single | Keyed) -> Schema:
    raw = kind.model.model_json_schema(by_alias=True)
    if isinstance(kind, Keyed) and kind.early is not None:
        # An editor cannot know whether the later event has happened; the check does.
        raw["required"] = kind.early.model_json_schema(by_alias=True)["required"]
    parts: dict[str, Schema] = {name: _plain(part) for name, part in raw.pop("$defs", {}).items()}
    body = _plain(raw)
    for name, part in {**parts, kind.model.__name__: body}.items():
        _show(name, part.get("properties", {}))
    if isinstance(kind, Keyed):
        parts[kind.model.__name__] = body
        body = {
            "description": f"{_first(kind.model)} Keyed {kind.letter}-1, {kind.letter}-2, ...",
            # A file with nothing in it yet is read as one without records.
            "type": ["object", "null"],
            "properties": {"$schema": _LED_TO},
            "defaultSnippets": [_snippet(kind, body)],
            "patternProperties": {_letter(kind.letter): {"$ref": f"#/$defs/{kind.model.__name__}"}},
            "additionalProperties": False,
        }
    else:
        body["properties"] = {"$schema": _LED_TO, **body["properties"]}
        for name, letter in kind.nested:
            if letter and letter != "P":
                _key_by(body["properties"][name], letter)
        whole = ("limits", "protocols", "reporting", "starters", "words")
        if file not in ("case.yml", *(f"{folder}/*.yml" for folder in whole)):
            body["type"] = ["object", "null"]
    head: Schema = {"$schema": DIALECT, "title": f"Asfound: {file}"}
    return {**head, **body, **({"$defs": dict(sorted(parts.items()))} if parts else {})}


def _snippet(kind: Keyed, record: Schema) -> Schema:
    """What an editor offers where a new record begins: its id and the fields it cannot do without.

    `defaultSnippets` is a word of editors' language servers; completion cannot guess an id from a pattern.
    """
    needed = record.get("required", [])
    fields = {name: f"${place}" for place, name in enumerate(needed, 2)}
    return {
        "label": f"{kind.letter}-…",
        "description": _first(kind.model),
        "body": {f"{kind.letter}-${{1:1}}": fields or "$2"},
    }


def _first(model: type[Record]) -> str:
    return " ".join((model.__doc__ or "").split()).partition("; ")[0].rstrip(".") + "."


def _letter(letter: str) -> str:
    return ID_PATTERN.replace("[A-Z]", letter, 1)


def _key_by(field: Schema, letter: str) -> None:
    (below,) = field["patternProperties"].values()
    field["patternProperties"] = {_letter(letter): below}


def _plain(node: Any, named: bool = False) -> Any:
    """The schema without what only confuses a reader, and as wide as the reader of files is.

    `named` says that the keys of `node` are names of fields, not words of JSON Schema.
    """
    if isinstance(node, list):
        return [_plain(part) for part in node]
    if not isinstance(node, dict):
        return node
    if named:
        return {name: _plain(part) for name, part in node.items()}
    out: Schema = {}
    for word, part in node.items():
        if word in ("title", "discriminator") or (word == "format" and part in _OUR_FORMATS):
            continue
        if word == "default" and part is None:
            continue
        out[word] = (
            part
            if word in ("enum", "const", "default", "required")
            else _plain(part, word in ("properties", "patternProperties"))
        )
    if "patternProperties" in out:
        out["additionalProperties"] = False
    if not out.get("propertyNames", True):
        del out["propertyNames"]
    wide = _reasons(_wide(out))
    return _explained(wide) if "enum" in wide else _shown(wide)


def _wide(node: Schema) -> Schema:
    """A scalar, in every type it may arrive in."""
    rest = {word: part for word, part in node.items() if word in ("description", "default")}
    kind = node.get("type")
    if kind == "boolean":
        return {**rest, **_YES_NO}
    if kind == "integer":
        return {**rest, **_NUMBER}
    options = [option.get("type") for option in node.get("anyOf", ()) if isinstance(option, dict)]
    if "anyOf" in node and ["number"] in _kinds(node):
        # A decimal: pydantic offers a number or a text, either of which the reader holds to its own grammar.
        also = [{"type": "null"}] if "null" in options else []
        return {**rest, "anyOf": [_NUMBER, *also]} if also else {**rest, **_NUMBER}
    if "const" in node:
        return _words({**node, "enum": [node["const"]]}, node["const"])
    if "enum" in node:
        return _words(node, None)
    if kind == "string" and "format" not in node and not _kept_text(node.get("pattern", "")):
        return {**node, "type": _TEXT}
    return node


def _kinds(node: Schema) -> list[list[str]]:
    return [
        [option["type"]] for option in node["anyOf"] if isinstance(option, dict) and isinstance(option.get("type"), str)
    ]


def _kept_text(pattern: str) -> bool:
    """Whether no number and no truth value can ever be a text of this pattern: ids, times, amounts, lengths of time."""
    return pattern.startswith(("^[A-Z]", r"^\s*"))


def _words(node: Schema, const: str | None) -> Schema:
    words = list(node["enum"])
    typed: list[Any] = []
    for word in words:
        if word in ("yes", "no"):
            typed.append(word == "yes")
        elif word.replace(".", "", 1).isdigit():
            typed.append(float(word) if "." in word else int(word))
    if not typed:
        return {word: part for word, part in node.items() if const is None or word != "enum"}
    return {**{word: part for word, part in node.items() if word not in ("type", "const")}, "enum": words + typed}


_BY_WORDS = {frozenset(words): words for words in MEANINGS.values()}


def _explained(node: Schema) -> Schema:
    """Each word of a list with what it means, for editors: JSON Schema itself has no place for it.

    `enumDescriptions` and `markdownEnumDescriptions` are what editors' language servers read (yaml-language-server
    issues 941 and 1074, confirmed); whoever does not know them passes them over.
    """
    typed = {True: "yes", False: "no"}
    words = [typed[one] if isinstance(one, bool) else str(one) for one in node["enum"]]
    known = _BY_WORDS.get(frozenset(words))
    if known is None:
        return node
    told = [known[word] for word in words]
    return {**node, "enumDescriptions": told, "markdownEnumDescriptions": told}


def _shown(node: Schema) -> Schema:
    """A scalar with examples of what may stand there, where its pattern or format says what it is."""
    shown = DATES if node.get("format") == "date" else of_pattern(node.get("pattern", ""))
    return {**node, "examples": list(shown)} if shown else node


def _show(record: str, fields: Schema) -> None:
    """Put examples of texts to the fields of a record."""
    for name, field in fields.items():
        if example := FIELDS.get(f"{record}.{name}"):
            field["examples"] = [example]


def _reasons(node: Schema) -> Schema:
    """A record of reasons holds at least one of them."""
    if "not_recorded" in node.get("properties", {}):
        return {**node, "minProperties": 1}
    return node
