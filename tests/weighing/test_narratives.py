"""Each narrative's statuses, levels and weakest link come out as it says, and a level above is refused."""

from __future__ import annotations

import datetime as dt
import html
import re
import shutil
from functools import cache
from pathlib import Path

import pytest

from asfound.assess import Assessment, assess_case, open_repository
from asfound.assess.strike import strike
from asfound.model.weighing import Weighing
from asfound.pages import standalone
from asfound.problems import Level, Problem
from tests.weighing.narratives import NARRATIVES, Narrative

ON = dt.date(2026, 5, 30)
LEVELS = ("undetermined", "possible", "probable", "established")

each = pytest.mark.parametrize("told", NARRATIVES, ids=lambda told: told.name)


@cache
def assessed(told: Narrative) -> Assessment:
    return assess_case(told.root, told.folder, ON)


def weighed(found: Assessment) -> Weighing:
    assert found.dossier is not None
    weighing = found.dossier.core.weighing
    assert weighing is not None
    return weighing


def copied(told: Narrative, home: Path) -> Path:
    """The case in a repository of its own, with the organisation's files; gives the case folder."""
    shutil.copytree(told.root / ".asfound", home / ".asfound")
    return Path(shutil.copytree(told.folder, home / "cases" / told.case))


def edited(told: Narrative, home: Path, *edits: tuple[str, str, str]) -> Assessment:
    """The case with some edits, each of which finds its text once."""
    folder = copied(told, home)
    for name, old, new in edits:
        path = folder / name
        text = path.read_text("utf-8")
        assert text.count(old) == 1, f"{name} holds {text.count(old)} times, not once: {old!r}"
        path.write_text(text.replace(old, new), "utf-8")
    return assess_case(home, folder, ON)


def rejects(found: Assessment) -> list[Problem]:
    return [problem for problem in found.problems if problem.level is Level.REJECT]


@each
def test_the_good_case_is_not_refused(told: Narrative) -> None:
    assert [problem.headline() for problem in rejects(assessed(told))] == []


@each
def test_every_explanation_stands_as_the_narrative_says(told: Narrative) -> None:
    standings = weighed(assessed(told)).standings
    found = {one.ref: str(one.status) for one in standings if one.ref in told.statuses}
    assert found == told.statuses
    # What the author wrote is what was earned: none of these cases leans on a more careful word.
    assert {one.ref: str(one.claimed) for one in standings if one.ref in told.statuses} == told.statuses


@each
def test_the_levels_are_those_of_the_narrative(told: Narrative) -> None:
    weighing = weighed(assessed(told))
    assert (str(weighing.mechanism.level), str(weighing.reason.level)) == (told.mechanism, told.reason)


@each
def test_the_weakest_link_is_the_one_the_narrative_names(told: Narrative) -> None:
    ceiling = weighed(assessed(told)).mechanism
    weakest = ceiling.weakest
    assert ((weakest.name, weakest.refs) if weakest else ("", ())) == told.weakest
    others = [link.refs for link in ceiling.links if link.caps is ceiling.level]
    assert all(refs in others for refs in told.also)
    assert bool(ceiling.would_raise) == (weakest is not None)


@each
def test_a_reader_of_the_record_finds_the_level_and_what_holds_it(told: Narrative) -> None:
    found = assessed(told)
    assert found.dossier is not None
    # Ids in a sentence are links on the page; those it does not name stand behind it in brackets.
    page = re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", "", standalone(found.dossier, {}))))
    ceiling = weighed(found).mechanism
    assert f"is {told.mechanism}" in page
    for link in ceiling.links[:1]:
        assert re.sub(r"\s+", " ", link.text).rstrip(".") in page


def _opinion(told: Narrative, part: str) -> str:
    """The opinion's lines up to its level, which stand once in conclusion.yml."""
    text = (told.folder / "conclusion.yml").read_text("utf-8")
    found = re.search(rf"^{part}:\n(?:  .*\n|\n)*?  level: \w+\n", text, re.MULTILINE)
    assert found is not None
    return found[0]


@each
@pytest.mark.parametrize("part", ["mechanism", "reason"])
def test_one_level_more_is_refused_with_the_link_that_forbids_it(told: Narrative, part: str, tmp_path: Path) -> None:
    ceiling = weighed(assessed(told)).ceiling(part)
    now = told.mechanism if part == "mechanism" else told.reason
    if now == LEVELS[-1]:
        pytest.skip("there is no level above established")
    block = _opinion(told, part)
    higher = LEVELS[LEVELS.index(now) + 1]
    raised = re.sub(r"level: \w+\n$", f"level: {higher}\n", block)
    assert raised != block
    found = edited(told, tmp_path, ("conclusion.yml", block, raised))
    (problem,) = [one for one in rejects(found) if one.rule == "level-above-ceiling"]
    assert problem.span.path.endswith("conclusion.yml")
    line = (tmp_path / "cases" / told.case / "conclusion.yml").read_text("utf-8").splitlines()[problem.span.line - 1]
    assert line == f"  level: {higher}"
    assert f"the {part} is held as {higher}, and the evidence earns {now}" in problem.found
    assert ceiling.weakest is not None
    named = [ref for ref in ceiling.weakest.refs if ref[:1] in "IXFW"]
    assert all(ref in problem.found for ref in named[:1]), problem.found


@each
def test_one_level_less_is_nobody_s_business(told: Narrative, tmp_path: Path) -> None:
    if told.mechanism == LEVELS[0]:
        pytest.skip("there is no level below undetermined")
    block = _opinion(told, "mechanism")
    lower = LEVELS[LEVELS.index(told.mechanism) - 1]
    found = edited(told, tmp_path, ("conclusion.yml", block, re.sub(r"level: \w+\n$", f"level: {lower}\n", block)))
    assert [one.headline() for one in found.problems if one.rule == "level-above-ceiling"] == []


@each
def test_without_the_deciding_reading_the_level_falls(told: Narrative, tmp_path: Path) -> None:
    """Once with the readings void in the file itself, once as the strike-out tells it: both say the same."""
    ref, level = told.deciding
    if not ref:
        pytest.skip("an undetermined mechanism cannot be held less strongly")
    (strike,) = [one for one in weighed(assessed(told)).strikes if _strikes(one.refs, ref, told)]
    assert {fall.of: fall.after for fall in strike.levels}["mechanism"] == level
    folder = copied(told, tmp_path)
    sheet = _sheet(ref)
    path = folder / "readings" / f"{sheet.removeprefix('S-')}.csv"
    head, *rows = path.read_text("utf-8").splitlines()
    path.write_text("\n".join([f"{head},void", *(f"{row},taken away by this test" for row in rows), ""]), "utf-8")
    left = weighed(assess_case(tmp_path, folder, ON)).mechanism.level
    assert str(left) == level


@each
def test_one_record_taken_away_by_hand_falls_as_the_page_of_all_says(told: Narrative) -> None:
    """`asfound without` computes again what the assessment foresaw for each record; levels and statuses agree."""
    dossier = assessed(told).dossier
    assert dossier is not None
    shared = open_repository(told.root)
    foreseen = {one.refs[0]: one for one in weighed(assessed(told)).strikes}
    kinds = (*dossier.core.instruments, *dossier.core.case.items, *dossier.core.case.evidence)
    agreed = 0
    for ref in kinds:
        found, then = strike(dossier, shared, [ref]), foreseen.get(ref)
        assert (found.levels, found.statuses) == ((then.levels, then.statuses) if then else ((), ())), ref
        # What no explanation cites is no candidate of its own, though a finding may rest on it.
        assert then is None or found.findings == then.findings, ref
        agreed += then is not None
    assert agreed > 2


def _sheet(ref: str) -> str:
    return ref if ref.startswith("S-") else "S-" + ref.removeprefix("R-").rpartition("-")[0]


def _strikes(refs: tuple[str, ...], ref: str, told: Narrative) -> bool:
    return refs in {(ref,), (_sheet(ref),)}


def test_what_no_longer_stands_is_told_where_the_level_cannot_fall() -> None:
    """Without the trials of the bed its controller is no longer weakened, and stands beside the other three."""
    told = next(one for one in NARRATIVES if one.name == "d9")
    (strike,) = [one for one in weighed(assessed(told)).strikes if one.refs in {("S-moves",), ("R-moves-1",)}]
    assert [(fall.of, fall.before) for fall in strike.statuses] == [("X-3", "weakened")]
    assert strike.levels == ()
