"""`asfound check`: which cases, which texts, which exit code."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.rules.support import Copy

from .support import CASE, ON, Done, repository, run

ROOT = Path(__file__).parents[3]
BROKEN = CASE.replace("kind: shock", "kind: shcok")
LINE = re.compile(r"^[^\s:]+(:\d+(:\d+)?)? (reject|warn|still needed|note) [a-z][a-z-]+ — .+; .+\.$")

Asfound = Callable[..., Done]


@pytest.fixture
def asfound(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Asfound:
    """`asfound ARGUMENTS` where `at` says, in the test's own folder where it says nothing."""

    def go(*arguments: str, at: Path = tmp_path) -> Done:
        return run(capsys, monkeypatch, at, *arguments)

    return go


def test_an_open_case_is_clean_and_says_what_is_still_needed(asfound: Asfound, tmp_path: Path) -> None:
    repository(tmp_path)
    done = asfound("check", *ON)
    assert (done.code, done.err) == (0, "")
    lines = done.out.splitlines()
    assert re.fullmatch(r"cases/small-case: open, \d+ things still needed\.", lines[-1])
    heads = [line for line in lines[:-1] if not line.startswith("    ")]
    # What concerns the facility's own duties stands under a heading of its own.
    heads.remove("cases/small-case, the facility's own reporting; not for a report, and no legal advice:")
    assert heads
    assert [line for line in heads if not LINE.match(line)] == []
    assert {LINE.match(line)[3] for line in heads} == {"still needed"}  # type: ignore[index]


def test_a_reject_ends_with_one_and_the_exact_place(asfound: Asfound, tmp_path: Path) -> None:
    repository(tmp_path, small_case=BROKEN)
    done = asfound("check", *ON)
    assert (done.code, done.err) == (1, "")
    heads = [line for line in done.out.splitlines() if LINE.match(line)]
    assert [line.split(" — ")[0] for line in heads] == [
        "cases/small-case/case.yml reject case-unreadable",
        "cases/small-case/case.yml:5:9 reject word-unknown",
    ]
    assert "shcok" in heads[1]
    assert done.out.splitlines()[-1] == "cases/small-case: 2 rejects."


def test_all_cases_are_checked_in_one_run_and_a_broken_one_hides_no_other(asfound: Asfound, tmp_path: Path) -> None:
    repository(tmp_path, a_first="case: [", b_second=BROKEN, c_third=CASE.replace("small-case", "third-case"))
    done = asfound("check", *ON)
    assert done.code == 1
    closings = [line.split(": ")[0] for line in done.out.splitlines() if re.match(r"^cases/[a-z-]+: ", line)]
    assert closings == ["cases/a-first", "cases/b-second", "cases/c-third"]
    assert asfound("check", "third-case", *ON).code == 0


@pytest.mark.parametrize(
    "name",
    ["small-case", "cases/a-folder", "cases/a-folder/", "a-folder", "cases/a-folder/case.yml", "./cases/a-folder"],
)
def test_a_case_may_be_named_in_each_of_its_ways(asfound: Asfound, tmp_path: Path, name: str) -> None:
    repository(tmp_path, a_folder=CASE, another=CASE.replace("small-case", "other"))
    done = asfound("check", name, *ON)
    assert done.code == 0
    assert done.out.splitlines()[-1].startswith("cases/a-folder: open")
    assert "cases/another" not in done.out


def test_a_case_named_twice_is_checked_once(asfound: Asfound, tmp_path: Path) -> None:
    repository(tmp_path)
    assert asfound("check", "small-case", "cases/small-case", *ON).out == asfound("check", *ON).out


def test_the_repository_is_found_from_below(asfound: Asfound, tmp_path: Path) -> None:
    repository(tmp_path)
    done = asfound("check", *ON, at=tmp_path / "cases/small-case")
    assert done.code == 0
    assert done.out == asfound("check", *ON).out


def test_another_repository_is_named_with_root(asfound: Asfound, tmp_path: Path) -> None:
    repository(tmp_path / "there")
    done = asfound("check", "--root", "there", *ON)
    assert done.out == asfound("check", *ON, at=tmp_path / "there").out
    assert asfound("check", "small-case", "--root", "there", *ON).out == done.out


@pytest.mark.parametrize("form", ["text", "json", "github"])
def test_the_same_input_gives_the_same_bytes(asfound: Asfound, tmp_path: Path, form: str) -> None:
    repository(tmp_path, b=BROKEN, a=CASE)
    once = asfound("check", "--format", form, *ON).out
    assert once
    assert asfound("check", "--format", form, *ON).out == once
    assert str(tmp_path) not in once


def test_json_is_the_whole_of_standard_output(asfound: Asfound, tmp_path: Path) -> None:
    repository(tmp_path, b=BROKEN, a=CASE)
    done = asfound("check", "--format", "json", *ON)
    assert (done.code, done.err) == (1, "")
    said = json.loads(done.out)
    assert list(said) == ["asfound", "cases", "format", "on", "private"]
    assert (said["format"], said["on"], list(said["cases"])) == (1, "2026-05-05", ["cases/a", "cases/b"])
    keys = [(p["path"], p["line"], p["column"]) for p in said["cases"]["cases/b"]]
    assert keys == sorted(keys)


def test_reminders_of_duties_are_said_apart_and_decide_nothing(asfound: Asfound, tmp_path: Path) -> None:
    """Whatever was late stays late: a check that failed for it could never pass again."""
    copy = Copy(tmp_path, [("case.yml", "jurisdiction: [none, invented]", "jurisdiction: [United States]")])
    copy.path("duties.yml").write_text(
        "D-1:\n  duty: us-user-facility-report\n  decision: report\n  report: yes\n  reasons: It is owed.\n"
        "  by: risk-manager\n  at: 2026-03-03 09:00 -06:00\n", "utf-8",
    )  # fmt: skip
    done = asfound("check", "base", "--on", "2026-03-20", "--fail-on", "warn", at=copy.root)
    assert done.code == 0
    assert (
        "warn duty-report-overdue" in done.out
        and done.out.splitlines()[-1] == "cases/base: nothing stands against the case itself."
    )
    said = json.loads(asfound("check", "base", "--on", "2026-03-20", "--format", "json", at=copy.root).out)
    assert said["cases"] == {"cases/base": []}
    assert "duty-report-overdue" in {one["rule"] for one in said["private"]["cases/base"]}
    before = json.loads(asfound("check", "base", "--on", "2026-03-16", "--format", "json", at=copy.root).out)
    rules = {one["rule"] for one in before["private"]["cases/base"]}
    assert "duty-report-near" in rules and "duty-report-overdue" not in rules


def test_the_lightest_level_that_fails_can_be_chosen(asfound: Asfound) -> None:
    good = ("check", "return-pad-lesion", "--on", "2026-03-20", "--format", "json")
    levels = {p["level"] for p in json.loads(asfound(*good, at=ROOT).out)["cases"]["cases/return-pad-lesion"]}
    assert "warn" in levels
    assert "reject" not in levels
    assert asfound(*good, at=ROOT).code == 0
    assert asfound(*good, "--fail-on", "warn", at=ROOT).code == 1


def test_the_form_for_the_host_is_chosen_where_the_host_runs_it(
    asfound: Asfound, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    repository(tmp_path, small_case=BROKEN)
    kept = tmp_path / "summary.md"
    kept.write_text("# Before\n", encoding="utf-8")
    monkeypatch.setenv("GITHUB_ACTIONS", "true")
    monkeypatch.setenv("GITHUB_STEP_SUMMARY", str(kept))
    done = asfound("check", *ON)
    assert (done.code, done.err) == (1, "")
    lines = done.out.splitlines()
    assert re.fullmatch(r"::stop-commands::asfound-[0-9a-f]{40}", lines[0])
    end = lines.index(f"::{lines[0].split('::')[2]}::")
    log = asfound("check", "--format", "text", *ON).out.splitlines()
    assert lines[1:end] == log
    assert any(line.startswith("::error file=cases/small-case/case.yml,line=5,col=9,title=word-") for line in lines)
    assert all(re.match(r"::(error|warning|notice) ", line) for line in lines[end + 1 :])
    assert kept.read_text(encoding="utf-8").startswith("# Before\n## What the check says\n\n2 rejects")


def test_a_summary_that_cannot_be_written_decides_nothing(
    asfound: Asfound, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    repository(tmp_path)
    monkeypatch.setenv("GITHUB_STEP_SUMMARY", str(tmp_path / "no/such/folder"))
    done = asfound("check", "--format", "github", *ON)
    assert done.code == 0
    assert done.err.startswith("The summary could not be written: ")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("check", "--on", "19.3.2026"), '--on holds "19.3.2026"; a date such as 2026-03-19 is needed'),
        (("check", "--on", "2026-02-30"), '--on holds "2026-02-30"; a date such as 2026-03-19 is needed'),
        (("check", "--on", ""), '--on holds ""; a date such as 2026-03-19 is needed'),
        (
            ("check", "small-caes"),
            'there is no case "small-caes": no such folder with a case.yml, and no case with that identity. '
            'Did you mean "small-case"?',
        ),
        (
            ("check", "quite-another"),
            'there is no case "quite-another": no such folder with a case.yml, and no case with that identity',
        ),
        (("check", "x" * 5000), f'there is no case "{"x" * 5000}": no such folder with a case.yml'),
        (("check", "--root", "nowhere"), "there is no folder nowhere"),
        (("check", "--format", "xml"), "'xml' is not one of 'text', 'json', 'github'"),
        (("check", "--fail-on", "note"), "'note' is not one of 'reject', 'warn'"),
        (("chekc",), "No such command 'chekc'"),
        (("check", "--no-such"), "No such option"),
        (("check", "a\x1b[2Jb\u202e"), 'there is no case "a<U+001B>[2Jb<U+202E>"'),
        (
            ("explain", "custody-gpa"),
            'there is no rule "custody-gpa". Did you mean "custody-gap"?',
        ),
        (("explain", "zzzz"), 'there is no rule "zzzz". `asfound explain` lists all.'),
    ],
)  # fmt: skip
def test_wrong_usage_ends_with_two_and_speaks_on_standard_error(
    asfound: Asfound, tmp_path: Path, arguments: tuple[str, ...], said: str
) -> None:
    repository(tmp_path)
    done = asfound(*arguments)
    assert (done.code, done.out) == (2, "")
    assert said in done.err
    assert "Traceback" not in done.err


def test_nothing_to_check_is_wrong_usage_and_not_a_pass(asfound: Asfound, tmp_path: Path) -> None:
    (tmp_path / ".asfound").mkdir()
    done = asfound("check")
    assert (done.code, done.out) == (2, "")
    assert "no case was found below cases" in done.err


@pytest.mark.parametrize("form", ["text", "json", "github", "gitlab", "junit", "sarif", "markdown"])
def test_a_repository_without_a_case_yet_is_no_fault(asfound: Asfound, tmp_path: Path, form: str) -> None:
    assert asfound("init", ".", "--no-example", "--name", "Ours", "--host", "none").code == 0
    done = asfound("check", "--format", form)
    assert done.code == 0
    assert done.err == "There is no case yet below cases/: asfound new opens one.\n"
    assert (done.out == "") == (form == "text")


def test_what_the_organisation_brings_is_checked_before_there_is_a_case(asfound: Asfound, tmp_path: Path) -> None:
    asfound("init", ".", "--no-example", "--name", "Ours", "--host", "none")
    with (tmp_path / ".asfound/settings.yml").open("a", encoding="utf-8") as file:
        file.write("no_such_setting: 1\n")
    done = asfound("check")
    assert done.code == 1
    assert "no_such_setting" in done.out and "There is no case yet" in done.err


def test_a_folder_that_lost_its_case_yml_does_not_pass_for_no_case(asfound: Asfound, tmp_path: Path) -> None:
    asfound("init", ".", "--no-example", "--name", "Ours", "--host", "none")
    (tmp_path / "cases/pump").mkdir()
    (tmp_path / "cases/pump/items.yml").write_text("I-1:\n  what: a pump\n", "utf-8")
    done = asfound("check")
    assert (done.code, done.out) == (2, "") and "no case was found below cases" in done.err
    assert asfound("check", "pump").code == 2


def test_a_case_outside_the_repository_is_refused(asfound: Asfound, tmp_path: Path) -> None:
    repository(tmp_path / "here")
    repository(tmp_path / "there")
    done = asfound("check", "../there/cases/small-case", at=tmp_path / "here")
    assert done.code == 2
    assert "lies outside the repository" in done.err


def test_a_fault_of_ours_ends_with_three_and_without_a_traceback(
    asfound: Asfound, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_arguments: object) -> None:
        raise ZeroDivisionError("division by\x1b[31m zero")

    repository(tmp_path)
    monkeypatch.setattr("asfound.assess.assess_cases", broken)
    done = asfound("check", *ON)
    assert (done.code, done.out) == (3, "")
    assert done.err == (
        "asfound met a fault of its own: ZeroDivisionError: division by<U+001B>[31m zero\n"
        "Nothing was changed. Run again with --debug and report what it prints.\n"
    )
    with pytest.raises(ZeroDivisionError):
        asfound("--debug", "check", *ON)


def test_being_stopped_is_no_verdict(asfound: Asfound, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*_arguments: object) -> None:
        raise KeyboardInterrupt

    repository(tmp_path)
    monkeypatch.setattr("asfound.assess.assess_cases", stopped)
    done = asfound("check", *ON)
    assert (done.code, done.out, done.err.strip()) == (130, "", "Stopped.")


@pytest.mark.parametrize("command", ["status", "plan", "gate", "document", "sheet"])
def test_who_names_no_case_is_told_which_there_are(asfound: Asfound, tmp_path: Path, command: str) -> None:
    repository(tmp_path, first=CASE, zz_other=CASE.replace("small-case", "zz\x1b-other"))
    done = asfound(command)
    assert (done.code, done.out) == (2, "")
    assert "Missing argument 'CASE'. The cases here: small-case, zz<U+001B>-other." in done.err


def test_of_many_cases_a_dozen_is_named_and_of_none_none(asfound: Asfound, tmp_path: Path) -> None:
    assert "Missing argument 'CASE'.\n" in asfound("status").err
    repository(
        tmp_path, **{f"case_{number:02}": CASE.replace("small-case", f"case-{number:02}") for number in range(15)}
    )
    assert "case-10, case-11 and 3 more." in asfound("status").err
