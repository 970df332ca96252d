"""The starter lists: whole, sourced, and in play by the answers given."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.assess import open_repository
from asfound.limits import build_book, packaged
from asfound.model.event import CaseHead
from asfound.model.limits import SourceStatus
from asfound.model.starters import StarterList

LISTS = {one.starter: one for one in packaged().starters.values()}
BY_RF = (
    "return-pad", "small-contact", "direct-coupling", "capacitive-coupling", "insulation-failure",
    "unintended-activation",
)  # fmt: skip
ALWAYS = {"heated-contact", "pressure", "prep-or-adhesive", "drug-or-disease"}


def head(kind: str, device: str | None = None, **answers: str) -> CaseHead:
    found = {
        "case": "c", "title": "T", "harmed": "none", "device_kind": device,
        "answers": {name.replace("_", "-"): answer for name, answer in answers.items()},
        "event": {
            "kind": kind, "told_at": "2026-03-10 08:00 +00:00", "time_source": "none", "where": "here",
            "account": "It happened.",
        },
    }  # fmt: skip
    return CaseHead.model_validate({name: value for name, value in found.items() if value is not None})


@pytest.mark.parametrize("made", LISTS.values(), ids=lambda made: made.starter)
def test_a_list_is_whole(made: StarterList) -> None:
    assert made.lines and made.events
    for name, line in made.lines.items():
        assert line.needs and line.source and isinstance(line.status, SourceStatus), name
        assert set(line.when) <= set(made.questions), name
        assert line.explanation.endswith(".") and line.separate.endswith("."), name
        # A comma in a list of YAML cuts a sentence in two unless the sentence is quoted.
        assert all(need[0].isupper() and need.endswith(".") for need in line.needs), (name, line.needs)
    assert all(asked.endswith("?") for asked in made.questions.values())
    asked = {question for line in made.lines.values() for question in line.when}
    assert asked == set(made.questions), "a question that no line waits for is asked for nothing"


def test_a_lesion_asks_for_six_lines_where_a_generator_was_used_and_four_always() -> None:
    """The lines each lesion needs are our own requirement; their matter is from the sources named in the list."""
    lesion = LISTS["skin-lesion"]
    none = lesion.in_play(
        head("skin lesion", rf_used="no", electrodes_on_skin="no", laser_in_the_room="no", mri_used="no")
    )
    assert set(none) == ALWAYS
    used = lesion.in_play(
        head("skin lesion", rf_used="yes", electrodes_on_skin="no", laser_in_the_room="no", mri_used="no")
    )
    assert set(used) == ALWAYS | set(BY_RF)
    laser = lesion.in_play(
        head("skin lesion", rf_used="no", electrodes_on_skin="no", laser_in_the_room="yes", mri_used="no")
    )
    assert set(laser) == ALWAYS | {"laser"}
    # What nobody answered, and what nobody knows, stays in play.
    assert set(lesion.in_play(head("skin lesion"))) == set(lesion.lines)
    unsure = lesion.in_play(head("skin lesion", rf_used="not known", laser_in_the_room="no"))
    assert set(unsure) == set(lesion.lines) - {"laser"}


def test_a_list_is_for_its_kind_of_event_and_device() -> None:
    assert LISTS["skin-lesion"].is_for(head("skin lesion", "anything"))
    assert not LISTS["skin-lesion"].is_for(head("shock"))
    assert LISTS["infusion"].is_for(head("too much", "infusion-pump"))
    assert not LISTS["infusion"].is_for(head("too much", "infant-incubator"))


def test_a_warmer_is_not_asked_for_the_doors_and_the_fan_of_an_incubator() -> None:
    assert not LISTS["incubator"].is_for(head("too much", "radiant-warmer"))
    warmer = LISTS["radiant-warmer"]
    assert warmer.is_for(head("too much", "infant-warmer")) and not warmer.is_for(head("too much", "incubator"))
    assert "air-path" not in warmer.lines and {"manual-mode", "heater-place"} <= set(warmer.lines)


def test_every_kind_of_line_of_a_lesion_is_looked_to() -> None:
    lines = {str(line.line) for line in LISTS["skin-lesion"].lines.values()}
    assert {"device", "use", "other device", "not a device-made injury", "patient or procedure effect"} <= lines


def test_two_lists_of_one_name_are_refused_and_the_packaged_one_stays() -> None:
    have = packaged()
    own = {".asfound/starters/skin.yml": LISTS["skin-lesion"].model_copy(update={"title": "Ours"})}
    book, faults = build_book(
        have.sets, have.protocols, {}, {}, cautions=have.cautions, starters={**own, **have.starters}
    )  # fmt: skip
    assert [(one.rule, one.file) for one in faults] == [("starter-twice", ".asfound/starters/skin.yml")]
    assert book.starters["skin-lesion"].title != "Ours"
    assert list(book.starters) == sorted(LISTS)


def test_an_organisation_adds_a_list_of_its_own(tmp_path: Path) -> None:
    home = tmp_path / ".asfound/starters"
    home.mkdir(parents=True)
    (home / "ours.yml").write_text(
        "starter: ours\ntitle: Ours\nevents: [fire]\nasked: offered\nlines:\n  lamp:\n    explanation: A lamp.\n"
        "    line: other device\n    needs: [It was hot.]\n    would_show: A mark.\n    separate: A look.\n"
        "    source: ours\n    status: common practice, no source\n",
        encoding="utf-8",
    )
    shared = open_repository(tmp_path)
    assert shared.problems == () and set(shared.book.starters) == {*LISTS, "ours"}
    (home / "ours.yml").write_text("starter: ours\ntitle: Ours\n", encoding="utf-8")
    broken = open_repository(tmp_path)
    assert broken.problems and "ours" not in broken.book.starters
