"""The first page: three doors that answer in sentences, and lead on."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from typing import Any

from asfound.model.dossier import Dossier
from asfound.model.duties import Duties, DutyLine, Standing
from asfound.model.event import Storage
from asfound.model.source import SourceStatus
from asfound.model.things import ItemRole, Setting
from asfound.pages import Options, case_pages
from asfound.problems import Level, Problem, Span

from .frozen import frozen


def front(dossier: Dossier) -> str:
    return next(iter(case_pages(dossier, {}, Options()))).body


def door(body: str, number: int) -> str:
    part = body.split('class="af-who"')[1].split("</section>")[0]
    return part.split("<h2>")[number]


def plain(body: str) -> str:
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", "", body)))


def changed(**fields: Any) -> Dossier:
    made = frozen()
    head = made.core.case.head.model_copy(update=fields)
    return replace(made, core=replace(made.core, case=replace(made.core.case, head=head)))


def with_settings(count: int, **more: str) -> Dossier:
    made = frozen()
    scene = made.core.case.scene
    assert scene is not None
    settings = {f"A-{n}": Setting(item="I-1", control=f"knob {n}", value=str(n), **more) for n in range(1, count + 1)}
    case = replace(made.core.case, scene=scene.model_copy(update={"settings": settings}))
    return replace(made, core=replace(made.core, case=case))


def test_a_door_has_room_for_three_settings_and_leads_to_the_others() -> None:
    eight = door(front(with_settings(8)), 3)
    assert "knob 3 3" in plain(eight) and "knob 4" not in plain(eight) and "and 5 more" in plain(eight)
    assert '<a href="scene/#as-found">and 5 more</a>' in eight
    three = door(front(with_settings(3)), 3)
    assert "knob 3 3." in plain(three) and "more</a>" not in three


def test_the_unit_of_a_setting_is_set_as_everywhere_and_one_that_nobody_knows_stays_as_spelt() -> None:
    """A space that does not break, cmH2O with its figure lowered: SI Brochure, 9th edition, 5.4 (from memory)."""
    assert "knob 1 1\u00a0cmH₂O;" in html.unescape(door(front(with_settings(2, unit="cmH2O")), 3))
    assert "knob 1 1\u00a0clicks;" in html.unescape(door(front(with_settings(2, unit="clicks")), 3))


def test_the_first_door_says_one_sentence_of_others_at_risk_and_the_page_says_all() -> None:
    body = front(
        changed(
            others_at_risk="not known", others_at_risk_why="Two of the same lot are in use. Their state was not seen."
        )
    )
    assert "Two of the same lot are in use. More." in plain(door(body, 1))
    assert "Their state was not seen" not in plain(door(body, 1))
    assert "Their state was not seen" in plain(body.split('id="others"')[1])
    short = front(changed(others_at_risk="no", others_at_risk_why="It is the only one of its kind."))
    assert 'id="others"' not in short and "It is the only one of its kind." in plain(door(short, 1))


def test_levels_and_what_carries_it_stand_in_the_doors() -> None:
    body = front(frozen())
    made = frozen().core.case.conclusion
    assert made is not None
    said = f"How it happened: {made.mechanism.level}. Why it came to be so: {made.reason.level}."
    assert said in plain(door(body, 1))
    for anchor in ("carries", "open"):
        assert (f'href="#{anchor}"' in door(body, 2)) == (f'id="{anchor}"' in body)


def test_every_way_out_of_a_door_leads_somewhere() -> None:
    pages = {page.uri: page.body for page in case_pages(frozen(), {}, Options())}
    body = pages["case/base/index.md"]
    targets = re.findall(r'href="([^"]+)"', body.split('class="af-who"')[1].split("</section>")[0])
    assert len(targets) > 5
    for target in targets:
        page, _, anchor = target.partition("#")
        there = pages[f"case/base/{page.strip('/') or 'index'}.md"]
        assert not anchor or f'id="{anchor}"' in there, target


def with_sheets(count: int) -> Dossier:
    """The frozen case with as many sheets as found, the last read earliest, and nothing else of its own."""
    made = frozen()
    name, sheet = next(iter(made.core.case.sheets.items()))
    earlier = sorted((one.from_ for one in made.core.case.sheets.values()), key=lambda one: one.at)[0]
    sheets = {f"{name}-{n}": sheet.model_copy(update={"as_found_settings": True}) for n in range(1, count + 1)}
    sheets[f"{name}-{count}"] = sheets[f"{name}-{count}"].model_copy(update={"from_": earlier})
    return replace(made, core=replace(made.core, case=replace(made.core.case, sheets=sheets)))


def test_a_door_has_room_for_three_sheets_and_counts_the_others() -> None:
    said = plain(door(front(with_sheets(8)), 3))
    assert "Tested at the settings found" in said and " and 5 more." in said
    assert " more." not in plain(door(front(with_sheets(3)), 3)).partition("at the settings found")[2]


def fitted(*sheets: tuple[str, ...], used: tuple[str, ...] = ("I-2", "I-3")) -> str:
    """What the third door says of sheets with these accessories, where these were in use beside the device."""
    made = with_sheets(len(sheets))
    case = made.core.case
    part = case.items["I-1"].model_copy(update={"in_use_at_event": True, "impounded": True})
    items = {"I-1": part} | {
        ref: part.model_copy(update={"role": ItemRole.ACCESSORY, "what": f"part {ref[2:]}"}) for ref in used
    }
    items["I-90"] = part.model_copy(update={"role": ItemRole.POWER_CORD})
    items["I-91"] = part.model_copy(update={"role": ItemRole.ACCESSORY, "in_use_at_event": False})
    names = zip(case.sheets.items(), sheets, strict=True)
    told = {name: one.model_copy(update={"item": "I-1", "accessories": parts}) for (name, one), parts in names}
    case = replace(case, items=case.items | items, sheets=told)
    case = replace(case, items={ref: one for ref, one in case.items.items() if ref in items})
    return plain(door(front(replace(made, core=replace(made.core, case=case))), 3)).partition("Tested at")[2]


def test_the_first_page_says_of_no_accessory_that_it_was_tested_where_no_sheet_names_it() -> None:
    assert fitted(("I-2", "I-3"), ("I-3", "I-2")).startswith(
        " the settings found, with every accessory that was in use: "
    )
    said = fitted(("I-2",), ("I-2",))
    assert said.startswith(" the settings found: ") and "In use, and fitted for none of these: I-3 (part 3)." in said
    said = fitted(("I-2",), ("I-3",))
    assert (
        said.startswith(" the settings found: ")
        and "Not every one had all accessories fitted that were in use." in said
    )
    assert "accessor" not in fitted((), used=())
    said = fitted((), used=("I-2", "I-3", "I-4", "I-5"))
    assert "none of these: I-2 (part 2), I-3 (part 3), I-4 (part 4) and 1 more." in said


def reminded(*problems: Problem) -> str:
    """What the first door says of reports of the facility, where none is reckoned to wait and these reminders stand."""
    line = DutyLine(
        kind="a-report", title="A report", owed_by="the facility", ours=True, asks_decision=False,
        standing=Standing.NOT_ASKED, decided_by="", word="", within="10 days", counting="days", started_by="",
        start=None, due=None, due_at=None, counted=(), left=None, near=False, sendings=(), alternatives=(),
        records=(), declined=False, source="a document", status=SourceStatus.FROM_MEMORY,
    )  # fmt: skip
    return plain(door(front(replace(frozen(), duties=Duties(lines=(line,), problems=problems))), 1))


def test_that_nothing_waits_is_no_all_clear_while_it_is_not_settled_what_is_owed() -> None:
    clock = Problem("duty-clock-not-set", Level.NEEDED, Span("cases/x/duties.yml", 1), "found", "needed")
    assert "No report of the facility is waiting to be sent." in reminded()
    said = reminded(clock)
    assert "No report of the facility" not in said
    assert "Whether a report of the facility is owed is not settled: one reminder about reporting." in said


def test_a_gate_that_contradicts_itself_breaks_the_order_on_the_second_door() -> None:
    made = frozen()
    assert "passed in order" in plain(door(front(made), 2))
    gate = next(iter(made.core.case.gates.gates))
    for rule, subject in (("gate-before-its-ground", gate), ("impossible-time", gate)):
        one = Problem(rule, Level.REJECT, Span("cases/x/gates.yml", 1), "found", "needed", subject=subject)
        broken = replace(made, core=replace(made.core, problems=(*made.core.problems, one)))
        assert "the order of work was broken" in plain(door(front(broken), 2))
    elsewhere = Problem("impossible-time", Level.REJECT, Span("cases/x/items.yml", 1), "found", "needed", subject="I-1")
    other = replace(made, core=replace(made.core, problems=(*made.core.problems, elsewhere)))
    assert "passed in order" in plain(door(front(other), 2))


def test_the_order_of_work_speaks_of_tests_and_what_a_store_kept_on_charge_is_said_beside_it() -> None:
    """A thing on charge has power, which a sentence that nothing had would deny (common practice, no source)."""
    stores = (
        Storage(place="evidence store", charging="the pump, so that its record is kept"),
        Storage(place="cabinet", charging="the pump, so that its record is kept."),
        Storage(place="safe", charging="Nothing; no item holds a battery"),
    )
    said = plain(door(front(changed(storage=stores)), 2))
    assert "passed in order; no test energised a thing before it was inspected." in said
    assert said.count("On charge in store: the pump, so that its record is kept.") == said.count("is kept.") == 1
    assert "nothing was energised" not in said and "no item holds a battery" not in said
    assert "On charge" not in plain(door(front(changed(storage=stores[2:])), 2))


def test_what_the_examiner_declares_is_told_as_declared_and_what_the_records_show_beside_it() -> None:
    """A declaration is the examiner's word and no fact of ours (ISO/IEC 17025:2017, 4.1, impartiality; from memory)."""
    made = frozen()
    declared = made.core.case.head.declaration
    assert declared is not None and not declared.ties
    told = "The examiner declares that they neither maintained, set up, used, bought nor sold this equipment"
    assert f"{told}, nor supervise whoever used it." in plain(door(front(made), 2))
    # What somebody else declares is no declaration of the examiner.
    for none in (None, declared.model_copy(update={"by": "reviewer"})):
        assert "The examiner has declared no interest" in plain(door(front(changed(declaration=none)), 2))
    one = changed(declaration=declared.model_copy(update={"set_up": True}))
    assert "The examiner declares a tie: set up." in plain(door(front(one), 2))
    # A statement of the examiner's own as a witness of the event is a tie that nobody declared.
    statement = next(iter(made.core.case.statements.values())) if made.core.case.statements else None
    assert statement is not None
    case = replace(
        made.core.case, statements={"W-9": statement.model_copy(update={"by": made.core.case.head.examiner})}
    )
    shown = plain(door(front(replace(made, core=replace(made.core, case=case))), 2))
    assert told in shown
    assert "W-9 shows what is not declared: the examiner gave a statement as a witness of the event." in shown
