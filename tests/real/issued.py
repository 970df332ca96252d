"""The nine cases in a repository of git, one of them with two editions between which a reading was typed again."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from asfound.assess import assess_case
from asfound.compare import differences, in_words
from asfound.model.dossier import Dossier
from tests.support.editions import edition, write
from tests.support.repository import Repo

from .support import demonstration

CASE = "return-pad-lesion"
READING, WAS, IS = "R-output-2", "foot switch,81.8", "foot switch,88.1"
"""The reading, as it was typed at first and as it stands: two digits changed places."""
DAY = dt.date(2026, 5, 30)


def _frozen(home: Path) -> Dossier:
    made = assess_case(home.parents[1], home, DAY).dossier
    assert made is not None
    return made


def issued(root: Path) -> Path:
    """Edition 1 as typed first, edition 2 as it stands, everything committed."""
    home = demonstration(root) / "cases" / CASE
    table = home / "readings/output.csv"
    right = table.read_text("utf-8")
    assert right.count(IS) == 1
    table.write_text(right.replace(IS, WAS), "utf-8")
    first = _frozen(home)
    table.write_text(right, "utf-8")
    second = _frozen(home)
    one, text = edition(1, dossier=first, issued_on=DAY - dt.timedelta(9))
    write(home, {"editions/1/edition.json": one.text(), "editions/1/dossier.json": text})
    told = tuple(in_words(move) for move in differences(first.core, second.core))
    assert told
    two, text = edition(2, one.text(), dossier=second, changes=told, issued_on=DAY)
    write(home, {"editions/2/edition.json": two.text(), "editions/2/dossier.json": text})
    Repo(root).commit("Issue the second edition")
    return root
