"""The largest dossier there is: written, read, written again; and the same in a process of its own."""

from __future__ import annotations

import datetime as dt
import hashlib
import os
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

import asfound
from asfound.assess import assess_case
from asfound.model.dossier import READERS, Dossier, core_json, dossier_json, read_dossier

ROOT = Path(__file__).parents[3]
ON = dt.date(2026, 3, 27)


@cache
def demonstration() -> Dossier:
    made = assess_case(ROOT, ROOT / "cases" / "return-pad-lesion", ON).dossier
    assert made is not None
    return made


def test_it_reads_back_equal_and_writes_the_same_bytes() -> None:
    text = dossier_json(demonstration())
    again = read_dossier(text)
    assert again == demonstration()
    assert dossier_json(again) == text and core_json(again.core) == core_json(demonstration().core)
    assert text.endswith("}\n") and str(ROOT) not in text


def test_another_process_gives_the_same_core() -> None:
    """With another order of hashing, another zone, another language: the digest of the core does not move."""
    script = (
        "import datetime, hashlib, sys; from pathlib import Path; from asfound.assess import assess_case; "
        "from asfound.model.dossier import core_json; root = Path(sys.argv[1]); "
        "made = assess_case(root, root / 'cases' / 'return-pad-lesion', datetime.date(2026, 3, 27)); "
        "print(hashlib.sha256(core_json(made.dossier.core).encode()).hexdigest())"
    )
    mine = hashlib.sha256(core_json(demonstration().core).encode()).hexdigest()
    env = {**os.environ, "PYTHONHASHSEED": "77", "TZ": "Asia/Kolkata", "LC_ALL": "C",
           "PYTHONPATH": str(Path(asfound.__file__).parents[1])}  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-c", script, str(ROOT)], env=env, capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == mine


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        "null",
        '{"core": 1}',
        '{"core": {}}',
        '{"core": {"format": "1"}}',
        '{"core": {"format": []}}',
        '{"core": {"format": true}}',
        "x" * 10,
    ],
)
def test_what_is_no_dossier_is_refused_in_words(text: str) -> None:
    with pytest.raises(ValueError, match=r"this is not a dossier|this program reads 1"):
        read_dossier(text)


def test_a_format_once_written_is_read_for_ever() -> None:
    assert sorted(READERS) == list(range(1, max(READERS) + 1))
    assert demonstration().core.format == max(READERS)
