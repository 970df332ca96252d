"""The house is kept: floors, names, sizes, the wheel, the workflows, the words that help prints."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest
import yaml
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "plugin" / "asfound"
MODULES = sorted(PACKAGE.rglob("*.py"))
TOP = {"README.md", "DEVELOPERS.md", "mkdocs.yml", "pyproject.toml", "cases", "plugin", "tests"}
ABOUT = 420
"""Lines a file may have: about 400."""


def tracked() -> list[str]:
    """Every file git knows, and those that are new and not ignored."""
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    found = subprocess.run(command, cwd=ROOT, capture_output=True, check=True).stdout
    return [name for name in found.decode().split("\0") if name and (ROOT / name).exists()]


def test_the_floors_hold() -> None:
    done = subprocess.run([Path(sys.executable).with_name("lint-imports")], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout[-2000:]


@pytest.mark.parametrize(
    ("contract", "free"),
    [("engine", {"bridge"}), ("web", {"sheet"}), ("programs", {"history", "seal"})],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_contract_binds_every_box_but_the_one_it_is_about(contract: str, free: set[str]) -> None:
    # A box drawn later is bound by none of these until it is written there: the floors are exhaustive, these are not.
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"]["contracts"]
    contracts = {one["id"]: one for one in settings}
    drawn = {box.strip() for floor in contracts["floors"]["layers"] for box in floor.split("|")}
    bound = {name.removeprefix("asfound.") for name in contracts[contract]["source_modules"]}
    assert bound == drawn - free


def test_the_top_level_holds_what_was_agreed_and_nothing_else() -> None:
    names = {name.partition("/")[0] for name in tracked()}
    assert {name for name in names if not name.startswith(".")} == TOP


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_a_module_says_what_it_is_and_does_one_thing(path: Path) -> None:
    text = path.read_text("utf-8")
    if text.strip():
        assert ast.get_docstring(ast.parse(text)), "a module without a docstring"
    assert len(text.splitlines()) <= ABOUT, "a file that has grown beyond one thing"


def test_public_functions_and_classes_say_what_they_are() -> None:
    silent = []
    for path in MODULES:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
                top = path.parent.name in {"templates"}
                if not top and not ast.get_docstring(node) and _public(node):
                    silent.append(f"{path.relative_to(PACKAGE)}:{node.lineno} {node.name}")
    assert silent == []


def _public(node: ast.FunctionDef | ast.ClassDef) -> bool:
    # `...` bodies are declarations for the type checker; nested functions are not public.
    body = [one for one in node.body if not isinstance(one, ast.Expr)]
    return bool(body) and getattr(node, "col_offset", 0) == 0


def test_no_file_of_the_repository_names_a_place_of_one_machine() -> None:
    pattern = re.compile(r"(?<![\w.-])(/home/[a-z]|/Users/[A-Za-z]|/root/|C:\\\\Users)")
    found = []
    for name in tracked():
        path = ROOT / name
        if path.suffix in {".py", ".md", ".yml", ".yaml", ".toml", ".html", ".css", ".js", ".json", ".csv", ".txt"}:
            if path.name == "plotly-basic.min.js" or name == "tests/house/test_house.py" or not path.exists():
                continue
            found += [f"{name}: {hit}" for hit in pattern.findall(path.read_text("utf-8", errors="replace"))]
    assert found == []


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The real wheel, built without a network."""
    out = tmp_path_factory.mktemp("wheel")
    done = subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "-o", str(out), str(ROOT)],
        capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    (found,) = out.glob("*.whl")
    return found


def test_the_wheel_holds_the_package_its_data_and_its_licence(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        inside = set(archive.namelist())
    ours = {name.removeprefix("plugin/") for name in tracked() if name.startswith("plugin/asfound/")}
    assert {name for name in inside if name.startswith("asfound/")} == ours
    assert any(name.endswith("licenses/plugin/LICENSE") for name in inside)
    assert not [name for name in inside if name.startswith(("tests/", "cases/"))]


def test_the_wheel_works_with_the_source_out_of_reach(wheel: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(tmp_path / "installed")
    case = tmp_path / "repo" / "cases" / "first"
    case.mkdir(parents=True)
    (case / "case.yml").write_text(
        "case: first\ntitle: A first case\nstage: open\nharmed: none\nevent:\n  kind: shock\n"
        "  told_at: 2026-05-04 10:20 +02:00\n  time_source: the wall clock\n  where: a ward\n  account: A tingle.\n",
        "utf-8",
    )
    program = (
        "import sys; sys.path[:] = [p for p in sys.path if not p.endswith('plugin')]; "
        f"sys.path.insert(0, {str(tmp_path / 'installed')!r}); import asfound; "
        f"assert asfound.__file__.startswith({str(tmp_path)!r}), asfound.__file__; "
        "from asfound.cli import main; main()"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, "check", "--root", str(tmp_path / "repo"), "--on", "2026-05-05"],
        capture_output=True, text=True, cwd=tmp_path,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    assert "cases/first: open, " in done.stdout


def test_the_command_line_starts_light() -> None:
    heavy = "pydantic scipy numpy yaml mkdocs plotly jinja2 rich PIL markdown_it"
    program = (
        "import sys; from asfound.cli import main\nsys.argv = ['asfound', '--version']\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        f"print([name for name in {heavy.split()!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


WORKFLOWS = sorted((ROOT / ".github" / "workflows").glob("*.yml"))


@pytest.mark.parametrize("path", WORKFLOWS, ids=lambda path: path.name)
def test_a_workflow_is_pinned_reads_only_and_holds_no_secret(path: Path) -> None:
    text = path.read_text("utf-8")
    data = yaml.load(text, yaml.BaseLoader)
    # The comment is written by a job that takes and runs nothing; `test_comment.py` holds it to that.
    comment = path.name == "comment.yml"
    assert data["permissions"] == ({} if comment else {"contents": "read"})
    assert "secrets." not in text
    uses = re.findall(r"uses: *(\S+)( +# v[\d.]+)?", text)
    assert bool(uses) is not comment
    for action, version in uses:
        assert re.fullmatch(r"[\w-]+/[\w-]+@[0-9a-f]{40}", action), action
        assert version, f"{action} without its version in a comment"
    for job in data["jobs"].values():
        assert "timeout-minutes" in job
        for step in job["steps"]:
            if "actions/checkout@" in step.get("uses", ""):
                assert step["with"]["persist-credentials"] == "false"
    # What a request brings is text; put into a script by the expression syntax it would run.
    for script in re.findall(r"run: \|\n((?: {10,}.*\n)+)", text):
        assert "${{" not in script


def test_the_gate_takes_only_cases_from_a_request() -> None:
    data = yaml.load((ROOT / ".github/workflows/check.yml").read_text("utf-8"), yaml.BaseLoader)
    steps = data["jobs"]["cases"]["steps"]
    checkout = next(step for step in steps if "actions/checkout@" in step.get("uses", ""))
    assert checkout["with"]["ref"].startswith("${{ github.event.pull_request.base.sha")
    assert checkout["with"]["fetch-depth"] == "0"
    (taken,) = (step for step in steps if "request, as data" in step["name"])
    assert taken["run"].rstrip().endswith('.ci/take-cases "$(git rev-parse refs/asfound/request)"')
    assert "refs/asfound/request^2" in taken["run"]  # the commit that was asked about, and no later one
    # The token is named where it is needed, and nowhere else.
    assert [step for step in steps if "github.token" in str(step)] == [taken]
    # Nothing else that a request can write reaches a step.
    assert set(re.findall(r"github\.event\.[\w.]+", str(steps))) == {
        "github.event.pull_request.base.sha", "github.event.pull_request.head.sha", "github.event.pull_request.number",
    }  # fmt: skip
    assert data["jobs"]["gate"]["if"] == "always()"


def test_what_is_installed_in_ci_is_locked_by_digest() -> None:
    text = (PACKAGE / "cli/repository/dot-ci/requirements.txt").read_text("utf-8")
    pinned: dict[str, set[str]] = {}
    for block in re.split(r"\n(?=[a-z0-9])", re.sub(r"(?m)^#.*\n", "", text)):
        found = re.fullmatch(r"([a-z0-9._-]+)==(\S+)(?: ; [^\\]+)?((?: \\\n +--hash=sha256:[0-9a-f]{64})+)\s*", block)
        assert found, block
        pinned.setdefault(found[1], set()).add(found[2])
    assert "://" not in text
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    for needed in map(Requirement, (*project["project"]["dependencies"], *project["build-system"]["requires"])):
        versions = pinned.get(canonicalize_name(needed.name), set())
        assert versions and all(version in needed.specifier for version in versions), (
            f"{needed} is locked at {versions}"
        )


def test_the_readme_holds_the_two_commands() -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    commands = dict(re.findall(r"<!-- command: (\w+) -->\n```sh\n([^\n]+)\n```", text))
    assert set(commands) == {"run", "test"}
    assert commands["test"].endswith(".venv/bin/pytest")
    assert commands["run"].endswith(".venv/bin/mkdocs serve")


def test_every_command_of_the_readme_s_walk_exists() -> None:
    from asfound.cli.main import COMMANDS

    text = (ROOT / "README.md").read_text("utf-8")
    named = set(re.findall(r"\.venv/bin/asfound (\w[\w-]*)", text)) | set(re.findall(r"`asfound (\w[\w-]*)", text))
    assert named and named <= set(COMMANDS)


def test_every_command_has_help_with_an_example() -> None:
    import importlib

    from asfound.cli.main import COMMANDS

    for name, module in COMMANDS.items():
        command = importlib.import_module(module).command
        assert f"asfound {name}" in (command.help or ""), f"{name} shows no example"
