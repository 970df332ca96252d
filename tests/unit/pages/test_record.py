"""The whole record: its parts and their order, and the list of everything considered."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from itertools import pairwise

from asfound.account import Considered, Matter, considered
from asfound.model.base import NotKnown
from asfound.model.dossier import Dossier
from asfound.pages import Options, case_pages, standalone

from .frozen import frozen, pictures

ORDER = (
    "summary", "identity", "ground", "independence", "reported", "items", "scene", "inspection", "work", "bench",
    "measurements", "timeline", "findings", "explanations", "opinion", "without", "next", "annex", "evidence",
    "problems", "kept", "words", "close",
)  # fmt: skip
"""The order of the contents of an expert's report on an incident (common practice, no source); what ISO/IEC 17025:2017,
7.8.2.1 asks of its head stands in *identity* (confirmed)."""


def record(dossier: Dossier) -> str:
    pages = {page.uri: page.body for page in case_pages(dossier, {}, Options())}
    return pages["case/base/record.md"]


def plain(body: str) -> str:
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", body)))


def listed(dossier: Dossier, evidence: tuple[str, ...] = ()) -> dict[str, Considered]:
    core = dossier.core
    sets = [f"{one.document}, {one.edition}" for one in core.sets.values()]
    found = considered(core.case, core.instruments, sets, core.verdicts, core.results)
    assert {one.ref for one in found if one.matter is Matter.FILE} == set(core.case.evidence)
    return {one.ref or one.what: one for one in found}


def test_the_parts_stand_in_the_order_of_a_report_and_are_numbered() -> None:
    for body in (record(frozen()), standalone(frozen(), pictures())):
        found = re.findall(r'<h2 id="([a-z]+)"><span class="af-number">(\d+)</span>', body)
        assert [anchor for anchor, _ in found] == list(ORDER)
        assert [int(number) for _, number in found] == list(range(1, len(ORDER) + 1))
        contents = re.findall(r'<li><a href="#([a-z]+)">', body.split("</nav>")[-2])
        assert contents == list(ORDER)


def test_a_part_that_would_be_empty_is_not_there() -> None:
    made = frozen()
    bare = replace(made, core=replace(made.core, case=replace(made.core.case, conclusion=None)))
    assert {"opinion", "next"}.isdisjoint(re.findall(r'<h2 id="([a-z]+)"><span', record(bare)))


def test_ids_are_unique_and_headings_leave_no_level_out() -> None:
    body = standalone(frozen(), pictures())
    ids = re.findall(r' id="([^"]+)"', body)
    assert sorted(ids) == sorted(set(ids))
    levels = [int(one) for one in re.findall(r"<h([1-6])[ >]", body)]
    steps = [(before, after) for before, after in pairwise(levels) if after > before + 1]
    assert steps == []


def test_everything_considered_is_listed_used_or_not() -> None:
    """Federal Rules of Civil Procedure 26(a)(2)(B)(ii), facts or data considered (from memory)."""
    found = listed(frozen())
    assert found["M-1"].relied == ("F-3",) and found["M-1"].used  # F-3 rests on what the safety tester read
    unused = [one for one in found.values() if not one.used]
    assert all(one.relied == () for one in unused)
    said = plain(record(frozen()))
    assert "Everything considered, used or not" in said
    for ref in frozen().core.case.evidence:
        assert re.search(rf">{ref}</a>", record(frozen()).split('id="considered"')[1]), ref


def test_a_file_that_nothing_cites_is_listed_as_looked_at() -> None:
    made = frozen()
    case = made.core.case
    lone = case.evidence["E-1"].model_copy(update={"note": "Taken of the wrong pump."})
    with_it = replace(case, evidence={**case.evidence, "E-77": lone})
    changed = replace(made, core=replace(made.core, case=with_it))
    one = listed(changed)["E-77"]
    assert not one.used and one.cited_by == ()
    assert "looked at; nothing relies on it: Taken of the wrong pump." in plain(record(changed))


def test_what_a_finding_cites_is_relied_on_and_what_only_a_gate_cites_is_not() -> None:
    made = frozen()
    case = made.core.case
    file = case.evidence["E-1"]
    (first, *_) = case.findings
    finding = case.findings[first].model_copy(update={"rests_on": (*case.findings[first].rests_on, "E-77")})
    (gate, *_) = case.gates.gates
    gates = case.gates.model_copy(
        update={"gates": {**case.gates.gates, gate: case.gates.gates[gate].model_copy(update={"rests_on": ("E-78",)})}}
    )
    changed = replace(
        case, evidence={**case.evidence, "E-77": file, "E-78": file}, findings={**case.findings, first: finding},
        gates=gates,
    )  # fmt: skip
    found = listed(replace(made, core=replace(made.core, case=changed)))
    assert found["E-77"].relied[0] == first and found["E-77"].used
    assert not found["E-78"].used and found["E-78"].cited_by == (gate,)


def test_what_only_a_duty_cites_names_no_duty() -> None:
    made = frozen()
    assert not any(ref.startswith("D-") for one in listed(made).values() for ref in (*one.relied, *one.cited_by))


def test_the_signatory_and_what_qualifies_them_stand_at_the_end() -> None:
    end = plain(standalone(frozen(), pictures()).split('id="signatories"')[1])
    assert "biomedical equipment technician, eleven years with infusion pumps" in end
    assert "Nothing follows. End." in end


def test_a_signatory_without_qualification_is_a_gap() -> None:
    made = frozen()
    case, head = made.core.case, made.core.case.head
    people = {name: one.model_copy(update={"qualification": None}) for name, one in head.people.items()}
    bare = replace(case, head=head.model_copy(update={"people": people}))
    end = record(replace(made, core=replace(made.core, case=bare))).split('id="signatories"')[1]
    assert end.count('<span class="af-gap">not on record</span>') >= 1


def test_where_every_item_is_and_how_long_it_stays() -> None:
    case = frozen().core.case
    kept = record(frozen()).split('id="kept"')[1].split("<h2")[0]
    assert kept.count('<tr><th scope="row">') == len(case.items)
    assert "sealed store" in kept or "examiner" in kept


def test_what_was_not_examined_is_said_with_its_reason() -> None:
    made = frozen()
    case = made.core.case
    first = case.items["I-1"].model_copy(
        update={"impounded": False, "why_not_impounded": NotKnown(not_accessible="it was thrown away")}
    )
    changed = replace(made, core=replace(made.core, case=replace(case, items={**case.items, "I-1": first})))
    ground = plain(record(changed).split('id="ground"')[1].split("<h2")[0])
    assert "not impounded" in ground and "it was thrown away" in ground
