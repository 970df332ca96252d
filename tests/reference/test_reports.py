"""Reports for hosts, held against what others publish of their forms."""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner

from asfound.assess import catalogue
from asfound.cli.main import cli
from asfound.emit import as_sarif
from asfound.emit.as_sarif import sarif
from asfound.emit.told import Told
from asfound.problems import Level, Problem, Span
from tests.unit.emit.problems import HOSTILE, LIFTED, NEEDED, NOTE, REJECT, WARN

HERE = Path(__file__).parent
CASES = Path(__file__).parents[1] / "cases"
# SARIF 2.1.0: the committee's JSON Schema (confirmed: the file lies here as its package brings it, unchanged).
SCHEMA = json.loads((HERE / "schemas/sarif-2.1.0-rtm.5.json").read_text("utf-8"))
VALIDATOR = jsonschema.Draft4Validator(SCHEMA, format_checker=jsonschema.Draft4Validator.FORMAT_CHECKER)
ALL = (NOTE, NEEDED, WARN, REJECT, LIFTED, HOSTILE)


def faults(text: str) -> list[str]:
    return [f"{list(one.absolute_path)}: {one.message}" for one in VALIDATOR.iter_errors(json.loads(text))]


def of(*problems: Problem) -> str:
    return sarif([Told("cases/a", "case-a", problems)], catalogue(), "0.1.0")


def test_the_schema_is_a_schema_and_would_find_a_slip() -> None:
    jsonschema.Draft4Validator.check_schema(SCHEMA)
    wrong = json.loads(of(REJECT))
    wrong["runs"][0]["results"][0]["level"] = "reject"
    wrong["runs"][0]["results"][0]["lines"] = 4
    assert len(faults(json.dumps(wrong))) == 2


@pytest.mark.parametrize(
    "problems",
    [(), *((one,) for one in ALL), ALL, (replace(REJECT, span=Span("cases/a/evidence/a b%.jpg", 0)),),
     (replace(REJECT, rule="no-such-rule", related=(Span("b", 1), Span("b", 1))),)],
)  # fmt: skip
def test_sarif_is_valid_against_the_published_schema(problems: tuple[Problem, ...]) -> None:
    assert faults(of(*problems)) == []


def test_sarif_that_left_something_out_is_valid_too(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(as_sarif, "MOST", 2)
    assert faults(of(*ALL)) == []


def checked(folder: Path, form: str) -> Any:
    done = CliRunner().invoke(
        cli, ["check", "--root", str(folder), "--format", form, "--on", "2026-04-20", "--no-history"]
    )
    assert done.exit_code in (0, 1), done.output
    return json.loads(done.output)


@pytest.fixture
def faulty(tmp_path: Path) -> Path:
    """A case with faults, laid out as a repository of its own."""
    shutil.copytree(CASES / "four-faults", tmp_path, dirs_exist_ok=True)
    shutil.copytree(Path(__file__).parents[2] / ".asfound", tmp_path / ".asfound", dirs_exist_ok=True)
    return tmp_path


def test_what_the_command_prints_of_a_case_with_faults_is_valid(faulty: Path) -> None:
    log = checked(faulty, "sarif")
    assert log["runs"][0]["results"] and faults(json.dumps(log)) == []


def test_code_quality_of_a_case_has_the_fields_the_host_asks_for(faulty: Path) -> None:
    """GitLab, Code Quality, "Code Quality report format" (secondary: phpstan-src issue 4421 names the same fields)."""
    report = checked(faulty, "gitlab")
    assert report and len({one["fingerprint"] for one in report}) == len(report)
    for one in report:
        assert one["description"] and one["check_name"] and re.fullmatch("[0-9a-f]{64}", one["fingerprint"])
        assert one["severity"] in ("info", "minor", "major", "critical", "blocker")
        assert isinstance(one["location"]["lines"]["begin"], int) and one["location"]["lines"]["begin"] >= 1
        assert (faulty / one["location"]["path"]).exists()


def named(folder: Path) -> dict[str, str]:
    """Fingerprint → rule and record, of every problem."""
    results = checked(folder, "sarif")["runs"][0]["results"]
    return {
        one["partialFingerprints"]["asfound/v2"]: (one["ruleId"], one["properties"].get("record")) for one in results
    }


def test_a_problem_keeps_its_name_while_its_file_is_edited_around_it(faulty: Path) -> None:
    """Lines above it, a comment, another value, other line ends and another name of the folder: the same problems."""
    before = named(faulty)
    assert len(before) > 3
    home = faulty / "cases/four-faults"
    assert len(list(home.glob("*.yml"))) > 8
    for place in home.glob("*.yml"):
        text = place.read_text("utf-8")
        place.write_bytes(f"# read first\n\n\n{text}".replace("\n", "\r\n").encode())
    home.rename(faulty / "cases/other-folder")
    assert named(faulty) == before


def test_a_new_problem_gets_a_name_of_its_own_and_changes_no_other(faulty: Path) -> None:
    before = named(faulty)
    items = faulty / "cases/four-faults/items.yml"
    items.write_text(items.read_text("utf-8") + "I-77:\n  what: a lamp\n  whatt: a slip\n", "utf-8")
    after = named(faulty)
    assert set(before) < set(after)
    new = {key: one for key, one in after.items() if key not in before}
    assert {record for _, record in new.values()} == {"I-77"}
    # The name of the field, and what stands in it, have no part in the name of the problem.
    items.write_text(items.read_text("utf-8").replace("whatt: a slip", "wath: another"), "utf-8")
    assert set(named(faulty)) == set(after)


def test_no_problem_of_any_level_is_without_a_level_of_the_standard() -> None:
    """3.27.10: none, note, warning or error."""
    found = {
        one["level"] for one in json.loads(of(*(replace(REJECT, level=level) for level in Level)))["runs"][0]["results"]
    }
    assert found == {"error", "warning", "note"}
