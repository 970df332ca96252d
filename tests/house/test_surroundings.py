"""What all tests live under is really so: no network, a home of their own, a browser where one is demanded."""

from __future__ import annotations

import os
import re
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest
from hypothesis import settings

from tests import twins
from tests.conftest import NetworkRefused, is_here

ROOT = Path(__file__).parents[2]


def test_no_test_can_reach_another_machine() -> None:
    # 192.0.2.0/24 and 2001:db8::/32 are set aside for documentation (RFC 5737, RFC 3849); .invalid never resolves.
    for family, host in ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1")):
        with socket.socket(family) as one, pytest.raises(NetworkRefused, match="nothing but this machine"):
            one.connect((host, 80))
        with socket.socket(family) as one, pytest.raises(NetworkRefused):
            one.connect_ex((host, 80))
    with pytest.raises(NetworkRefused):
        socket.getaddrinfo("example.invalid", 80)
    with pytest.raises(NetworkRefused):
        urllib.request.urlopen("http://192.0.2.1/", timeout=1)


def test_this_machine_can_be_reached() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server, socket.create_connection(server.getsockname()) as one:
        assert one.getpeername() == server.getsockname()
    assert is_here("/run/any.socket", socket.AF_UNIX)
    assert is_here(("::1", 80, 0, 0), socket.AF_INET6)
    assert not is_here(("127.0.0.1.example.invalid", 80), socket.AF_INET)


def test_home_is_empty_and_no_leaning_is_left(tmp_path_factory: pytest.TempPathFactory) -> None:
    assert Path.home().is_relative_to(tmp_path_factory.getbasetemp())
    assert {name for name in os.environ if name.startswith("GIT_")} == {"GIT_CONFIG_NOSYSTEM", "GIT_CONFIG_GLOBAL"}
    assert not {"NO_COLOR", "FORCE_COLOR", "SOURCE_DATE_EPOCH", "GITHUB_ACTIONS"} & set(os.environ)


def test_no_example_is_timed() -> None:
    """A limit in milliseconds an example, which the library sets outside a pipeline, fails a run on a busy machine."""
    assert settings().deadline is None


@pytest.mark.parametrize(("demanded", "said"), [("", "1 skipped"), ("1", "1 error")])
def test_a_missing_browser_is_said_and_fails_where_one_is_demanded(tmp_path: Path, demanded: str, said: str) -> None:
    (tmp_path / "conftest.py").write_text((ROOT / "tests/conftest.py").read_text("utf-8"), encoding="utf-8")
    (tmp_path / "test_one.py").write_text(
        "import pytest\n\n@pytest.mark.browser\ndef test_one(): pass\n", encoding="utf-8"
    )
    (tmp_path / "pytest.ini").write_text("[pytest]\nmarkers = browser: needs one\n", encoding="utf-8")
    env = {**os.environ, "PATH": str(tmp_path), "CHROMIUM": "", "ASFOUND_REQUIRE_BROWSER": demanded}
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-rs", "-p", "no:cacheprovider", "--rootdir", str(tmp_path), "test_one.py"],
        cwd=tmp_path, env=env, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert said in done.stdout
    assert done.returncode == (1 if demanded else 0)
    assert "there is no chromium on the path" in done.stdout


@pytest.mark.parametrize("twin", twins.twins(), ids=lambda twin: twin.name)
def test_the_real_command_says_of_each_twin_what_is_expected(twin: twins.Twin) -> None:
    assert twins.differences(twin, "--on", "2026-03-20") == []


def test_a_twin_that_says_otherwise_is_noticed() -> None:
    (twin,) = (twin for twin in twins.twins() if twin.name == "four-faults")
    other = twins.Twin(twin.name, twin.case, twin.root, twin.open, (*twin.expected[1:], "items.yml:1 no-such-rule"))
    assert twins.differences(other, "--on", "2026-03-20") == [
        "expected, and not said: items.yml:1 no-such-rule",
        f"said, and not expected: {twin.expected[0]}",
    ]
    opened = twins.Twin(twin.name, twin.case, twin.root, True, twin.expected)
    assert twins.differences(opened)[0].startswith("the exit code is 1, 0 was expected")


def readme_command(text: str, where: Path) -> tuple[int, str]:
    """What the function of that name in .ci/run takes out of a README."""
    body = re.search(r"^readme_command\(\) \{\n.*?^\}\n", (ROOT / ".ci/run").read_text("utf-8"), re.M | re.S)
    assert body
    (where / "README.md").write_text(text, encoding="utf-8")
    done = subprocess.run(
        ["bash", "-c", f"{body[0]}readme_command test"], cwd=where, capture_output=True, text=True, check=False
    )
    return done.returncode, done.stdout


@pytest.mark.skipif(sys.platform == "win32", reason="a script for bash")
def test_ci_runs_the_line_that_a_reader_of_the_readme_types(tmp_path: Path) -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    code, line = readme_command(text, tmp_path)
    assert code == 0
    assert f"<!-- command: test -->\n```sh\n{line}```\n" in text
    assert line.endswith(" && .venv/bin/pytest\n")


@pytest.mark.skipif(sys.platform == "win32", reason="a script for bash")
@pytest.mark.parametrize(
    "text",
    [
        "",
        "<!-- command: run -->\n```sh\nmake\n```\n",
        "<!-- command: test -->\nwords between\n```sh\nmake\n```\n",
        "<!-- command: test -->\n```sh\nmake\nmake more\n```\n",
        "<!-- command: test -->\n```sh\n```\n",
        "<!-- command: test -->\n```sh\nmake\n```\n<!-- command: test -->\n```sh\nmake\n```\n",
    ],
    ids=["empty", "another", "words between", "two lines", "no line", "twice"],
)
def test_a_readme_without_exactly_one_such_line_is_refused(tmp_path: Path, text: str) -> None:
    assert readme_command(text, tmp_path)[0] != 0


# The workflow of the comment runs no program of ours.
DECIDING = [place for place in sorted((ROOT / ".github/workflows").glob("*.yml")) if place.stem != "comment"]


@pytest.mark.parametrize("place", DECIDING, ids=lambda place: place.stem)
def test_nothing_that_decides_believes_what_was_worked_out_before(place: Path) -> None:
    text = place.read_text("utf-8")
    assert re.search(r'^env:\n  ASFOUND_CACHE: "off"$', text, re.MULTILINE)
    assert not re.search(r"actions/cache|restore-keys|^\s*cache:", text, re.MULTILINE)
    assert not re.search(r"ASFOUND_CACHE(?!: \"off\")", text)
