"""`asfound compare`, with real git: what a reviewer sees of a change, and what a change cannot do."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from markdown_it import MarkdownIt

from ..rules.signing import approval, signers
from ..rules.support import repository_path
from ..support.repository import Repo
from ..unit.cli.support import Done, run

BASE = Path(__file__).parents[1] / "rules" / "base"
FLOW = "cases/base/readings/flow.csv"
ON = ("--on", "2026-04-01")

Asfound = Callable[..., Done]


def edit(repo: Repo, name: str, *pairs: tuple[str, str]) -> None:
    path = repo.root / name
    text = path.read_text("utf-8")
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path.write_text(text, "utf-8")


@pytest.fixture
def repo(tmp_path: Path) -> Repo:
    """The base case on the main branch; a branch on which somebody works."""
    shutil.copytree(BASE, tmp_path / "here")
    made = Repo(tmp_path / "here")
    made.commit("the case")
    made.git("switch", "-q", "-c", "request")
    return made


@pytest.fixture
def asfound(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, repo: Repo) -> Asfound:
    """`asfound compare ARGUMENTS` at the root of that repository."""

    def go(*arguments: str) -> Done:
        return run(capsys, monkeypatch, repo.root, "compare", *arguments, *ON)

    return go


def lower(repo: Repo) -> None:
    """Readings that were far off are made good, and the author lowers the conclusion."""
    edit(repo, FLOW, ("4,100,111.9,", "4,100,100.9,"), ("5,100,112.3,", "5,100,101.3,"), ("6,100,112.0", "6,100,101.0"))
    edit(repo, "cases/base/conclusion.yml", ("level: probable", "level: possible"))


def test_the_summary_alone_shows_the_reading_the_verdict_and_the_lowered_conclusion(
    asfound: Asfound, repo: Repo
) -> None:
    lower(repo)
    repo.commit("Read the sheet again")
    done = asfound("main", "request", "--format", "md")
    assert (done.code, done.err) == (0, "")
    text = MarkdownIt().render(done.out)
    assert "The mechanism is held as possible; it was held as probable." in text
    verdict = next(line for line in text.splitlines() if "R-flow-4 against" in line)
    assert " at 100.9 mL/h ± 1.4 mL/h; it was fail at 111.9 mL/h ± 1.5 mL/h." in verdict.replace(
        "\N{NO-BREAK SPACE}", " "
    )
    reading = next(line for line in text.splitlines() if "The reading R-flow-4 was changed" in line)
    assert "value from 111.9 mL/h to 100.9 mL/h" in reading.replace("\N{NO-BREAK SPACE}", " ")
    order = [text.index(one) for one in ("is held as possible", "R-flow-4 against", "The reading R-flow-4")]
    assert order == sorted(order)


def test_a_rule_newly_broken_is_told_and_so_is_its_mending(asfound: Asfound, repo: Repo) -> None:
    edit(repo, FLOW, ("4,100,111.9,2026-03-05 15:30 -06:00", "4,100,111.9,2026-03-05 15:30"))
    repo.commit("Lose a zone")
    broken, mended = asfound("main", "request").out, asfound("request", "main").out
    assert "Rules newly broken, and mended\n  - New, a reject of the rule " in broken
    assert "Rules newly broken, and mended\n  - Gone, a reject of the rule " in mended


def test_the_folder_as_it_lies_there_says_the_same_as_the_commit_of_it(asfound: Asfound, repo: Repo) -> None:
    lower(repo)
    lying = json.loads(asfound("main", "--format", "json").out)
    repo.commit("Read the sheet again")
    committed = json.loads(asfound("main", "HEAD", "--format", "json").out)
    assert lying["cases"] == committed["cases"] and lying["head"] == ""
    assert {one["area"] for one in lying["cases"][0]["differences"]} >= {"level of the conclusion", "verdict", "record"}


def test_nothing_changed_is_said_and_a_comment_in_a_file_changes_nothing(asfound: Asfound, repo: Repo) -> None:
    assert "It touches no case." in asfound("main").out
    edit(repo, "cases/base/conclusion.yml", ("by: examiner\n", "# a remark\nby: examiner\n"))
    done = asfound("main")
    assert "Bytes changed, and nothing that the case says or that follows from it." in done.out


def test_a_request_cannot_bring_its_own_limits_where_the_base_is_trusted(asfound: Asfound, repo: Repo) -> None:
    edit(repo, ".asfound/instruments.yml", ("what: Flow analyser", "what: Another thing"))
    repo.commit("Change the bench")
    own = asfound("main", "request")
    assert "Another thing" in own.out and "so every case is compared" in own.out
    trusted = asfound("main", "request", "--trusted-base")
    assert "Another thing" not in trusted.out
    assert "no account is taken of it here (asfound compare without --trusted-base says" in trusted.out
    assert "to each): .asfound/instruments.yml.\n  It touches no case itself.\n" in trusted.out


def test_a_new_case_a_renamed_one_and_one_taken_out(asfound: Asfound, repo: Repo) -> None:
    repo.git("mv", "cases/base", "cases/elsewhere")
    repo.commit("Move")
    moved = asfound("main", "HEAD")
    assert "Its folder was cases/base and is cases/elsewhere." in moved.out and "is new" not in moved.out
    shutil.rmtree(repo.root / "cases/elsewhere")
    repo.commit("Take out")
    assert "The case is taken out. It lay in cases/base." in asfound("main", "HEAD").out
    assert "The case is new, in cases/base." in asfound("HEAD", "main").out


def test_a_case_that_can_no_longer_be_read_is_not_silent(asfound: Asfound, repo: Repo) -> None:
    (repo.root / "cases/base/case.yml").write_text("case: [", "utf-8")
    done = asfound("main")
    assert done.code == 0
    assert "The case.yml of cases/base cannot be read as it is after the change" in done.out


@pytest.mark.parametrize("name", ["nowhere", "--output=x", "main:cases", "@{-1}", "a b", ""])
def test_a_name_that_leads_to_no_commit_is_wrong_usage(asfound: Asfound, name: str) -> None:
    done = asfound(name)
    assert done.code == 2 and "Traceback" not in done.err


def test_a_tag_called_like_the_main_branch_is_not_taken_for_it(asfound: Asfound, repo: Repo) -> None:
    lower(repo)
    repo.commit("Read the sheet again")
    repo.git("tag", "main", "HEAD")
    done = asfound("main", "request")
    assert done.code == 2 and "leads to different commits: refs/heads/main, refs/tags/main" in done.err
    assert "is held as possible" in asfound("refs/heads/main", "request").out


def test_what_people_wrote_is_no_markup_and_what_has_no_room_is_counted(asfound: Asfound, repo: Repo) -> None:
    hostile = 'limits_of_work: "<img src=x onerror=alert(1)> [x](javascript:y) \\u202Eabc"\n'
    honest = "limits_of_work: The pump was not opened. The results relate only to the items examined.\n"
    edit(repo, "cases/base/conclusion.yml", (honest, hostile))
    lower(repo)
    markdown, page = asfound("main", "--format", "md"), asfound("main", "--format", "html")
    rendered = MarkdownIt().render(markdown.out)
    for text in (rendered, page.out):
        assert "<img" not in text and "<a " not in text and "\u202e" not in text
        assert "<U+202E>" in text.replace("&lt;", "<").replace("&gt;", ">")
    short = asfound("main", "--format", "md", "--most", "1200").out
    assert len(short.encode()) <= 1200
    assert "lines had no room here; `asfound compare " in short and "is held as possible" in MarkdownIt().render(short)


def spaced(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_in_short_the_conclusion_is_lowered_and_the_verdicts_moved(asfound: Asfound, repo: Repo) -> None:
    lower(repo)
    repo.commit("Read the sheet again")
    text = MarkdownIt().render(asfound("main", "request", "--format", "md").out)
    # The balance still reads what it read, and now contradicts the readings as changed.
    short = (
        "In short: the level of the mechanism is lowered from probable to possible; what the evidence earns for the "
        "mechanism is lowered from probable to possible; 3 verdicts moved (3 from a fail); 1 derived result comes out "
        "otherwise (1 to a fail); 1 rule newly broken (1 reject); "
        "3 records (3 changed: R-flow-4, R-flow-5 and R-flow-6)."
    )
    assert short in text
    assert "The conclusion rests on R-flow-4, R-flow-5, R-flow-6, by way of F-1." in text
    back = asfound("request", "main", "--format", "json").out
    assert (
        "the level of the mechanism is raised from possible to probable" in back
        and "3 verdicts moved (3 to a fail)" in back
    )
    page = asfound("main", "request", "--format", "html").out
    assert page.index(short) < page.index("R-flow-4 against") < page.index("The reading R-flow-4 was changed")


def test_readings_alone_can_lower_what_the_evidence_earns(asfound: Asfound, repo: Repo) -> None:
    """Nothing but the tables is edited: the readings at 100 mL/h no longer count, and the words of the case stay."""
    for name in (FLOW, "cases/base/readings/flow-again.csv"):
        head, *rows = (repo.root / name).read_text("utf-8").splitlines()
        struck = [f"{row},meter not warmed up" if ",100," in row else f"{row}," for row in rows]
        (repo.root / name).write_text("\n".join([f"{head},void", *struck, ""]), "utf-8")
    done = asfound("main", "--format", "md")
    said = MarkdownIt().render(done.out)
    assert "what the evidence earns for the mechanism is lowered from probable to " in said
    assert "R-flow-4 against base-limits/flow was fail at 111.9" in spaced(said)
    assert "it is not judged any more." in said


def test_an_approval_that_a_changed_reading_voids_is_told_in_short_and_with_what_changed(
    asfound: Asfound, repo: Repo
) -> None:
    repo.git("switch", "-q", "main")
    for name, content in (signers() | approval("reviewer", "second", extra=signers())).items():
        path = repo.root / repository_path(name)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content.encode() if isinstance(content, str) else content)
    repo.commit("Approve")
    repo.git("switch", "-q", "-C", "request")
    edit(repo, FLOW, ("4,100,111.9,", "4,100,111.8,"))
    repo.commit("Read one row again")
    said = MarkdownIt().render(asfound("main", "request", "--format", "md").out)
    assert "1 approval no longer in force" in said.split("After the change")[0]
    line = next(
        one for one in said.splitlines() if "The approval approvals/reviewer-second-1.json (reviewer) is" in one
    )
    assert " is void: " in line and "R-flow-4" in line
    taken = asfound("main", "request", "--format", "json").out
    assert json.loads(taken)["cases"][0]["approvals"]


def test_evidence_that_changed_is_told_with_both_digests_and_the_rule_it_breaks(asfound: Asfound, repo: Repo) -> None:
    plan = repo.root / "cases/base/evidence/plan.txt"
    old = hashlib.sha256(plan.read_bytes()).hexdigest()
    plan.write_bytes(plan.read_bytes() + b"\n")
    new = hashlib.sha256(plan.read_bytes()).hexdigest()
    data = json.loads(asfound("main", "--format", "json").out)["cases"][0]
    (file,) = [one for one in data["differences"] if one["area"] == "file of evidence"]
    assert file["moves"] == [{"name": "SHA-256", "old": old, "new": new}]
    assert "1 rule newly broken (1 reject)" in data["in_short"] and "1 file of evidence (1 changed)" in data["in_short"]


def test_a_case_that_got_another_identity_in_its_folder_is_the_same_case(asfound: Asfound, repo: Repo) -> None:
    head = repo.root / "cases/base/case.yml"
    head.write_text(re.sub(r"(?m)^case: .*$", "case: another-name", head.read_text("utf-8")), "utf-8")
    said = asfound("main").out
    assert "Its identity was base and is another-name." in said
    assert "is new" not in said and "taken out" not in said
    assert "Its identity was base" in asfound("main", "--case", "base").out


def test_what_is_heaviest_in_any_case_has_its_room_before_the_rest_of_another(asfound: Asfound, repo: Repo) -> None:
    """A first case with four hundred new rows does not take the room of the second one's verdict."""
    shutil.copytree(repo.root / "cases/base", repo.root / "cases/other")
    edit(repo, "cases/other/case.yml", ("case: base\n", "case: other\n"))
    repo.git("switch", "-q", "main")
    repo.commit("A second case")
    lower(repo)
    rows = "".join(f"{n},100,111.9,2026-03-05 16:11 -06:00\n" for n in range(7, 407))
    with (repo.root / FLOW).open("a", encoding="utf-8") as file:
        file.write(rows)
    edit(repo, "cases/other/readings/flow.csv", ("4,100,111.9,", "4,100,100.9,"))
    whole, short = (asfound("HEAD", "--format", "md", *more).out for more in ((), ("--most", "4000")))
    assert len(whole.encode()) > 20_000 and len(short.encode()) <= 4000
    text = MarkdownIt().render(short)
    base, other = text.split("<h3>other")
    assert "In short: the level of the mechanism is lowered" in base
    assert "R-flow-4 against base-limits/flow is conditional pass" in other and "In short: " in other
    left = [int(count) for count in re.findall(r"(\d+) more lines? of this case", text)]
    in_all = re.search(r"In all, (\d+) more lines had no room here; <code>asfound compare [0-9a-f]{12}</code>", text)
    assert in_all is not None and int(in_all[1]) == sum(left) and len(left) >= 1
    items = [len(MarkdownIt().render(one).split("<li>")) for one in (whole, short)]
    assert items[0] - items[1] == sum(left)


def test_a_comment_of_the_most_a_host_takes_holds_what_matters(asfound: Asfound, repo: Repo) -> None:
    """65,536 characters a comment (GitHub; exercism/pr-commenter-action issue 33, confirmed). A byte is no less."""
    lower(repo)
    with (repo.root / FLOW).open("a", encoding="utf-8") as file:
        file.writelines(f"{n},100,111.9,2026-03-05 16:11 -06:00\n" for n in range(7, 2007))
    said = asfound("HEAD", "--format", "md", "--most", "60000").out
    assert 40_000 < len(said) <= 60_000 < 65_536
    assert said.index("is lowered from probable to possible") < 1000
    assert "had no room here; `asfound compare " in said[-200:]


def test_nothing_in_a_request_calls_anybody_from_a_comment(asfound: Asfound, repo: Repo) -> None:
    hostile = "@org/team closes #12, www.example.invalid, ![x](//example.invalid/a.png) <!-- asfound --> \\n/close"
    edit(repo, "cases/base/case.yml", ("title: A bag emptied early on a ward", f'title: "{hostile}"'))
    edit(repo, "cases/base/findings.yml", ("text: At a setting of 100 mL/h", "text: @team At a setting of 100 mL/h"))
    said = asfound("main", "--format", "md").out
    assert "team" in said and not re.search(r"@\w", said) and "<!--" not in said and "\n/" not in said
    inline = [child for one in MarkdownIt().parse(said) for child in one.children or ()]
    assert {one.type for one in inline} <= {"text", "code_inline"}
    read = " ".join(one.content for one in inline if one.type == "text")
    assert "#12" not in read and "www." not in read
