"""`asfound evidence add`: what is asked, what is printed where, and with which exit code."""

from __future__ import annotations

import html
import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.rules.support import BASE
from tests.unit.cli.support import apart, command, run
from tests.unit.desk.test_evidence import photograph

LINE = re.compile(r"cases/base/evidence\.yml:(\d+) (E-\d+) photograph, (evidence/\S+), sha256 ([0-9a-f]{64})")


@pytest.fixture
def home(tmp_path: Path) -> Path:
    shutil.copytree(BASE, tmp_path / "repository")
    (tmp_path / "repository" / "card").mkdir()
    return tmp_path / "repository"


def put(home: Path, name: str, **more: object) -> str:
    (home / "card" / name).write_bytes(photograph(**more))  # type: ignore[arg-type]
    return f"card/{name}"


def test_the_lines_that_were_written_are_printed_with_their_places(
    home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    names = [put(home, f"IMG_{n}.JPG", shade=n) for n in (1, 2)]
    more = ("--by", "risk-manager", "--what", "One.", "--what", "Two.", "--view", "close", "--clock", "K-2")
    done = run(capsys, monkeypatch, home, "evidence", "add", *names, *more)
    assert done.code == 0 and "commit them and the 2 files" in done.err
    register = (home / "cases/base/evidence.yml").read_text(encoding="utf-8").splitlines()
    found = [LINE.fullmatch(line) for line in done.out.splitlines()]
    assert len(found) == 2 and all(found)
    for hit, shows in zip(found, ("One.", "Two."), strict=True):
        assert hit is not None
        at = int(hit[1])
        assert register[at - 1] == f"{hit[2]}:" and register[at] == f"  file: {hit[3]}"
        assert f"  shows: {shows}" in register[at : at + 5]


def test_a_pattern_that_names_the_photograph_of_the_clock_too_takes_it_once(home: Path) -> None:
    clock = put(home, "clock.JPG", taken="2026:03:02 11:05:20")
    one = put(home, "IMG_1.JPG", shade=1)
    words = ("--by", "risk-manager", "--what", "A plug.", "--what", "The clock.", "--reference", "network time")
    shows = ("--clock-photo", clock, "--shows", "2026-03-02 11:11:40 -06:00")
    done = apart(home, "evidence", "add", one, clock, *words, *shows)
    assert done.code == 0, done.err
    assert [line.split(" ")[1] for line in done.out.splitlines()] == ["K-3", "E-9", "E-10"]
    assert "6 min 20 s behind" in done.err and "reference: network time" in (home / "cases/base/clocks.yml").read_text()


def test_refusals_name_every_reason_and_write_nothing(home: Path) -> None:
    before = (home / "cases/base/evidence.yml").read_bytes()
    shutil.copy(home / "cases/base/evidence/bay.jpg", home / "card/again.jpg")
    done = apart(home, "evidence", "add", "card/again.jpg", put(home, "a.JPG"), "--what", "A plug.", "--by", "nobody")
    assert (done.code, done.out) == (1, "")
    assert "Nothing was written:" in done.err and "E-1 has these very bytes" in done.err and "“nobody”" in done.err
    assert (home / "cases/base/evidence.yml").read_bytes() == before
    assert not (home / "cases/base/evidence/a.JPG").exists()


def test_a_case_in_disorder_is_told_with_its_lines(home: Path) -> None:
    (home / "cases/base/evidence.yml").write_text("E-1:\n  file: [\n", encoding="utf-8")
    done = apart(home, "evidence", "add", put(home, "a.JPG"), "--what", "A plug.", "--by", "examiner", "--clock", "K-2")
    assert done.code == 1 and "cases/base/evidence.yml:" in done.err and "Traceback" not in done.err


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        ((), "name at least one file"),
        (("a", "--shows", "2026-03-02 11:11 -06:00"), "go together"),
        (("a", "--clock-photo", "b", "--shows", "x", "--clock", "K-2"), "give one of them"),
        (("a", "--keeper", "examiner"), "go with --elsewhere"),
        (("a", "--elsewhere", "--keeper", "examiner"), "needs --keeper, --place and --why"),
        (("a", "b", "c", "--what", "x", "--what", "y"), "2 times for 3 files"),
        (("a", "--case", "nowhere"), "no case"),
        (("a", "--kind", "nonsense"), "nonsense"),
    ],
)
def test_wrong_usage_is_told_apart(home: Path, arguments: tuple[str, ...], why: str) -> None:
    done = apart(home, "evidence", "add", *arguments)
    assert done.code == 2 and why in done.err and done.out == ""


def test_the_case_is_the_one_you_stand_in_or_has_to_be_named(home: Path) -> None:
    shutil.copytree(home / "cases/base", home / "cases/other")
    one = str(home / put(home, "a.JPG"))
    more = (one, "--what", "A plug.", "--by", "examiner", "--clock", "K-2")
    unsaid = apart(home, "evidence", "add", *more)
    assert unsaid.code == 2 and "there are 2 cases here; name one with --case" in unsaid.err
    inside = apart(home / "cases/other/evidence", "evidence", "add", *more)
    assert inside.code == 0 and inside.out.startswith("cases/other/evidence.yml:"), inside.err


@pytest.mark.parametrize("arguments", [("evidence", "--help"), ("evidence", "add", "--help")])
def test_help_has_an_example(home: Path, arguments: tuple[str, ...]) -> None:
    done = apart(home, *arguments)
    assert done.code == 0 and "asfound evidence add" in done.out


def test_the_commands_on_the_page_about_patient_data_run(tmp_path: Path) -> None:
    """The registration by digest as the page prints it, and its bundle of the whole history, with real git."""
    root = Path(__file__).parents[3]
    page = (root / "plugin/asfound/pages/templates/patient_data.html").read_text(encoding="utf-8")
    register, bundle = (html.unescape(text) for text in re.findall(r"<pre><code>(.*?)</code></pre>", page, re.S)[:2])
    shutil.copytree(root / "cases/return-pad-lesion", tmp_path / "cases/return-pad-lesion")
    shutil.copytree(root / ".asfound", tmp_path / ".asfound")
    (tmp_path / "IMG_0042.JPG").write_bytes(photograph(offset="-05:00"))
    words = shlex.split(register.replace("\\\n", " "))
    done = apart(tmp_path, *words[1:])
    assert words[0] == "asfound" and done.code == 0, done.err
    assert "kept by risk-manager" in done.out
    git = ["git", "-c", "user.name=x", "-c", "user.email=x@example.org"]
    subprocess.run([*git, "init", "-q", "."], cwd=tmp_path, check=True)
    subprocess.run([*git, "commit", "-q", "--allow-empty", "-m", "a"], cwd=tmp_path, check=True)
    for line in bundle.splitlines():
        subprocess.run(shlex.split(line), cwd=tmp_path, check=True, capture_output=True)
    subprocess.run(["git", "bundle", "verify", "-q", "before.bundle"], cwd=tmp_path, check=True, capture_output=True)


def _at_a_terminal(home: Path, answers: list[str], *arguments: str) -> tuple[int, str]:
    """The command on a terminal of its own, each answer given when a question stands there."""
    import pty

    handle, end = pty.openpty()
    environment = {**os.environ, "TERM": "dumb"}
    running = subprocess.Popen(command(*arguments), cwd=home, stdin=end, stdout=end, stderr=end, env=environment)
    os.close(end)
    said = b""
    answered = 0
    while True:
        try:
            piece = os.read(handle, 4096)
        except OSError:
            break
        if not piece:
            break
        said += piece
        if re.search(rb"(: |\]: )\Z", said) and answered < len(answers) and not said.endswith(b"\n"):
            os.write(handle, answers[answered].encode() + b"\n")
            answered += 1
            said += b"\n"
    os.close(handle)
    return running.wait(), said.decode()


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no terminals of this kind")
def test_on_a_terminal_what_is_missing_is_asked_for(home: Path) -> None:
    answers = ["examiner", "The front of the pump.", "overall", "n", "y"]
    code, said = _at_a_terminal(home, answers, "evidence", "add", put(home, "a.JPG"), "--clock", "K-2")
    assert code == 0, said
    for words in ("By whom", "taken 2026-03-02 11:20:00 by its camera", "in a sentence", "From how far", "face"):
        assert words in said, said
    register = (home / "cases/base/evidence.yml").read_text(encoding="utf-8")
    assert "shows: The front of the pump." in register and "taken_by: examiner\n" in register
    assert "view: overall\n  faces: no\n" in register


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no terminals of this kind")
def test_a_no_writes_nothing(home: Path) -> None:
    before = (home / "cases/base/evidence.yml").read_bytes()
    answers = ["examiner", "The front of the pump.", "close", "n"]
    code, said = _at_a_terminal(home, answers, "evidence", "add", put(home, "a.JPG"), "--clock", "K-2")
    assert code == 1 and "Nothing was written." in said
    assert (home / "cases/base/evidence.yml").read_bytes() == before
