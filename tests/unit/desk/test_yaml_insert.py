"""Records put into YAML: every other byte stays, and what was written reads as it was meant."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from asfound.desk import Refused, insert_records
from asfound.desk.yaml_text import scalar
from asfound.intake import read_yaml

ROOT = Path(__file__).parents[3]
DEMO = sorted((ROOT / "cases").glob("*/*.yml"))
KEYED = [path for path in DEMO if re.match(rb"[A-Z]-\S+:\r?\n", path.read_bytes())]

RECORD = {
    "file": "evidence/a.jpg",
    "sha256": "0" * 64,
    "kind": "photograph",
    "shows": 'The plug, as found: "dry"; #3 of 4.',
    "items": ["I-1", "I-2"],
    "taken_at": "2026-03-09 15:12:40 -05:00",
    "as_found": "yes",
    "kept_elsewhere": {"keeper": "risk-manager", "size": "31 bytes"},
    "comparisons": [{"at": "2026-03-09 15:12 -05:00", "offset": "-14 s", "evidence": ["E-1"]}],
}


def by_other_reader(data: bytes) -> Any:
    """The text read by PyYAML's own pure-Python loader without opinions: a second reader, sharing no code with ours."""
    return yaml.load(data.decode("utf-8-sig"), Loader=yaml.BaseLoader)


def lay_out(data: bytes, how: str) -> bytes:
    """The same YAML in another layout, as editors and people leave it."""
    text = data.decode()
    for word in how.split():
        if word == "crlf":
            text = text.replace("\n", "\r\n")
        elif word == "bom":
            text = "\ufeff" + text
        elif word == "comments":
            text = re.sub(r"(?m)^([A-Z]-\S+:)(\r?)$", r"# before \1\2\n\1 # beside it\2", text)
        elif word == "open-end":
            text = text.rstrip("\r\n")
        elif word == "start":
            text = "---\n" + text
        elif word == "stop":
            text = text + "...\n"
        elif word == "blank":
            text = text + "\n\n"
        elif word == "tail":
            text = text + "# the end\n  # and more\n"
        elif word == "four":
            text = re.sub(r"(?m)^( +)", lambda hit: hit[1] * 2, text)
    return text.encode()


LAYOUTS = st.lists(
    st.sampled_from(["comments", "start", "blank", "tail", "stop", "four"]), unique=True, max_size=4
).flatmap(
    lambda some: st.sampled_from(["", "crlf", "bom", "crlf bom", "open-end", "crlf open-end bom"]).map(
        lambda last: " ".join((*sorted(some, key=["four", "comments", "blank", "tail", "stop", "start"].index), last))
    )
)
WORDS = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"]), min_size=1, max_size=40
)


@given(st.sampled_from(KEYED), LAYOUTS, st.dictionaries(st.sampled_from(["shows", "note", "a b"]), WORDS, min_size=1))
@settings(max_examples=300, deadline=None)
def test_every_old_byte_stays_and_the_new_record_reads_as_meant(path: Path, how: str, texts: dict[str, str]) -> None:
    data = lay_out(path.read_bytes(), how)
    # Deeper steps part a list's names from one another where they stand beside its dash: such a file is none.
    assume(read_yaml("a.yml", data).problems == ())
    if "open-end" in how:
        # A block text at the very end would gain a line end; that refusal has a test of its own.
        assume(by_other_reader(data) == by_other_reader(data + b"\n"))
    record = {**RECORD, **texts}
    made = insert_records("a.yml", data, {"Z-1": record, "Z-2": {"what": "a second"}})
    assert made.data[: made.start] + made.data[made.end :] == data
    old, new = by_other_reader(data), by_other_reader(made.data)
    assert new.pop("Z-1") == record and new.pop("Z-2") == {"what": "a second"}
    assert new == old and list(new) == list(old)
    assert made.data.decode().removeprefix("\ufeff").splitlines()[made.lines["Z-1"] - 1] == "Z-1:"
    added = made.data[made.start : made.end]
    assert added.count(b"\r\n") == (added.count(b"\n") if b"\r\n" in data else 0)
    assert made.data.endswith(b"\n") == data.endswith(b"\n")


@given(WORDS)
@settings(max_examples=500)
def test_every_text_reads_back_as_itself_by_two_readers(text: str) -> None:
    for in_brackets in (False, True):
        written = scalar(text, in_brackets)
        line = f"a: [{written}]\n" if in_brackets else f"a: {written}\n"
        meant = [text] if in_brackets else text
        assert yaml.load(line, Loader=yaml.BaseLoader) == {"a": meant}
        assert read_yaml("a.yml", line.encode()).data == {"a": meant}


@pytest.mark.parametrize("text", ["12:30", "010", "1.10", "no", "null", "~", "0x1F", "-5", "2026", "y", "1_000", "1e5"])
def test_what_other_readers_take_for_numbers_and_the_like_is_quoted_or_left_a_word_of_ours(text: str) -> None:
    """YAML 1.1 turns 12:30 into 750 and no into false; yes and no are words of the format and stay bare."""
    written = scalar(text)
    assert yaml.load(written, Loader=yaml.BaseLoader) == text
    if text != "no":
        assert yaml.safe_load(written) == text


def test_a_character_no_file_may_hold_is_refused() -> None:
    with pytest.raises(Refused, match="may hold"):
        insert_records("a.yml", b"E-1:\n  shows: a\n", {"E-2": {"shows": "a\u202eb"}})


NESTED = b"""\
# the scene
settings:
    A-1:
        item: I-1   # as found
        value: |
            # not a comment
            90 W
    # A-1 ends here

    A-2:
        item: I-2
        list:
            - {a: b,
               c: d}
    # still of the settings
# of the connections
connections:
    L-1: {from: I-1, to: I-2}
note: last
"""


def test_a_record_goes_to_the_end_of_a_nested_mapping() -> None:
    made = insert_records("scene.yml", NESTED, {"A-3": {"item": "I-3", "more": {"x": "z"}}}, into=("settings",))
    assert made.data[made.start : made.end] == (b"    A-3:\n        item: I-3\n        more:\n            x: z\n")
    assert made.data[: made.start].endswith(b"# still of the settings\n") and made.lines == {"A-3": 16}


def test_a_record_goes_after_a_named_one_and_leaves_its_comments_with_it() -> None:
    made = insert_records("scene.yml", NESTED, {"A-3": {"item": "I-3"}}, into=("settings",), after="A-1")
    assert list(by_other_reader(made.data)["settings"]) == ["A-1", "A-3", "A-2"]
    assert made.data[made.end :].startswith(b"    # A-1 ends here\n")


def test_a_single_record_can_be_given_a_field() -> None:
    made = insert_records("scene.yml", NESTED, {"touched_since": "Nobody."}, after="settings")
    assert list(by_other_reader(made.data)) == ["settings", "touched_since", "connections", "note"]


@pytest.mark.parametrize("end", [b"\n", b"\r\n", b""])
def test_a_mapping_with_nothing_in_it_is_begun(end: bytes) -> None:
    made = insert_records("scene.yml", b"settings:" + end, {"A-1": {"item": "I-1"}}, into=("settings",))
    assert by_other_reader(made.data) == {"settings": {"A-1": {"item": "I-1"}}}


@pytest.mark.parametrize("data", [b"", b"\xef\xbb\xbf", b"# nothing yet\n", b"\n\n", b"# no line end", b"---\n"])
def test_an_empty_file_is_begun(data: bytes) -> None:
    made = insert_records("evidence.yml", data, {"E-1": {"kind": "log"}})
    assert by_other_reader(made.data) == {"E-1": {"kind": "log"}}
    assert made.data[: made.start] + made.data[made.end :] == data


@pytest.mark.parametrize(
    ("data", "records", "into", "why"),
    [
        (b"E-1: {kind: log}\n", {"E-1": {"kind": "log"}}, (), "holds E-1 already"),
        (b"{E-1: {kind: log}}\n", {"E-2": {"kind": "log"}}, (), "in braces"),
        (b"- a\n", {"E-2": {"kind": "log"}}, (), "no records under their ids"),
        (b"E-1: [a\n", {"E-2": {"kind": "log"}}, (), "cannot be read"),
        (b"a: b\n---\nc: d\n", {"E-2": {"kind": "log"}}, (), "mended first"),
        (b"a: b\n", {"E-2": {"kind": "log"}}, ("c",), "no mapping c"),
        (b"a: b\n", {"E-2": {"kind": "log"}}, ("a",), "something else than records"),
        (b"a: {}\n", {"E-2": {"kind": "log"}}, ("a",), "in braces"),
        (b"a: b\n", {}, (), "nothing to put"),
        (b"\xff\xfea\x00", {"E-2": {"kind": "log"}}, (), "cannot be read"),
        # The last text would gain a line end.
        (b"E-1:\n  note: |\n    text", {"E-2": {"kind": "log"}}, (), "without changing"),
    ],
)
def test_what_cannot_be_done_without_harm_is_refused_with_the_reason(
    data: bytes, records: dict[str, Any], into: tuple[str, ...], why: str
) -> None:
    with pytest.raises(Refused, match=why):
        insert_records("a.yml", data, records, into)


def test_an_entry_that_does_not_stand_there_is_refused() -> None:
    with pytest.raises(Refused, match="no entry b"):
        insert_records("a.yml", b"a: b\n", {"c": "d"}, after="b")


@given(st.binary(max_size=60) | st.text("ab:-|>#{}[]\n\r '\"&*!?%", max_size=60).map(str.encode))
@settings(max_examples=500, deadline=None)
def test_any_bytes_are_written_to_soundly_or_refused(data: bytes) -> None:
    try:
        made = insert_records("a.yml", data, {"Z-1": {"kind": "log"}})
    except Refused as refused:
        assert refused.reasons and all(refused.reasons)
        return
    assert made.data[: made.start] + made.data[made.end :] == data
    assert read_yaml("a.yml", made.data).data["Z-1"] == {"kind": "log"}  # type: ignore[index,call-overload]
