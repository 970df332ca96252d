"""What `asfound init` writes and what this repository itself lives by are the same where they should be."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
import yaml

from asfound.cli.init import contents

ROOT = Path(__file__).parents[2]
OWN = "plugin/asfound/cli/repository/dot-ci/requirements.txt"
BIN = Path(sys.executable).parent


@pytest.fixture(scope="module")
def new() -> dict[str, str]:
    """The files of a new repository."""
    made = contents(("github", "gitlab"), "Case docket", "asfound==0.1.0", example=True)
    return {path: data.decode("utf-8") for path, data in made}


def ours(path: str) -> str:
    return (ROOT / path).read_text("utf-8")


@pytest.mark.parametrize("name", ["check", "publish"])
def test_our_workflows_are_those_of_a_new_repository_but_for_what_they_install(name: str, new: dict[str, str]) -> None:
    """Ours installs the program that lies beside the cases, theirs the one they name; the needs are one file."""
    path = f".github/workflows/{name}.yml"
    said = ours(path).replace(f"-r {OWN}\n", "-r .ci/requirements.txt\n")
    said = said.replace("--no-deps --no-build-isolation .\n", "--no-deps --no-build-isolation -r .ci/program.txt\n")
    assert said == new[path] and said != ours(path)


def test_the_workflow_that_comments_is_the_same(new: dict[str, str]) -> None:
    assert ours(".github/workflows/comment.yml") == new[".github/workflows/comment.yml"]


def test_the_script_that_takes_cases_is_the_same(new: dict[str, str]) -> None:
    assert ours(".ci/take-cases") == new[".ci/take-cases"]


def test_the_hooks_are_those_we_offer(new: dict[str, str]) -> None:
    """A repository of cases runs the program of the person's environment; everything else is as offered."""
    (repo,) = yaml.safe_load(new[".pre-commit-config.yaml"])["repos"]
    offered = yaml.safe_load(ours(".pre-commit-hooks.yaml"))
    assert repo == {"repo": "local", "hooks": [{**hook, "language": "system"} for hook in offered]}


def test_every_attribute_of_a_new_repository_is_one_of_ours(new: dict[str, str]) -> None:
    theirs = [line for line in new[".gitattributes"].splitlines() if line and not line.startswith("#")]
    assert (
        set(theirs) <= set(ours(".gitattributes").splitlines())
        and "**/evidence/** -text -diff -merge -filter" in theirs
    )
    ignored = set(new[".gitignore"].splitlines())
    assert ignored <= set(ours(".gitignore").splitlines())


def test_the_site_is_configured_as_ours(new: dict[str, str]) -> None:
    class Loader(yaml.SafeLoader):
        """The engine's own tag, kept as it stands."""

    Loader.add_constructor("!ENV", lambda loader, node: ("ENV", loader.construct_sequence(node)))  # type: ignore[arg-type]
    mine, theirs = (yaml.load(text, Loader) for text in (ours("mkdocs.yml"), new["mkdocs.yml"]))
    about = {"site_name", "site_description", "copyright"}
    assert {key: value for key, value in mine.items() if key not in about} == {
        key: value for key, value in theirs.items() if key not in about
    }


def test_workflows_of_a_new_repository_fit_their_published_schemas(tmp_path: Path, new: dict[str, str]) -> None:
    """Schemas: those SchemaStore publishes for both hosts, as `check-jsonschema` brings them. `confirmed`"""
    for path, schema in {
        ".gitlab-ci.yml": "gitlab-ci",
        ".github/workflows/check.yml": "github-workflows",
        ".github/workflows/comment.yml": "github-workflows",
        ".github/workflows/publish.yml": "github-workflows",
    }.items():
        file = tmp_path / Path(path).name
        file.write_text(new[path], "utf-8")
        assert linted(schema, file) == 0, path
    file.write_text(new[".gitlab-ci.yml"].replace("stage: check", "stages: check"), "utf-8")
    assert linted("gitlab-ci", file) != 0


def linted(schema: str, file: Path) -> int:
    """The exit code of the linter of workflow files."""
    command = [BIN / "check-jsonschema", "--builtin-schema", f"vendor.{schema}", file]
    return subprocess.run(command, capture_output=True, check=False).returncode
