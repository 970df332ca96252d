"""The catalogue of the readers, and the words they share."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from asfound.intake import ENTRIES, shown, suggest
from asfound.intake.entries import ENTRIES as READER_ENTRIES
from asfound.intake.words import char_name, crop
from asfound.problems import Catalogue, Family

from . import test_csv_rows, test_files, test_yaml_nodes


def test_entries_are_complete_and_stand_once() -> None:
    catalogue = Catalogue(ENTRIES)
    assert len(catalogue) == len(ENTRIES)
    for entry in READER_ENTRIES:
        assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", entry.name)
        assert entry.family is Family.INTEGRITY
        assert entry.title.endswith(".") and entry.reason.endswith(".") and entry.mend.endswith(".")
        assert entry.source and entry.status in ("from memory", "common practice", "ours")


def test_every_rule_has_a_case_that_breaks_it() -> None:
    """No entry without a seeded input, so that a rule which can never speak is found out."""
    modules = (test_csv_rows, test_files, test_yaml_nodes)
    sources = "".join(Path(module.__file__).read_text(encoding="utf-8") for module in modules)
    assert [entry.name for entry in READER_ENTRIES if f'"{entry.name}"' not in sources] == []


@pytest.mark.parametrize(
    ("word", "choices", "meant"),
    [
        ("serail", ["serial", "model", "kind"], "serial"),
        ("Serial", ["serial", "model"], "serial"),
        ("seen_by", ["seen-by", "seen"], "seen-by"),
        ("instrment", ["instrument", "item"], "instrument"),
        ("readngs", ["readings", "reading-note"], "readings"),
        ("ids", ["id", "kind"], "id"),
        ("serial", ["serial", "serials"], "serial"),
        # no guess where it would be no better than chance
        ("itme", ["item", "time"], None),
        ("colour", ["serial", "model", "kind"], None),
        ("a", ["b", "c"], None),
        ("x", ["seen", "who"], None),
        ("", ["seen"], None),
        ("seen", [], None),
        ("A-B", ["a_b", "ab"], None),
        ("__", ["seen"], None),
    ],
)
def test_suggestions(word: str, choices: list[str], meant: str | None) -> None:
    assert suggest(word, choices) == meant
    assert suggest(word, reversed(choices)) == meant


def test_what_cannot_be_seen_is_written_out() -> None:
    assert shown("a\u202eb\x1b[0m\n") == "a<U+202E>b<U+001B>[0m<U+000A>"
    assert shown("µA 写真 é") == "µA 写真 é"
    assert crop("x" * 50) == "x" * 39 + "…" and crop("x" * 40) == "x" * 40
    assert char_name("\u202e") == "U+202E (right-to-left override)"
    assert char_name("\x07") == "U+0007 (bell)" and char_name("\x01") == "U+0001 (control character)"
