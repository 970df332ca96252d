"""Completion, hover and marks in an editor, by the language server that editors start for YAML, with no network.

The server is `yaml-language-server` (npm, 1.25.0; it reads JSON Schema 2020-12 by its own README, confirmed). It is led
to our schemas by the first line of each file alone, a path relative to the file.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from asfound.emit.schemas import globs, schemas
from asfound.model.meanings import MEANINGS
from tests.conftest import EDITOR, NODE
from tests.unit.emit.test_schemas import Editor

from .language_server import LanguageServer, Mark

pytestmark = pytest.mark.editor

ROOT = Path(__file__).parents[2]
DEMONSTRATED = sorted(path.name for path in (ROOT / "cases").iterdir() if (path / "case.yml").is_file())
NEW = (
    "new", "--id", "pump-1", "--title", "A pump that ran on", "--device", "syringe-pump", "--event", "too much",
    "--harmed", "patient", "--told-at", "2026-05-04 08:20 +02:00", "--time-source", "the wall clock",
    "--where", "a ward", "--account", "The syringe was found empty.", "--in-use", "Syringe pump: main device",
    "--in-use", "Syringe: consumable", "--safe-at", "2026-05-04 08:30 +02:00", "--safe-by", "ward-nurse",
    "--safe-how", "left on its battery", "--examiner", "examiner",
)  # fmt: skip


def asfound(root: Path, *arguments: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "asfound", *arguments], cwd=root, capture_output=True, text=True, encoding="utf-8"
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A repository as `asfound init` makes it, with an opened and planned case, and a space in its path."""
    home = tmp_path_factory.mktemp("editor") / "our cases"
    asfound(home.parent, "init", home.name, "--host", "none", "--name", "Ours")
    asfound(home, *NEW)
    plan = ("--limits", "nfpa-99-2012", "--rule", "guard band", "--by", "examiner", "--at", "2026-05-04 12:00 +02:00")
    asfound(home, "plan", "pump-1", *plan)
    return home


@pytest.fixture(scope="module")
def server(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[LanguageServer]:
    assert EDITOR is not None and NODE is not None
    server = LanguageServer(EDITOR, NODE, root, tmp_path_factory.mktemp("beside"))
    try:
        yield server
        server.close()
        asked = server.asked.read_text("utf-8") if server.asked.exists() else ""
        assert asked == "", f"the server asked for a network:\n{asked}"
    finally:
        server.kill()


def led(root: Path, file: str, text: str) -> tuple[Path, str]:
    """A file of the opened case that is not there yet, with the first line that `asfound schema --line` gives."""
    path = root / "cases/pump-1" / file
    return path, asfound(root, "schema", "--line", f"cases/pump-1/{file}") + text


def shown(marks: list[Mark]) -> list[tuple[int, int, str]]:
    return [(mark.line, mark.column, mark.text) for mark in marks]


# --- what the commands write


def test_what_the_commands_write_leads_to_its_schema_and_has_no_mark(root: Path, server: LanguageServer) -> None:
    files = [*(root / "cases").glob("*/*.yml"), *(root / ".asfound").glob("*.yml")]
    assert {"case.yml", "items.yml", "gates.yml", "plan.yml", "sheets.yml", "instruments.yml"} <= {
        f.name for f in files
    }
    for file in files:
        first = file.read_text("utf-8").partition("\n")[0]
        assert first.startswith("# yaml-language-server: $schema=") and "://" not in first, file
        assert (file.parent / first.partition("=")[2]).resolve().is_file(), file
        assert shown(server.marks(file)) == [], file


# --- completion


def test_keys_of_a_record_are_offered_with_what_is_said_of_them(root: Path, server: LanguageServer) -> None:
    offered = server.completion(*led(root, "items.yml", "I-1:\n  what: Syringe pump\n  |\n"))
    told = schemas()["items.schema.json"]["$defs"]["Item"]["properties"]
    fields = {name: field["description"] for name, field in told.items() if name != "what"}
    assert set(fields) <= set(offered)
    for name, said in fields.items():
        assert said and " ".join(said.split()) in " ".join(offered[name].split()), name


@pytest.mark.parametrize(
    ("file", "text", "list_"),
    [
        ("items.yml", "I-1:\n  what: Syringe pump\n  role: |\n", "main device"),
        ("gates.yml", "gates:\n  G-1:\n    gate: |\n", "inspected"),
        ("explanations.yml", "X-1:\n  explanation: It ran on.\n  status: |\n", "ruled out"),
        ("evidence.yml", "E-1:\n  kind: |\n", "photograph"),
        ("case.yml", "case: pump-1\nharmed: |\n", "visitor"),
        ("plan.yml", "decision_rule: |\n", "guard band"),
    ],
)
def test_words_of_a_list_are_offered_with_what_they_mean(
    root: Path, server: LanguageServer, file: str, text: str, list_: str
) -> None:
    offered = server.completion(*led(root, file, text))
    (words,) = [one for one in MEANINGS.values() if list_ in one and set(one) <= set(offered)]
    assert {word: offered[word] for word in words} == dict(words)


def test_a_new_record_is_offered_with_its_id_and_what_it_needs(root: Path, server: LanguageServer) -> None:
    offered = server.completion(*led(root, "findings.yml", "F-1:\n  text: It ran on.\n  rests_on: [E-1]\n|\n"))
    assert "F-…" in offered
    offered = server.completion(*led(root, "items.yml", "|\n"))
    assert "I-…" in offered


# --- hover


def test_what_a_key_means_is_shown_under_the_pointer(root: Path, server: LanguageServer) -> None:
    said = server.hover(*led(root, "items.yml", "I-1:\n  what: Syringe pump\n  ki|t: pump set\n"))
    assert "The kit or set it belongs to." in said
    said = server.hover(*led(root, "case.yml", "case: pump-1\nhar|med: staff\n"))
    assert all(f"`{word}`" in said and meaning in said for word, meaning in MEANINGS["Harmed"].items())


# --- marks


ITEM = "I-1:\n  what: Pump\n  role: main device\n  in_use_at_event: yes\n  impounded: yes\n"
FAULTS = [
    ("items.yml", ITEM.replace("role", "rol"), (4, 3), "rol"),
    ("items.yml", ITEM.replace("device", "devise"), (4, 9), "main device"),
    ("items.yml", ITEM.replace("  impounded: yes\n", ""), (2, 1), "impounded"),
    ("items.yml", ITEM.replace("I-1", "E-1"), (2, 1), "E-1"),
    ("items.yml", ITEM.replace("event: yes", "event: perhaps"), (5, 20), ""),
    ("findings.yml", "F-1:\n  txt: It ran on.\n  rests_on: [E-1]\n", (3, 3), "txt"),
    ("gates.yml", "gates:\n  G-1:\n    gate: inspected\n    at: 2026-05-04 10:20\n    by: examiner\n", (5, 9), ""),
]  # fmt: skip


@pytest.mark.parametrize(("file", "text", "at", "says"), FAULTS)
def test_a_slip_is_marked_where_it_stands(
    root: Path, server: LanguageServer, file: str, text: str, at: tuple[int, int], says: str
) -> None:
    marks = server.marks(*led(root, file, text))
    found = [mark for mark in marks if (mark.line, mark.column) == at and says in mark.text]
    assert found, shown(marks)


# --- the demonstration, and the same schemas in another reader


@pytest.fixture(scope="module")
def demonstration(root: Path) -> Path:
    """The nine cases in that repository, each file with its first line."""
    for name in DEMONSTRATED:
        shutil.copytree(ROOT / "cases" / name, root / "cases" / name, ignore=shutil.ignore_patterns("evidence"))
        for file in (root / "cases" / name).glob("*.yml"):
            line = asfound_line(file.name)
            file.write_text(f"{line}\n{file.read_text('utf-8')}", "utf-8", newline="\n")
    return root


def asfound_line(name: str) -> str:
    schema = next(one for one, pattern in globs().items() if pattern.endswith(f"/{name}") and "**" in pattern)
    return f"# yaml-language-server: $schema=../../.asfound/schemas/{schema}"


@pytest.mark.parametrize("name", DEMONSTRATED)
def test_no_file_of_a_whole_case_has_a_mark(demonstration: Path, server: LanguageServer, name: str) -> None:
    files = sorted((demonstration / "cases" / name).glob("*.yml"))
    assert len(files) > 12
    assert {file.name: found for file in files if (found := shown(server.marks(file)))} == {}


def slips(text: str) -> Iterator[tuple[str, str]]:
    """A text with one slip each, and what was done to it: some keys misspelt, some plain values that mean nothing."""
    tree = yaml.compose(text, yaml.CSafeLoader)
    assert isinstance(tree, yaml.MappingNode)
    places: list[tuple[str, Any]] = []

    def walk(node: yaml.Node) -> None:
        if isinstance(node, yaml.MappingNode):
            for key, value in node.value:
                places.append(("key", key))
                walk(value)
        elif isinstance(node, yaml.SequenceNode):
            for one in node.value:
                walk(one)
        elif isinstance(node, yaml.ScalarNode) and node.style is None:
            places.append(("value", node))

    walk(tree)
    step = max(len(places) // 6, 1)
    for kind, node in places[::step]:
        start, end = node.start_mark.index, node.end_mark.index
        new = f"{text[start:end]}zz" if kind == "key" else "~~~"
        yield f"{kind} at line {node.start_mark.line + 1}", text[:start] + new + text[end:]


def test_two_readers_of_the_schemas_say_the_same_of_slips(demonstration: Path, server: LanguageServer) -> None:
    """The server against Python's `jsonschema`, on every kind of file of a case, whole and with slips."""
    compared, faulty = 0, 0
    for file in sorted((demonstration / "cases/return-pad-lesion").glob("*.yml")):
        text = file.read_text("utf-8")
        schema = json.loads((demonstration / ".asfound/schemas" / f"{file.stem}.schema.json").read_text("utf-8"))
        validator = Draft202012Validator(schema)
        for what, changed in slips(text):
            theirs = any(validator.iter_errors(yaml.load(changed, Editor)))
            marks = [mark for mark in server.marks(file, changed) if mark.error]
            assert bool(marks) == theirs, (file.name, what, shown(marks))
            compared += 1
            faulty += theirs
    assert compared > 90 and faulty > 40, (compared, faulty)
