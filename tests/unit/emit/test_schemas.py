"""The schemas: valid in themselves, no stricter than the reader, stable.

To accept a change of the schemas on purpose: `ASFOUND_ACCEPT=1 python -m pytest tests/unit/emit/test_schemas.py`, then
read the difference before committing it.
"""

from __future__ import annotations

import json
import os
import re
from importlib import resources
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from asfound.emit.schemas import globs, schema_json, schema_name, schemas
from asfound.intake import read_partial, read_record, read_yaml
from asfound.model.examples import FIELDS
from asfound.model.layout import KEYED, ORGANISATION, SINGLE, Keyed
from asfound.model.meanings import MEANINGS
from tests.unit.intake.sample import BENCH, CASE

GOLD = Path(__file__).parents[2] / "gold" / "schemas"
ALL = schemas()
FORMATS = Draft202012Validator.FORMAT_CHECKER
SINGLES = {kind.model.__name__ for kind in (*SINGLE.values(), *ORGANISATION.values())}
KINDS = {**SINGLE, **KEYED, **ORGANISATION}


class Editor(yaml.SafeLoader):
    """As an editor reads YAML: `2026` a number, `yes` a truth value (YAML 1.1), dates text, since JSON has none.

    Names stay text: of the two versions of YAML only the older makes `on:` a truth value, and editors go by the newer.
    """

    def construct_mapping(self, node: yaml.MappingNode, deep: bool = False) -> dict[Any, Any]:
        return {key.value: self.construct_object(value, deep=True) for key, value in node.value}


Editor.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in known if tag != "tag:yaml.org,2002:timestamp"]
    for first, known in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def plain(text: str) -> Any:
    """As the reader has it: every scalar as text."""
    return read_yaml("a.yml", text.encode()).data


def faults(name: str, data: Any) -> list[str]:
    validator = Draft202012Validator(ALL[name])
    return [f"{list(error.absolute_path)}: {error.message}" for error in validator.iter_errors(data)]


def texts() -> dict[str, tuple[str, str]]:
    """File → schema and text, for the sample and for what comes with the program."""
    found = {file: (schema_name(file), text) for file, text in CASE.items() if file.endswith(".yml")}
    for file, text in BENCH.items():
        folder = file.partition("/")[0]
        found[file] = (f"{folder.removesuffix('.yml')}.schema.json", text)
    home = resources.files("asfound.limits")
    for folder, name in (
        ("sets", "limits"), ("protocols", "protocols"), ("reporting", "reporting"), ("starters", "starters"),
    ):  # fmt: skip
        for place in (home / folder).iterdir():
            if place.name.endswith(".yml"):
                found[f"{folder}/{place.name}"] = (f"{name}.schema.json", place.read_text("utf-8"))
    return found


TEXTS = texts()


def test_there_is_a_schema_for_every_yaml_file_and_its_glob() -> None:
    assert set(ALL) == {schema_name(file) for file in KINDS} == set(globs())
    assert {name for name, _ in TEXTS.values()} == set(ALL)


@pytest.mark.parametrize("name", sorted(ALL))
def test_each_is_valid_against_the_metaschema(name: str) -> None:
    # JSON Schema 2020-12 metaschema as jsonschema brings it.
    Draft202012Validator.check_schema(ALL[name])
    assert ALL[name]["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.parametrize("name", sorted(ALL))
def test_every_field_is_described_in_words(name: str) -> None:
    """An editor shows them with each key it offers; of a list of words, what the list is stands at the list itself."""
    known = ALL[name].get("$defs", {})
    for record, part in {name: ALL[name], **known}.items():
        for field, node in part.get("properties", {}).items():
            led = known.get(node.get("$ref", "").rpartition("/")[2], {})
            assert node.get("description") or led.get("description"), (record, field)


@pytest.mark.parametrize("file", sorted(TEXTS))
def test_what_the_reader_takes_the_schema_takes_typed_or_plain(file: str) -> None:
    name, text = TEXTS[file]
    assert faults(name, plain(text)) == []
    assert faults(name, yaml.load(text, Editor)) == []


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("items.yml", "I-2:", "E-2:"),
        ("items.yml", "role: consumable", "role: consumables"),
        ("items.yml", "lot: L 77", "lott: L 77"),
        ("items.yml", "value: 90 W", "value: 90"),
        ("items.yml", "  what: pad\n", ""),
        ("items.yml", "part_of: I-1", "part_of: one"),
        ("items.yml", "single_use: yes", "single_use: maybe"),
        ("items.yml", "    not_accessible: thrown away with the waste", "    reason: thrown away"),
        ("gates.yml", "  G-1:", "  B-2:"),
        ("gates.yml", "gate: inspected", "gate: seen"),
        ("plan.yml", "guard_factor: 1", "guard_factor: 2"),
        ("plan.yml", "  output-power:", "  Output power:"),
        ("case.yml", "told_at: 2026-03-09 15:12 -05:00", "told_at: 2026-03-09 15:12"),
        ("case.yml", "  examiner:\n    title", "  The examiner:\n    title"),
        ("case.yml", "harmed: patient\n", ""),
        ("sheets.yml", "  from: 2026", "  from_: 2026"),
        ("clocks.yml", "offset: -6 min 20 s", "offset: soon"),
    ],
)
def test_common_slips_are_marked_while_typing(file: str, old: str, new: str) -> None:
    name, text = TEXTS[file]
    assert text.count(old) == 1
    changed = text.replace(old, new)
    assert faults(name, plain(changed)) and faults(name, yaml.load(changed, Editor))


def readable(file: str, data: Any) -> bool:
    """Whether the reader takes the whole of it."""
    text = yaml.safe_dump(data, allow_unicode=True, sort_keys=False)
    document = read_yaml("a.yml", text.encode())
    assert not document.problems
    kind = KINDS[file]
    if not isinstance(kind, Keyed):
        partial = read_partial(kind.model, document)
        return partial.record is not None and not partial.problems
    assert isinstance(document.data, dict)
    return all(read_record(kind.model, document, (key,))[0] is not None for key in document.data if key != "$schema")


def paths(data: Any, here: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    found = []
    below = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in below:
        found += [(*here, key), *paths(value, (*here, key))]
    return found


@settings(max_examples=300, deadline=None)
@given(file=st.sampled_from(sorted(file for file in KINDS if file in CASE)), draw=st.data())
def test_the_schema_is_never_stricter_than_the_reader(file: str, draw: st.DataObject) -> None:
    name, text = TEXTS[file]
    data = plain(text)
    path = draw.draw(st.sampled_from([path for path in paths(data) if path[0] != "$schema"]))
    inner = data
    for part in path[:-1]:
        inner = inner[part]
    new = draw.draw(
        st.sampled_from(
            ["", None, "yes", "NO", "12", "1.50", "-3", "1e3", "90 W", "-0.5 mA", "2026-03-09", "2026-03-09T15:12:30Z",
             "40 min", "+1 h 05 min", "1 d", "I-1", "a-b", "a--b", "none", "true", "Text, of [=R-output-2] kind",
             [], {}, ["a"], ["I-1"], {"not_known": "why"}, {"a": "b"}]
        )
    )  # fmt: skip
    inner[path[-1]] = new
    if readable(file, data):
        shown = yaml.safe_dump(data, allow_unicode=True)
        assert faults(name, plain(shown)) == []


@pytest.mark.parametrize("name", sorted(ALL))
def test_fields_and_words_are_described_as_the_records_describe_them(name: str) -> None:
    text = schema_json(ALL[name])
    assert '"title"' not in text.replace(f'"title": "{ALL[name]["title"]}"', "").replace('"title": {', "").replace(
        '"title",', ""
    ).replace('"title"\n', "")
    assert re.search(r'"description": "\S', text)
    assert "../" not in text and "/home" not in text


def test_a_description_reaches_the_editor() -> None:
    event = ALL["case.schema.json"]["$defs"]["Event"]["properties"]
    assert event["told_at"]["description"].startswith("When it happened, as told.")


@pytest.mark.parametrize("name", sorted(ALL))
def test_the_schemas_are_those_that_were_accepted(name: str) -> None:
    place = GOLD / name
    text = schema_json(ALL[name])
    if os.environ.get("ASFOUND_ACCEPT") == "1":
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(text, encoding="utf-8", newline="\n")
    assert json.loads(text) == ALL[name]
    assert place.read_text("utf-8") == text, (
        f"{name} has changed; if that is meant: ASFOUND_ACCEPT=1 python -m pytest tests/unit/emit/test_schemas.py"
    )


def test_no_accepted_schema_is_left_over() -> None:
    assert {place.name for place in GOLD.iterdir()} == set(ALL)


def nodes(node: Any) -> list[dict[str, Any]]:
    """Every schema inside a schema."""
    found: list[dict[str, Any]] = []
    if isinstance(node, dict):
        found.append(node)
        below: Any = node.values()
    else:
        below = node if isinstance(node, list) else ()
    for part in below:
        found += nodes(part)
    return found


def words_of(node: dict[str, Any]) -> list[str]:
    return [{True: "yes", False: "no"}[one] if isinstance(one, bool) else str(one) for one in node["enum"]]


@pytest.mark.parametrize("name", sorted(ALL))
def test_every_word_of_every_list_is_explained_in_a_sentence(name: str) -> None:
    for node in nodes(ALL[name]):
        if not isinstance(node.get("enum"), list):
            continue
        told = node.get("enumDescriptions", [])
        assert len(told) == len(node["enum"]), node["enum"]
        assert told == node["markdownEnumDescriptions"]
        assert all(text[0].isupper() and text.endswith(".") for text in told)
        # The same word, typed as an editor types it, means the same.
        pairs = set(zip(words_of(node), told, strict=True))
        assert len(pairs) == len(set(words_of(node)))


def test_no_list_is_explained_that_nobody_has_and_no_word_twice_within_one() -> None:
    used = {
        frozenset(words_of(node)) for schema in ALL.values() for node in nodes(schema) if "enumDescriptions" in node
    }
    assert {frozenset(words) for words in MEANINGS.values()} == used
    for words in MEANINGS.values():
        assert len(set(words.values())) == len(words)


def test_lists_of_the_same_words_mean_the_same() -> None:
    assert len({frozenset(words) for words in MEANINGS.values()}) == len(MEANINGS)


@pytest.mark.parametrize("name", sorted(ALL))
def test_every_example_is_one_that_the_schema_takes(name: str) -> None:
    for node in nodes(ALL[name]):
        for example in node.get("examples", ()) if isinstance(node.get("examples"), list) else ():
            validator = Draft202012Validator({**node, "$defs": ALL[name].get("$defs", {})}, format_checker=FORMATS)
            assert validator.is_valid(example), (node, example)


def test_fields_that_are_no_free_text_show_what_may_stand_there() -> None:
    """An amount, a time, a date, a length of time, the id of a record and a role each show one."""
    event = ALL["case.schema.json"]["$defs"]["Event"]["properties"]
    assert event["told_at"]["examples"] == ["2026-03-09 15:12 -05:00", "2026-03-09T20:12:30Z"]
    assert event["where"]["examples"] == ["operating room 2"]
    for name, schema in ALL.items():
        for node in nodes(schema):
            if node.get("format") == "date" or str(node.get("pattern", "")).startswith(("^[A-Z]", r"^\s*\d{4}")):
                assert node.get("examples"), (name, node)


def test_every_example_is_of_a_field_that_is_there() -> None:
    shown = {
        f"{record}.{field}"
        for schema in ALL.values()
        for record, part in (*schema.get("$defs", {}).items(), *((kind, schema) for kind in SINGLES))
        for field, node in part.get("properties", {}).items()
        if isinstance(node, dict) and "examples" in node
    }
    assert set(FIELDS) <= shown
