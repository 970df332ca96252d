"""YAML: what is kept as typed, what is refused, and where.

The traps are those of YAML 1.2.2 (sections named beside each) and of YAML 1.1 readers, which turn `NO` into a truth
value and `12:30` into a number.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
import yaml

import asfound
from asfound.intake import read_yaml
from asfound.intake.words import LISTED
from asfound.intake.yaml_nodes import MAX_VALUES

from .places import rows

DEEP = "a: " + "[" * 40 + "]" * 40

BAD: list[tuple[str, str, list[tuple[str, int, int]]]] = [
    # YAML 1.2.2, section 3.2.1.3: keys of a mapping are unique
    ("duplicate", "a: 1\nb: 2\na: 3\n", [("yaml-duplicate-key", 3, 1)]),
    ("duplicate in flow", "a: {b: 1, c: 2, b: 3}\n", [("yaml-duplicate-key", 1, 17)]),
    ("duplicate quoted", "a: 1\n'a': 2\n", [("yaml-duplicate-key", 2, 1)]),
    (
        "fault below a duplicate",
        "a: 1\na:\n  b: 1\n  b: 2\n",
        [("yaml-duplicate-key", 2, 1), ("yaml-duplicate-key", 4, 3)],
    ),
    # section 3.2.2.2: anchors and aliases
    ("alias", "a: &x 1\nb: *x\n", [("yaml-anchor-or-alias", 1, 4), ("yaml-anchor-or-alias", 2, 4)]),
    ("unknown alias", "a: 1\nb: *x\n", [("yaml-anchor-or-alias", 2, 4)]),
    ("alias in a list", "- &x a\n- [b, *x]\n", [("yaml-anchor-or-alias", 1, 3), ("yaml-anchor-or-alias", 2, 7)]),
    (
        "alias as a name",
        "a: &x y\n*x : 2\n",
        [("yaml-anchor-or-alias", 1, 4), ("yaml-anchor-or-alias", 2, 1)],
    ),
    ("alias of itself", "a: &x [*x]\n", [("yaml-anchor-or-alias", 1, 4), ("yaml-anchor-or-alias", 1, 8)]),
    ("anchor first", "&x a: 1\n", [("yaml-anchor-or-alias", 1, 1)]),
    # section 3.2.1.2: tags
    ("tag", "a: 1\nb: !!int 3\n", [("yaml-tag", 2, 4)]),
    ("local tag", "a: !device {b: 1}\n", [("yaml-tag", 1, 4)]),
    ("tag of nothing", "a: ! 1\n", [("yaml-tag", 1, 4)]),
    ("program in a tag", "a: !!python/object/apply:os.system [echo]\n", [("yaml-tag", 1, 4)]),
    # section 3.2.1.1: any node may be a key; here a text only
    ("list as a name", "? [a]\n: 1\n", [("yaml-key-not-text", 1, 3)]),
    ("mapping as a name", "{a: 1}: 2\n", [("yaml-key-not-text", 1, 1)]),
    ("nothing as a name", "a: 1\n~: 2\n", [("yaml-key-not-text", 2, 1)]),
    ("null as a name", "null: 2\n", [("yaml-key-not-text", 1, 1)]),
    ("no name", "a: 1\n: 2\n", [("yaml-key-not-text", 2, 1)]),
    ("merge", "a: 1\n<<: {b: 2}\n", [("yaml-merge-key", 2, 1)]),
    # section 9.2: streams of documents
    ("two documents", "a: 1\n---\nb: 2\n", [("yaml-several-documents", 2, 1)]),
    ("two documents by dots", "a: 1\n...\nb: 2\n", [("yaml-several-documents", 3, 1)]),
    ("three documents", "---\na: 1\n---\nb: 2\n---\nc: 3\n", [("yaml-several-documents", 3, 1)]),
    ("too deep", DEEP, [("yaml-too-deep", 1, 35)]),
    ("a pit", "[" * 100_000, [("yaml-too-deep", 1, 1001)]),
    ("a pit of dashes", "- " * 100_000, [("yaml-too-deep", 1, 1999)]),
    # section 6.1: indentation is spaces
    ("tab", "a:\n\tb: 1\n", [("yaml-tab-indentation", 2, 1)]),
    ("tab after spaces", "a:\n  b: 1\n  \tc: 2\n", [("yaml-tab-indentation", 3, 3)]),
    ("tab in a block text", "a: |\n\ttext\n", [("yaml-tab-indentation", 2, 1)]),
    # section 5.1: printable characters; section 5.4: line ends
    ("bell", "a: 1\nb: x\x07\n", [("text-control-character", 2, 5)]),
    ("null", "a: \x00\n", [("text-control-character", 1, 4)]),
    ("next line", "a: x\x85y\n", [("text-control-character", 1, 5)]),
    ("line separator", "a: x\u2028y\n", [("text-control-character", 1, 5)]),
    ("lone carriage return", "a: 'x\ry'\n", [("text-control-character", 1, 6)]),
    ("right-to-left override", "a: x\u202ey\n", [("text-bidirectional", 1, 5)]),
    ("isolate", "ü: \u2066x\u2069\n", [("text-bidirectional", 1, 4), ("text-bidirectional", 1, 6)]),
    ("Arabic letter mark", "a: \u061cx\n", [("text-bidirectional", 1, 4)]),
    ("left-to-right mark", "a: x\u200e\n", [("text-bidirectional", 1, 5)]),
    ("zero width", "a: SN\u200b-1\n", [("text-invisible-character", 1, 6)]),
    ("mark in the middle", "a: x\ufeff\n", [("text-invisible-character", 1, 5)]),
    ("lost character", "a: caf\ufffd\n", [("text-lost-character", 1, 7)]),
    ("control by escape", 'a: "x\\x07"\n', [("text-control-character", 1, 6)]),
    ("override by escape", 'a: "x"\nb: "\n  y\\u202e"\n', [("text-bidirectional", 3, 4)]),
    ("escape in a name", '"a\\0": 1\n', [("text-control-character", 1, 3)]),
    # what people type, and what the parser says in its own words
    ("colon in a text", "a: 1\nnote: label reads: 12 V\n", [("yaml-syntax", 2, 18)]),
    ("colon in a list entry", "- cord: nicked: at plug\n", [("yaml-syntax", 1, 15)]),
    ("value and lines", "a: 1\n  b: 2\n", [("yaml-syntax", 2, 3)]),
    ("no space after a colon", "a:b\nc: d\n", [("yaml-syntax", 1, 2)]),
    ("no colon", "a: 1\nfoo\nc: 2\n", [("yaml-syntax", 2, 1)]),
    ("no space after a dash", "a:\n  - x\n  -y\n", [("yaml-syntax", 3, 3)]),
    ("single quote open", "a: 'x\nb: 1\n", [("yaml-syntax", 1, 4)]),
    ("double quote open", 'a: 1\nb: "x\nc: 1\n', [("yaml-syntax", 2, 4)]),
    ("quote open, another below", "a: 'x\nb: 1\nc: 'y'\n", [("yaml-syntax", 1, 4)]),
    ("apostrophe in single quotes", "a: 'it's'\n", [("yaml-syntax", 1, 8)]),
    ("text after a quote", 'a: 1\nb: "y" z\n', [("yaml-syntax", 2, 8)]),
    ("dashes inside a quote", 'a: "x\n---\ny"\n', [("yaml-syntax", 1, 4)]),
    ("indent of none above", "a:\n    b: 1\n  c: 2\n", [("yaml-syntax", 3, 3)]),
    ("list among names", "a: b\n- c\n", [("yaml-syntax", 2, 1)]),
    ("list entry out of line", "a:\n  - b\n - c\n", [("yaml-syntax", 3, 2)]),
    ("name in a list", "- a\nb: 1\n", [("yaml-syntax", 2, 1)]),
    ("list on the line of its name", "key: - a\n", [("yaml-syntax", 1, 6)]),
    ("bracket open", "a: [1, 2\nb: 3\n", [("yaml-syntax", 1, 4)]),
    ("brace open at the end", "a: 1\nb: {c: 1", [("yaml-syntax", 2, 4)]),
    ("no comma", "a: [b, c: d: e]\n", [("yaml-syntax", 1, 12)]),
    ("stray brace", "a: }\n", [("yaml-syntax", 1, 4)]),
    ("begins with @", "a: @x\n", [("yaml-syntax", 1, 4)]),
    ("begins with a backtick", "a: `x`\n", [("yaml-syntax", 1, 4)]),
    ("begins with %", "a: %x\n", [("yaml-syntax", 1, 4)]),
    ("begins with a comma", "a: ,x\n", [("yaml-syntax", 1, 4)]),
    ("begins with a question mark", "a: ? y\n", [("yaml-syntax", 1, 4)]),
    ("lone asterisk", "a: * x\n", [("yaml-syntax", 1, 4)]),
    ("backslash", 'a: "C:\\dir"\n', [("yaml-syntax", 1, 7)]),
    ("text on the line of a bar", "a: |x\n", [("yaml-syntax", 1, 4)]),
    ("text after the end", "[a]\nb: 1\n", [("yaml-syntax", 2, 1)]),
    ("another version", "%YAML 3.0\n---\na: 1\n", [("yaml-syntax", 1, 1)]),
]


@pytest.mark.parametrize(("text", "expected"), [row[1:] for row in BAD], ids=[row[0] for row in BAD])
def test_bad_input_is_named_at_its_place(text: str, expected: list[tuple[str, int, int]]) -> None:
    assert rows(read_yaml("case.yml", text.encode()).problems) == expected


@pytest.mark.parametrize(
    ("data", "expected", "words"),
    [
        (b"a: 1\nn\xb5: 2\n", [("text-not-utf8", 2, 2)], "Windows-1252, where it stands for “µ”"),
        ("ü: ".encode() + b"\xe9\n", [("text-not-utf8", 1, 4)], "byte 4 of the file (0xE9)"),
        (b"\xef\xbb\xbfa: \xe9\n", [("text-not-utf8", 1, 4)], "“é”"),
        (b"a: \x8e\x81\n", [("text-not-utf8", 1, 4)], "Mac Roman, where it stands for “é”"),
        (b"a: \xc3\n", [("text-not-utf8", 1, 4)], "0xC3"),
        (b"a: \xe9\nb: 1\nc: \xe8\n", [("text-not-utf8", 1, 4), ("text-not-utf8", 3, 4)], "“é”"),
        # RFC 3629, section 3: surrogates and overlong forms are not UTF-8
        (b"a: \xed\xa0\x80\n", [("text-not-utf8", 1, 4)], "0xED"),
        (b"a: \xc0\xaf\n", [("text-not-utf8", 1, 4)], "0xC0"),
        ("a: 1\n".encode("utf-16"), [("text-utf16", 1, 1)], "UTF-16"),
        ("a: 1\n".encode("utf-16-be"), [("text-utf16", 1, 1)], "big-endian"),
        ("a: 1\n".encode("utf-16-le"), [("text-utf16", 1, 1)], "little-endian"),
        ("a: 1\n".encode("utf-32"), [("text-utf16", 1, 1)], "UTF-32"),
        (b"PK\x03\x04\x14\x00\x06\x00", [("text-binary", 0, 0)], "ZIP archive or a spreadsheet"),
        (b"\xff\xd8\xff\xe0\x00\x10JFIF", [("text-binary", 0, 0)], "JPEG"),
        (b"%PDF-1.7\n", [("text-binary", 0, 0)], "PDF"),
        (b"version https://git-lfs.github.com/spec/v1\noid sha256:0\n", [("file-lfs-pointer", 1, 1)], "Git LFS"),
        (b"a" * (8 * 1_048_576 + 1), [("file-too-large", 0, 0)], "8.0 MiB"),
    ],
)
def test_bytes_that_are_no_utf8_text(data: bytes, expected: list[tuple[str, int, int]], words: str) -> None:
    document = read_yaml("case.yml", data)
    assert rows(document.problems) == expected
    assert words in document.problems[0].headline()
    assert document.data is None and not document.readable


def test_text_stays_as_typed() -> None:
    """What YAML 1.1 readers turn into numbers, dates and truth values (PyYAML's safe loader is the proof)."""
    source = "\n".join(
        f"k{i}: {typed}"
        for i, typed in enumerate(
            [
                *("NO", "no", "on", "Yes", "y", "true", "12:30", "12:30:45", "1_000", "0777", "0x1F", "0b11", "1e3"),
                *("1.10", "010", "2026-03-01", ".5", "5.", "=", "190:20:30.15", ".inf"),
            ]
        )
    )
    document = read_yaml("case.yml", source.encode())
    data = document.data
    assert isinstance(data, dict) and document.problems == ()
    for line in source.splitlines():
        name, _, typed = line.partition(": ")
        assert data[name] == typed
    changed = yaml.load(source.replace("k18: =", "k18: x"), yaml.CSafeLoader)
    assert changed["k0"] is False and changed["k7"] == 45045 and changed["k14"] == 8


def test_what_is_nothing() -> None:
    document = read_yaml("case.yml", b"a:\nb: ~\nc: null\nd: ''\ne: '~'\nf: NULL\ng: \"null\"\nh: []\ni: {}\n")
    assert document.data == {
        "a": None,
        "b": None,
        "c": None,
        "d": "",
        "e": "~",
        "f": "NULL",
        "g": "null",
        "h": [],
        "i": {},
    }
    assert document.quoted == {("d",), ("e",), ("g",)}


@pytest.mark.parametrize("data", [b"", b"\n\n", b"# nothing\n", b"---\n", b"\xef\xbb\xbf", b"---\n...\n"])
def test_empty_files_are_no_fault(data: bytes) -> None:
    document = read_yaml("case.yml", data)
    assert (document.data, document.problems, document.readable) == (None, (), True)
    assert document.place(("a", 0)) in ((0, 0), (1, 4), (2, 1))


def test_places_count_characters() -> None:
    text = "\ufeffüß: 1\r\nitems:\r\n  I-1:\r\n    marks: [𝛀𝛀, {b: c}]\r\n  'I-2': |\r\n    a\r\n"
    document = read_yaml("case.yml", text.encode())
    assert document.problems == ()
    assert document.data == {"üß": "1", "items": {"I-1": {"marks": ["𝛀𝛀", {"b": "c"}]}, "I-2": "a\n"}}
    assert document.places == {
        (): (1, 1),
        ("üß",): (1, 5),
        ("items",): (3, 3),
        ("items", "I-1"): (4, 5),
        ("items", "I-1", "marks"): (4, 12),
        ("items", "I-1", "marks", 0): (4, 13),
        ("items", "I-1", "marks", 1): (4, 17),
        ("items", "I-1", "marks", 1, "b"): (4, 21),
        ("items", "I-2"): (5, 10),
    }
    assert document.key_places[("items", "I-2")] == (5, 3)
    assert document.key_places[("items", "I-1", "marks", 1, "b")] == (4, 18)
    assert set(document.places) - set(document.key_places) == {
        (),
        ("items", "I-1", "marks", 0),
        ("items", "I-1", "marks", 1),
    }
    assert document.quoted == {("items", "I-2")}
    assert document.place(("items", "I-9", "serial")) == (3, 3)


def test_of_two_names_the_first_is_kept_and_both_lines_are_said() -> None:
    document = read_yaml("items.yml", b"I-1:\n  serial: A\nI-2: x\nI-1:\n  serial: B\n")
    assert document.data == {"I-1": {"serial": "A"}, "I-2": "x"}
    (problem,) = document.problems
    assert str(problem.span) == "items.yml:4:1" and str(problem.related[0]) == "items.yml:1:1"
    assert "line 1" in problem.found
    assert document.places[("I-1", "serial")] == (2, 11)


def test_an_alias_is_never_taken() -> None:
    document = read_yaml("case.yml", b"a: &x {b: [1, 2]}\nc: *x\nd: [*x, 3]\n")
    assert document.data == {"a": {"b": ["1", "2"]}, "c": None, "d": [None, "3"]}
    assert document.refused == {("c",), ("d", 0)}


def test_a_bomb_of_aliases_costs_nothing() -> None:
    text = "a0: &a0 [x, x]\n" + "".join(f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]\n" for i in range(1, 12))
    document = read_yaml("case.yml", text.encode())
    assert {problem.rule for problem in document.problems} == {"yaml-anchor-or-alias"}
    assert len(document.problems) == LISTED and "more places" in max(p.found for p in document.problems)
    assert len(document.places) < 200


@pytest.mark.parametrize("unit", ["[],", "a,", "{},", "{a: b},"])
def test_too_many_values_are_refused_before_they_are_built(unit: str) -> None:
    document = read_yaml("case.yml", ("a: [" + unit * (MAX_VALUES + 5) + "]").encode())
    assert [problem.rule for problem in document.problems] == ["yaml-too-many-values"]
    assert document.data is None and not document.readable


def test_many_values_within_the_bound_are_read() -> None:
    document = read_yaml("case.yml", ("a: [" + "b," * (MAX_VALUES - 3) + "]").encode())
    assert document.problems == () and isinstance(document.data, dict)
    assert len(document.data["a"] or ()) == MAX_VALUES - 3


def test_thirty_two_levels_are_read_and_one_more_is_not() -> None:
    assert read_yaml("case.yml", ("[" * 32 + "]" * 32).encode()).problems == ()
    assert rows(read_yaml("case.yml", ("[" * 33 + "]" * 33).encode()).problems) == [("yaml-too-deep", 1, 33)]


@pytest.mark.parametrize(
    "text",
    [
        "a: R & D, 3 * 4 and stop!\n",
        "a: |\n  * first point\n  *emphasis* and !important &amp;\n",
        "a: '*x'\nb: \"&y\"\nc: '!z'\n",
        "a: x*y\nb: a&b\nc: wow!\n",
        "a: >\n  folded *text* here\n",
    ],
)
def test_signs_inside_text_are_text(text: str) -> None:
    document = read_yaml("case.yml", text.encode())
    assert document.problems == ()
    assert document.data == yaml.load(text, yaml.CSafeLoader)


def test_a_file_full_of_one_fault_is_counted_not_listed() -> None:
    """Twenty places are listed; what costs time to count is counted to ten thousand."""
    for data, words in (
        (b"a: 1\n" * 50, f"{49 - LISTED} more places"),
        (b'a: "' + b"\\x07" * 500_000 + b'"', "U+0007"),
        (b"\x01" * 50_000, f"at least {10_000 - LISTED} more places"),
        (b"\xe9\n" * 50_000, f"at least {10_000 - LISTED} more places"),
    ):
        problems = read_yaml("case.yml", data).problems
        assert len(problems) == LISTED and words in problems[-1].found


def test_problems_of_a_file_are_all_said_at_once() -> None:
    text = "a: 1\na: 2\nb: &x 1\nc: !t 2\nd: x\u202e\n? [e]\n: 3\n"
    assert rows(read_yaml("case.yml", text.encode()).problems) == [
        ("yaml-duplicate-key", 2, 1),
        ("yaml-anchor-or-alias", 3, 4),
        ("yaml-tag", 4, 4),
        ("text-bidirectional", 5, 5),
        ("yaml-key-not-text", 6, 3),
    ]


def test_what_is_read_beside_an_independent_reader() -> None:
    """PyYAML's own base loader (all text) reads the same mappings from a file without anything we refuse."""
    text = "people:\n  examiner: {role: engineer, since: 2019}\nitems:\n- a\n- - b\n  - 'c: d'\nnote: |\n  x\n\n  y\n"
    assert read_yaml("case.yml", text.encode()).data == yaml.load(text, yaml.BaseLoader)


def test_without_libyaml_the_reader_says_so() -> None:
    code = "import sys; sys.modules['yaml._yaml'] = None\nimport asfound.intake.yaml_nodes"
    run = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=False,
        env={"PYTHONPATH": str(Path(asfound.__file__).parents[1])},
    )
    assert run.returncode == 1
    assert "reads YAML with libyaml" in run.stderr and "pip install" in run.stderr
