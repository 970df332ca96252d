"""Instruments and sister units over several cases, against a strike of each instrument and a second reading."""

from __future__ import annotations

import csv
import datetime as dt
import posixpath
import re
from dataclasses import replace
from functools import cache

import pytest
import yaml

from asfound.across import families, touched
from asfound.assess import assess_case, open_repository
from asfound.assess.repository import Repository
from asfound.assess.strike import strike
from asfound.model.dossier import Dossier
from asfound.model.verdict import Outcome
from asfound.pages import Options
from asfound.pages.across import across_pages
from asfound.pages.build import environment
from asfound.pages.case_line import lines_of
from tests.rules.support import BASE
from tests.unit.pages.many import many

ROOT = BASE.parents[2]
CASES = ("return-pad-lesion", "no-shock", "bed-moved")


@cache
def made() -> tuple[Repository, tuple[Dossier, ...]]:
    shared = open_repository(ROOT)
    found = [assess_case(ROOT, ROOT / "cases" / name, dt.date(2026, 5, 30), shared).dossier for name in CASES]
    return shared, tuple(one for one in found if one is not None)


@pytest.mark.parametrize("case", CASES)
def test_what_falls_is_what_a_strike_of_each_instrument_says(case: str) -> None:
    """By brute force: each instrument taken away by itself, verdicts and weighing computed anew."""
    shared, dossiers = made()
    dossier = next(one for one in dossiers if one.id == case)
    rows = [one for rows in touched(dossiers).values() for one in rows if one.case == case]
    assert len(rows) > 4
    for one in rows:
        said = strike(dossier, shared, (one.instrument,))
        assert (one.fallen, one.statuses, one.levels) == (said.findings, said.statuses, said.levels), one.instrument
        assert set(one.fallen) <= set(one.findings), one.instrument


def test_readings_are_those_that_the_files_say_were_taken_with_it() -> None:
    """By another road: plain YAML and CSV, nothing of this program."""
    found = touched(made()[1])
    for case in CASES:
        folder = ROOT / "cases" / case
        sheets = yaml.load((folder / "sheets.yml").read_text("utf-8"), yaml.BaseLoader)
        wanted: dict[str, set[str]] = {}
        for name, sheet in sheets.items():
            stem = name.removeprefix("S-")
            with (folder / "readings" / f"{stem}.csv").open(encoding="utf-8", newline="") as file:
                rows = {f"R-{stem}-{row['row']}" for row in csv.DictReader(file) if not row.get("void")}
            wanted.setdefault(sheet["instrument"], set()).update(rows)
        shown = {ref: set(one.readings) for ref, rows in found.items() for one in rows if one.case == case}
        assert shown == wanted


def _named_by(text: str) -> set[str]:
    return set(re.findall(r"\b[A-Z]-[a-z0-9]+(?:-[a-z0-9]+)*\b", text))


@pytest.mark.parametrize("case", CASES)
def test_what_an_instrument_touches_is_found_by_following_ids_by_hand(case: str) -> None:
    """Results by the readings they come from, verdicts by their subjects, findings by the ids in their plain YAML."""
    dossier = next(one for one in made()[1] if one.id == case)
    core, folder = dossier.core, ROOT / "cases" / case
    findings = yaml.load((folder / "findings.yml").read_text("utf-8"), yaml.BaseLoader)
    cites = {ref: _named_by(" ".join([one["text"], *one.get("rests_on", [])])) for ref, one in findings.items()}
    rows = [one for found in touched(made()[1]).values() for one in found if one.case == case]
    assert {one.instrument for one in rows} == {sheet.instrument for sheet in core.case.sheets.values()}
    shown: set[str] = set()
    for one in rows:
        # Everything that stands on these readings, and on what stands on them, until nothing more comes in.
        below = {*one.readings, *one.sheets}
        while more := {each.id for each in core.results if below & {each.sheet, *each.of}} - below:
            below |= more
        assert set(one.results) == {each.id for each in core.results if each.id in below}, one.instrument
        assert len(one.results) == len(set(one.results))
        judged = [each for each in core.verdicts if each.limit is not None]
        touch = [each for each in judged if below & {each.subject, *each.members}]
        assert list(one.verdicts) == touch, one.instrument
        # At least what names one of them itself; a finding may also rest on it through another record.
        own = {ref for ref, named in cites.items() if named & {*below, one.instrument}}
        assert own <= set(one.findings) <= set(findings), one.instrument
        assert list(one.findings) == sorted(one.findings, key=lambda ref: int(ref[2:]))
        for ref in set(one.findings) - own:
            assert any(each[:1] not in "RSYM" for each in cites[ref]), (one.instrument, ref)
        shown |= {"results"} if one.results else set()
        shown |= {"verdicts"} if one.verdicts else set()
        shown |= {"not all"} if len(one.findings) < len(findings) and len(touch) < len(judged) else set()
    assert "verdicts" in shown or not any(each.limit for each in core.verdicts)
    assert "results" in shown or not core.results
    assert "not all" in shown, "an instrument that touched everything shows nothing"


def test_two_cases_of_one_model_that_fail_alike_are_a_family() -> None:
    two = many(2)
    found = families(two)
    assert found and {unit.case for one in found for unit in one.failing} == {"case-000", "case-001"}
    assert families(two[:1]) == []
    assert len({(one.test, one.units) for one in found}) == len(found), (
        "a kind that adds nothing to a model is left out"
    )


def test_only_readings_that_fail_make_a_unit_fail() -> None:
    """Counted anew from the verdicts; and where one of the two is given a pass throughout, nothing is alike."""
    one, other = many(2)
    for family in families((one, other)):
        for unit in family.units:
            core = (one if unit.case == one.id else other).core
            assert set(unit.failing) == {
                verdict.subject
                for verdict in core.verdicts
                if verdict.limit is not None
                and (verdict.item, verdict.test.partition("--")[0]) == (unit.item, family.test)
                and verdict.outcome in {Outcome.FAIL, Outcome.CONDITIONAL_FAIL}
            }
    passed = tuple(verdict._replace(outcome=Outcome.PASS) for verdict in other.core.verdicts)
    assert families((one, replace(other, core=replace(other.core, verdicts=passed)))) == []


def test_the_page_of_an_instrument_says_what_falls_in_whole_sentences() -> None:
    """The narrative of the defibrillator: without the examiner's eye (M-20) its mechanism is undetermined."""
    lines = lines_of(made()[1], {}, Options())
    pages = {page.uri: page.body for page in across_pages(environment(), made()[1], lines, Options())}
    assert "Without it the mechanism falls from probable to undetermined." in pages["across/instruments/M-20.md"]
    assert "Without it no level falls." in pages["across/instruments/M-20.md"]
    assert "No two units that are alike fail the same test." in pages["across/sisters.md"]


@pytest.mark.parametrize("years", [1, 3])
def test_of_many_cases_every_one_stands_on_a_page_of_bounded_weight(years: int) -> None:
    """Five hundred cases over three years and a bit, and all of them within one year."""
    dossiers = [_moved(one, number) if years == 1 else one for number, one in enumerate(many(500))]
    lines = lines_of(dossiers, {}, Options())
    found = {page.uri: page.body for page in across_pages(environment(), dossiers, lines, Options())}
    own = {uri: body for uri, body in found.items() if re.match(r"across/instruments/M-[^/.]+[./]", uri)}
    first = {uri for uri in own if uri.count("/") == 2}
    names = {f"case-{number:03d}" for number in range(500)}
    for uri in sorted(first):
        below = [body for other, body in own.items() if other.startswith(uri.removesuffix(".md") + "/")]
        told = [set(re.findall(r'<h2 id="([^"]+)"', body)) for body in below]
        assert set().union(*told) == names, uri
        newest = re.findall(r'<h2 id="([^"]+)"', own[uri])
        assert sorted(newest, reverse=True) == sorted(names, reverse=True)[:20]
        rows = {row.case for row in touched(dossiers)[uri.split("/")[-1].removesuffix(".md")] if row.levels}
        assert set(re.findall(r'case/([^/]+)/without/">case-', own[uri])) == rows
    assert first and max(len(body.encode()) for body in own.values()) < 150_000
    for uri, body in own.items():
        base = uri.removesuffix(".md") + "/"
        for to in re.findall(r'href="((?:\.\./)+across/[^"#]*)"', body):
            assert posixpath.normpath(posixpath.join(base, to)) + ".md" in {*found, "across/instruments.md"}


def _moved(dossier: Dossier, number: int) -> Dossier:
    case = dossier.core.case
    told = case.head.event.told_at
    moment = replace(told, at=dt.datetime(2026, 1, 1, 9, tzinfo=told.at.tzinfo) + dt.timedelta(hours=17 * number))
    head = case.head.model_copy(update={"event": case.head.event.model_copy(update={"told_at": moment})})
    return replace(dossier, core=replace(dossier.core, case=replace(case, head=head)))
