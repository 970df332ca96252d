"""The page of changes, from a history made for the purpose: what it tells, leaves out, and how large it grows."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable
from dataclasses import replace

import pytest

from asfound.model.dossier import Dossier
from asfound.model.event import Confidentiality
from asfound.model.past import Commit, FieldChange, Past, RecordChange
from asfound.pages import Options, case_pages, standalone

from .frozen import frozen, pictures

AT = dt.datetime(2026, 3, 5, 12, tzinfo=dt.timezone(dt.timedelta(hours=-6)))


def commit(number: int, role: str = "examiner", subject: str = "") -> Commit:
    """The nth commit, an hour after the one before."""
    before = (f"{number - 1:040x}",) if number > 1 else ()
    at = AT + dt.timedelta(hours=number)
    return Commit(f"{number:040x}", before, "author 1", role, at, subject or f"Commit {number}", "", before)


def entered(number: int, ref: str, file: str = "cases/base/findings.yml", edition: int = 0) -> RecordChange:
    """A record that came with a commit."""
    return RecordChange(f"{number:040x}", ref, "added", file, 1, (), edition)


def changed(number: int, ref: str, name: str, old: str | None, new: str | None, edition: int = 0) -> RecordChange:
    """A field that moved with a commit."""
    file = "cases/base/findings.yml"
    return RecordChange(f"{number:040x}", ref, "changed", file, 1, (FieldChange(name, old, new),), edition)


def case(commits: Iterable[Commit], changes: Iterable[RecordChange], **more: object) -> Dossier:
    """The frozen case with a history."""
    past = replace(Past(True, "", tuple(commits), tuple(changes)), **more)  # type: ignore[arg-type]
    return replace(frozen(), history=past)


def page(dossier: Dossier, section: str = "changes") -> str:
    """The body of a page."""
    uri = f"case/base/{section}.md"
    return next(one.body for one in case_pages(dossier, pictures(), Options()) if one.uri == uri)


def part(text: str, ref: str) -> str:
    """The section of one record, as text."""
    found = re.search(rf'<h3 id="of-{re.escape(ref)}">(.*?)(?=<h[23] )', text, re.DOTALL)
    assert found is not None, f"{ref} has no section"
    return " ".join(re.sub(r"<[^>]+>", " ", found[1]).split())


def story() -> Dossier:
    """A finding, changed once; a reading under it, changed after it entered."""
    return case(
        [
            commit(1),
            commit(2),
            commit(3, "second-examiner", "Correct a slip of the pen"),
            commit(4, subject="Say it better"),
        ],
        [
            entered(1, "R-flow-1", "cases/base/readings/flow.csv"),
            entered(2, "F-1", edition=1),
            changed(3, "R-flow-1", "value", "50.9", "51.9"),
            changed(4, "F-1", "text", "The flow was high.", "The flow was above the setting.", 2),
        ],
    )


def test_a_finding_tells_what_it_said_before_who_changed_it_when_why_and_which_edition_holds_it() -> None:
    said = part(page(story()), "F-1")
    assert "entered in commit 0000000000 , commit time 2026-03-05 14:00 −06:00 (Thu), examiner" in said
    assert "text: “The flow was high.” → “The flow was above the setting.”" in said
    assert "“Say it better”" in said and "entered edition 1" in said and "entered edition 2" in said


def test_readings_that_changed_under_a_finding_are_told_with_it() -> None:
    rests = [ref for ref, one in frozen().core.case.findings.items() if "R-flow-1" in one.rests_on]
    assert rests, "the test needs a finding that rests on R-flow-1"
    dossier = story()
    past = dossier.history
    moved = tuple(replace(one, ref=rests[0]) if one.ref == "F-1" else one for one in past.changes)
    said = part(page(replace(dossier, history=replace(past, changes=moved))), rests[0])
    assert "Since then, under it: R-flow-1 changed" in said and "value: “50.9” → “51.9”" in said
    assert "second-examiner" in said


def test_what_stood_before_a_finding_was_written_is_its_ground_and_no_change_under_it() -> None:
    past = story().history
    early = (past.changes[0], replace(past.changes[2], commit=past.commits[0].id), past.changes[1], past.changes[3])
    said = page(replace(story(), history=replace(past, changes=early)))
    assert "Since then, under it" not in said


def test_each_record_leads_to_its_part_and_the_report_that_is_handed_over_does_not() -> None:
    text = page(story(), "findings")
    assert 'href="../changes/#of-F-1"' in text and "changed once since it entered" in text
    assert 'href="../changes/#of-R-flow-1"' in page(story(), "measurements")
    assert "#of-" not in page(story(), "record") and "#of-" not in standalone(story(), pictures())


def test_every_link_within_the_page_leads_somewhere() -> None:
    text = page(story())
    ids = set(re.findall(r' id="([^"]+)"', text))
    links = re.findall(r'href="#([^"]*)"', text)
    assert links and set(links) <= ids


@pytest.mark.parametrize(
    "why",
    ["The cases do not lie in a git repository, so no history of the records is kept.", "This clone is cut short."],
)
def test_where_nothing_can_be_told_one_sentence_says_so(why: str) -> None:
    text = page(replace(frozen(), history=Past(why=why)))
    assert f"Not provable. {why}" in text and "<h2" not in text


def test_an_author_without_a_role_is_a_label_and_never_a_name() -> None:
    said = page(case([commit(1, "an author not listed")], [entered(1, "F-1")]))
    assert "author 1, whose role is not listed" in said


def test_hostile_words_of_a_commit_and_of_old_values_are_shown_and_do_not_act() -> None:
    evil = commit(1, subject="<script>alert(1)</script> \u202e\x1b[31m")
    text = page(
        case([evil, commit(2)], [entered(1, "F-1"), changed(2, "F-1", "text", "<img src=x onerror=y>", "\u2066a")])
    )
    assert "<script>alert" not in text and "<img src=x" not in text
    assert "\u202e" not in text and "\x1b" not in text and "\u2066" not in text and "&lt;U+202E&gt;" in text


def test_a_record_that_is_gone_is_told_without_a_link() -> None:
    gone = RecordChange(
        f"{2:040x}", "F-77", "removed", "cases/base/findings.yml", 1, (FieldChange("text", "It was.", None),)
    )
    text = page(case([commit(1), commit(2)], [entered(1, "F-77"), gone]))
    said = part(text, "F-77")
    assert "no longer on record" in said and "text: “It was.” → nothing" in said
    assert 'href="../findings/#F-77"' not in text


def test_the_facility_s_duties_stand_on_no_page() -> None:
    text = page(case([commit(1)], [entered(1, "D-1", "cases/base/duties.yml"), entered(1, "F-1")]))
    assert "D-1" not in text and "of-F-1" in text


def test_of_a_case_that_was_handed_out_drafts_of_opinion_are_left_out() -> None:
    dossier = case(
        [commit(1), commit(2, subject="It was the nurse after all")],
        [entered(1, "F-1"), changed(2, "X-1", "why", "It was the nurse.", "It was the pump.")],
    )
    assert "It was the nurse" in page(dossier)
    head = dossier.core.case.head.model_copy(update={"confidentiality": Confidentiality.RELEASED})
    out = replace(dossier, core=replace(dossier.core, case=replace(dossier.core.case, head=head)))
    text = page(out)
    assert "It was the nurse" not in text and "Earlier wordings of an opinion" in text


def test_a_long_history_is_cut_and_says_so() -> None:
    """Ten thousand changes and three thousand commits make a page that can still be read."""
    many = [commit(number) for number in range(1, 3001)]
    long = "word " * 4000
    changes = [entered(1, "F-1")]
    changes += [changed(number, "F-1", "text", f"{long}{number}", f"{long}{number + 1}") for number in range(2, 3001)]
    changes += [
        changed(number, f"V-{place}", "note", long, f"{long}!") for number in range(2, 8) for place in range(1, 1001)
    ]
    text = page(case(many, changes))
    assert "2980 earlier changes not shown here; asfound trace F-1 tells all of them" in text
    assert "2900 older commits are not listed" in text
    assert len(text.encode()) < 450_000
    assert "Changed too, with no room here; asfound trace and the id tells how" in text
    assert all(f'id="of-V-{place}"' in text for place in range(1, 1001))


def test_the_page_is_the_same_twice() -> None:
    assert page(story()) == page(story())
