"""The reports for hosts: code quality, JUnit, SARIF. Read by what reads them elsewhere, and held to their caps."""

from __future__ import annotations

import hashlib
import json
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from typing import Any

import pytest
from junitparser import Failure, JUnitXml, Skipped
from msgspec import structs

from asfound.assess import catalogue
from asfound.emit import as_gitlab, as_junit, as_sarif
from asfound.emit.as_gitlab import gitlab
from asfound.emit.as_junit import junit
from asfound.emit.as_sarif import sarif
from asfound.emit.told import Told
from asfound.problems import Level, Problem, Span

from .problems import ACTING, HOSTILE, LIFTED, NEEDED, NOTE, REJECT, WARN

ALL = Told("cases/a", "case-a", (NOTE, NEEDED, WARN, REJECT))
EMPTY = Told("cases/b", "case-b", ())


def many(count: int) -> Told:
    some = tuple(replace(REJECT, subject=f"I-{n}", span=Span("cases/a/sheets.yml", n + 1)) for n in range(count))
    return Told("cases/a", "case-a", some)


def quality(*cases: Told) -> list[dict[str, Any]]:
    found = json.loads(gitlab(cases))
    assert isinstance(found, list)
    return found


def prints(*cases: Told) -> list[str]:
    return [one["fingerprint"] for one in quality(*cases)]


# --- fingerprints


def test_a_fingerprint_outlives_a_moved_line_a_new_value_and_a_renamed_folder() -> None:
    before = prints(Told("cases/a", "case-a", (REJECT,)))
    moved = replace(REJECT, span=Span("cases/renamed/sheets.yml", 190, 2), found="I-1 was energised at 09:41")
    assert prints(Told("cases/renamed", "case-a", (moved,))) == before


@pytest.mark.parametrize("change", [{"rule": "custody-gap"}, {"subject": "I-2"}])
def test_another_rule_or_record_is_another_problem(change: dict[str, str]) -> None:
    other = replace(REJECT, **change)  # type: ignore[arg-type]  # both are texts
    assert prints(Told("cases/a", "case-a", (other,))) != prints(Told("cases/a", "case-a", (REJECT,)))


def test_another_case_is_another_problem_and_two_of_a_record_are_two() -> None:
    twice = (REJECT, replace(REJECT, span=Span("cases/a/sheets.yml", 90)))
    found = prints(Told("cases/a", "case-a", twice), Told("cases/b", "case-b", (REJECT,)))
    assert len(set(found)) == 3


SEVERAL = tuple(
    replace(REJECT, rule="citation-leads-nowhere", subject="F-3", about=f"rests_on {ref}", found=f"{ref} leads nowhere",
            span=Span("cases/a/findings.yml", line))
    for line, ref in ((10, "R-earth-2"), (11, "R-earth-3"), (12, "E-9"))
)  # fmt: skip


def by_words(*problems: Problem) -> dict[str, tuple[str, str]]:
    """What each problem found → its fingerprint for a report of code quality, and for one in SARIF."""
    told = Told("cases/a", "case-a", problems)
    results = json.loads(sarif([told], catalogue(), "1"))["runs"][0]["results"]
    theirs = {one["message"]["text"]: one["partialFingerprints"]["primaryLocationLineHash"] for one in results}
    assert all(one["partialFingerprints"]["asfound/v2"] in theirs.values() for one in results)
    ours = {one["description"]: one["fingerprint"] for one in quality(told)}
    said = {one.found: f"{one.found}; {one.needed}. {one.mend}" for one in problems}
    return {found: (ours[text], theirs[text]) for found, text in said.items()}


@pytest.mark.parametrize("gone", [0, 1, 2])
def test_a_problem_that_is_mended_hands_its_fingerprint_on_to_no_other(gone: int) -> None:
    before = by_words(*SEVERAL)
    assert len({prints for pair in before.values() for prints in pair}) == 3
    left = [one for number, one in enumerate(SEVERAL) if number != gone]
    # Lines move up, and what was first may stand last: neither makes one the other. Back again, nothing moves either.
    moved = [replace(one, span=Span("cases/a/findings.yml", 9 - at)) for at, one in enumerate(left)]
    after = by_words(*moved)
    assert after == {name: pair for name, pair in before.items() if name != SEVERAL[gone].found}
    alone = by_words(left[0])
    assert alone == {left[0].found: before[left[0].found]}


def test_a_rule_that_says_one_thing_of_a_record_keeps_the_fingerprint_it_had() -> None:
    """The recipe as published, with the standard library: case, rule, record, number, parted by zeros."""
    named = b"\0".join(part.encode() for part in ("case-a", REJECT.rule, REJECT.subject, "1"))
    assert prints(Told("cases/a", "case-a", (REJECT,))) == [hashlib.sha256(named).hexdigest()]
    results = json.loads(sarif([Told("cases/a", "case-a", SEVERAL)], catalogue(), "1"))["runs"][0]["results"]
    first = [b"\0".join((b"case-a", b"citation-leads-nowhere", b"F-3", number)) for number in (b"1", b"2", b"3")]
    assert [one["partialFingerprints"]["asfound/v1"] for one in results] == [
        hashlib.sha256(one).hexdigest() for one in first
    ]


# --- code quality


def test_code_quality_has_the_documented_fields_worst_first() -> None:
    """Fields and severities: GitLab's documentation, Code Quality, "Implement a custom tool" (from memory)."""
    found = quality(ALL, EMPTY)
    assert [one["severity"] for one in found] == ["blocker", "major", "minor", "info"]
    for one in found:
        assert set(one) == {"description", "check_name", "fingerprint", "severity", "location"}
        assert one["location"]["lines"]["begin"] >= 1
        assert not one["location"]["path"].startswith(("/", "./"))
    assert found[0]["location"] == {"path": "cases/a/sheets.yml", "lines": {"begin": 82}}
    assert quality(EMPTY) == []


def test_what_code_quality_leaves_out_is_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(as_gitlab, "MOST", 5)
    found = quality(many(12))
    assert len(found) == 6
    assert found[-1]["description"] == "7 more had no room here; `asfound check --format text` lists every one."
    assert len({one["fingerprint"] for one in found}) == 6


# --- JUnit


def parsed(*cases: Told, **options: Any) -> JUnitXml:
    return JUnitXml.fromstring(junit(cases, **options).encode())


def test_a_stock_parser_reads_the_report() -> None:
    """`junitparser`, a reader of the common form (there is no one standard)."""
    first, second = parsed(ALL, EMPTY)
    assert (first.name, first.tests, first.failures, first.skipped) == ("case-a", 4, 1, 1)
    tests = list(first)
    assert isinstance(tests[0].result[0], Failure) and tests[0].result[0].type == "reject"
    assert tests[0].result[0].message == f"{REJECT.found}; {REJECT.needed}."
    assert tests[1].is_passed and tests[1].system_out.startswith("cases/a/custody.csv:2 warn custody-gap")
    assert isinstance(tests[2].result[0], Skipped)
    assert len({(one.classname, one.name) for one in tests}) == 4
    assert [one.is_passed for one in second] == [True]


def test_a_warning_fails_where_it_was_asked_to() -> None:
    (suite,) = parsed(ALL, heavy={Level.REJECT, Level.WARN})
    assert suite.failures == 2


def test_what_has_no_room_in_junit_is_counted_and_the_worst_are_there() -> None:
    told = structs.replace(many(40), problems=(WARN, *many(40).problems))
    whole = junit([told])
    report = parsed(told, most=len(whole) // 3)
    shown = [one for suite in report for one in suite]
    rejects = [one for one in shown if one.result and isinstance(one.result[0], Failure)]
    assert 0 < len(rejects) == len(shown) - 1 < 40
    assert shown[-1].name == f"{41 - len(rejects)} more had no room here; `asfound check --format text` lists every one"


def test_no_sign_breaks_the_xml_or_acts() -> None:
    wild = replace(HOSTILE, found=f"{HOSTILE.found}\x00\ufffe\ud800 ]]> <b> &amp;", subject="\x0b")
    said = junit([Told("cases/a", "case-a", (wild, LIFTED))])
    root = ET.fromstring(said.encode())
    assert "]]> <b> &amp;" in str(root.findall(".//failure")[0].get("message"))
    assert not any(sign in said for sign in (*ACTING, "\x00", "\ufffe"))


# --- SARIF


def log(*cases: Told) -> dict[str, Any]:
    found = json.loads(sarif(cases, catalogue(), "0.1.0"))
    assert isinstance(found, dict)
    return found


def test_sarif_says_where_what_and_which_rule() -> None:
    """SARIF 2.1.0 (OASIS Standard): 3.27.6 ruleIndex, 3.27.10 level, 3.30 region, 3.27.17 partialFingerprints
    (from memory)."""
    found = log(ALL)
    (run,) = found["runs"]
    rules, results = run["tool"]["driver"]["rules"], run["results"]
    assert [one["level"] for one in results] == ["error", "warning", "note", "note"]
    for one in results:
        assert rules[one["ruleIndex"]]["id"] == one["ruleId"]
        assert re.fullmatch("[0-9a-f]{64}", one["partialFingerprints"]["asfound/v1"])
    place = results[0]["locations"][0]["physicalLocation"]
    assert place["region"] == {"startLine": 82, "startColumn": 9}
    assert place["artifactLocation"] == {"uri": "cases/a/sheets.yml", "uriBaseId": "%SRCROOT%"}
    assert "region" not in results[2]["locations"][0]["physicalLocation"]
    described = next(one for one in rules if one["id"] == "custody-gap")
    assert described["shortDescription"]["text"] == catalogue()["custody-gap"].title


def test_sarif_keeps_the_worst_and_counts_the_rest(monkeypatch: pytest.MonkeyPatch) -> None:
    """A host shows the 5,000 worst results of a run (its documentation, from memory)."""
    assert as_sarif.MOST == 5000
    monkeypatch.setattr(as_sarif, "MOST", 3)
    (run,) = log(Told("cases/a", "case-a", (WARN, *many(8).problems)))["runs"]
    assert {one["level"] for one in run["results"]} == {"error"} and len(run["results"]) == 3
    (said,) = run["invocations"][0]["toolExecutionNotifications"]
    assert said["message"]["text"].startswith("6 more had no room here")


def test_a_path_with_a_space_or_a_per_cent_sign_is_a_proper_uri() -> None:
    odd = replace(REJECT, span=Span("cases/a/evidence/pad 1 50%.jpg", 0))
    (run,) = log(Told("cases/a", "case-a", (odd,)))["runs"]
    place = run["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"]
    assert place["uri"] == "cases/a/evidence/pad%201%2050%25.jpg"


@pytest.mark.parametrize("report", [gitlab, junit, lambda told: sarif(told, catalogue(), "0.1.0")])
def test_the_order_in_which_problems_come_changes_no_byte_and_nothing_acts(report: Any) -> None:
    problems: tuple[Problem, ...] = (WARN, HOSTILE, NOTE, REJECT)
    one = report([Told("cases/a", "case-a", problems)])
    assert one == report([Told("cases/a", "case-a", problems[::-1])])
    assert not any(sign in one for sign in ACTING)


def test_the_bound_of_junit_is_below_the_host_s() -> None:
    """30 MB a report (GitLab's documentation of unit test reports, secondary)."""
    assert as_junit.MOST_BYTES < 30_000_000
