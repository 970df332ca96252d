"""Whatever bytes come, the readers answer and never raise; and what they call sound agrees with other readers."""

from __future__ import annotations

import csv
import io

import yaml
from hypothesis import example, given, settings
from hypothesis import strategies as st

from asfound.intake import read_csv, read_yaml, sniff, suggest
from asfound.intake.yaml_nodes import YamlDocument

from .places import rows

YAML_SIGNS = "'\"[]{},:-?|>#%@`~\\ \n\r\x00\u202eé𝛀"
YAML_WORDS = ("a", "b: ", "- ", "? ", "\n  ", "\n\t", "&x ", "*x", "!t ", "---\n", "...\n", "<<: ", "\\x07", "\r\n")
YAML_PIECES = st.lists(st.sampled_from([*YAML_SIGNS, *YAML_WORDS]), max_size=30).map("".join)
CSV_SIGNS = ',"\n\r;=-@\t 1aé𝛀\ufeff'
CSV_PIECES = st.lists(st.sampled_from([*CSV_SIGNS, ",,", '""', "\r\n", "+x", ',"']), max_size=40).map("".join)


def whole(document: YamlDocument) -> None:
    rows(document.problems)
    assert list(document.problems) == sorted(document.problems, key=lambda problem: problem.key)
    if not document.readable:
        assert document.data is None and document.problems


@settings(max_examples=400, deadline=None, derandomize=True)
@given(st.binary(max_size=300))
@example(b"\xff\xfe")
@example(b"\xef\xbb\xbf")
def test_any_bytes(data: bytes) -> None:
    whole(read_yaml("case.yml", data))
    rows(read_csv("r.csv", data).problems)
    assert "/" in sniff(data)


@settings(max_examples=1500, deadline=None, derandomize=True)
@given(YAML_PIECES)
def test_anything_like_yaml(text: str) -> None:
    data = text.encode()
    document = read_yaml("case.yml", data)
    whole(document)
    for problem in document.problems:
        lines = text.removeprefix("\ufeff").split("\n")
        assert 1 <= problem.span.line <= len(lines)
        assert 1 <= problem.span.column <= len(lines[problem.span.line - 1]) + 1
    if not document.problems:
        # PyYAML's base loader, which keeps text as text, reads the same; only what we call nothing differs. Its parser
        # in Python is another than libyaml and refuses some files more (a tab after the last line).
        try:
            other = yaml.load(text, yaml.BaseLoader)
        except yaml.YAMLError:
            other = yaml.load(text, yaml.CBaseLoader)
        assert same(document.data, other)


def same(ours: object, other: object) -> bool:
    if ours is None:
        return other in (None, "", "~", "null")
    if isinstance(ours, dict) and isinstance(other, dict):
        return list(ours) == list(other) and all(same(ours[key], other[key]) for key in ours)
    if isinstance(ours, list) and isinstance(other, list):
        return len(ours) == len(other) and all(map(same, ours, other))
    return ours == other


@settings(max_examples=1500, deadline=None, derandomize=True)
@given(CSV_PIECES)
def test_anything_like_csv(text: str) -> None:
    data = text.encode()
    table = read_csv("r.csv", data)
    rows(table.problems)
    lines = text.removeprefix("\ufeff").split("\n")
    for problem in table.problems:
        assert problem.span.line <= len(lines)
        if problem.span.line:
            assert 1 <= problem.span.column <= len(lines[problem.span.line - 1]) + 1
    for number, row in enumerate(table.rows):
        assert len(row) == len(table.header)
        for cell, typed in enumerate(row):
            line, column = table.place_of(number, cell)
            assert line >= table.line_of(number)
            rest = lines[line - 1][column - 1 :]
            first = typed.replace('"', '""').split("\n")[0] if rest.startswith('"') else typed.split("\n")[0]
            if not table.problems:
                assert rest.removeprefix('"').startswith(first)
    if not table.problems:
        expected = [row for row in csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True) if row]
        assert [table.header, *table.rows] == expected


@settings(deadline=None, derandomize=True)
@given(st.text(max_size=12), st.lists(st.text(max_size=12), max_size=6))
def test_a_suggestion_is_one_of_the_choices(word: str, choices: list[str]) -> None:
    assert suggest(word, choices) in (None, *choices)
