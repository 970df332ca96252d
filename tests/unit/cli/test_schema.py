"""`asfound schema`: what it writes is what editors check by, and it writes over nothing of somebody else's."""

from __future__ import annotations

import json
import re
from pathlib import Path

import jsonschema
import pytest
import yaml
from click.testing import CliRunner, Result

from asfound.cli.main import cli

from ..emit.test_schemas import Editor

ROOT = Path(__file__).resolve().parents[3]


def run(*arguments: str) -> Result:
    return CliRunner().invoke(cli, ["schema", *arguments])


def test_it_lists_them_with_their_files() -> None:
    said = run().output
    assert re.search(r"^items\.schema\.json +cases/\*\*/items\.yml$", said, re.M)
    assert re.search(r"^instruments\.schema\.json +\.asfound/instruments\.yml$", said, re.M)


def test_what_it_writes_takes_every_file_of_the_demonstration_and_refuses_a_slip(tmp_path: Path) -> None:
    assert run("--out", str(tmp_path / "s")).exit_code == 0
    for file in sorted((ROOT / "cases").glob("*/*.yml")):
        schema = json.loads((tmp_path / "s" / f"{file.stem}.schema.json").read_text("utf-8"))
        jsonschema.Draft202012Validator(schema).validate(yaml.load(file.read_text("utf-8"), Editor))
    items = json.loads((tmp_path / "s" / "items.schema.json").read_text("utf-8"))
    with pytest.raises(jsonschema.ValidationError, match="impoundedd"):
        jsonschema.validate({"I-1": {"what": "a pump", "impoundedd": True}}, items)


def test_a_second_run_changes_nothing_and_says_what_is_of_no_use_any_more(tmp_path: Path) -> None:
    run("--out", str(tmp_path))
    before = {one.name: one.stat().st_mtime_ns for one in tmp_path.iterdir()}
    (tmp_path / "gone.schema.json").write_text('{\n  "title": "Asfound: gone.yml"\n}\n', "utf-8")
    again = run("--out", str(tmp_path))
    assert "0 schemas written" in again.output and "gone.schema.json" in again.output
    assert {one.name: one.stat().st_mtime_ns for one in tmp_path.iterdir() if one.name in before} == before


def test_a_file_of_somebody_else_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "items.schema.json").write_text("{}", "utf-8")
    found = run("--out", str(tmp_path))
    assert found.exit_code == 2 and "no schema of ours" in found.output
    assert [one.name for one in tmp_path.iterdir()] == ["items.schema.json"]


def test_the_line_leads_from_a_file_to_its_schema_by_a_relative_path() -> None:
    said = run("--line", str(ROOT / "cases/no-shock/items.yml"), "--root", str(ROOT)).output.strip()
    assert said == "# yaml-language-server: $schema=../../.asfound/schemas/items.schema.json"
    limits = run("--line", str(ROOT / ".asfound/limits/house.yml"), "--root", str(ROOT)).output.strip()
    assert limits.endswith("=../schemas/limits.schema.json")
    wrong = run("--line", str(ROOT / "cases/no-shock/notes.yml"), "--root", str(ROOT))
    assert wrong.exit_code == 2 and "items.yml" in wrong.output
    assert run("--line", "/elsewhere/items.yml", "--root", str(ROOT)).exit_code == 2


def test_settings_name_every_schema_that_is_written(tmp_path: Path) -> None:
    run("--out", str(tmp_path))
    told = json.loads(run("--settings").output)["yaml.schemas"]
    assert {name.rpartition("/")[2] for name in told} == {one.name for one in tmp_path.iterdir()}
    assert run("--settings", "--out", "x").exit_code == 2
