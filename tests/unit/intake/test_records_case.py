"""A case folder as a whole: what is read, what is left out, what is told, and where everything stands."""

# ruff: noqa: E501 (rows of tables are as long as they are)

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from asfound.intake import BenchReading, CaseReading, file_fact, read_bench, read_case
from asfound.model.layout import KEYED, SINGLE, TABLES
from asfound.problems import Level
from tests.unit.intake.places import rows
from tests.unit.intake.sample import CASE, FOLDER, write


def reading(root: Path, change: dict[str, str | bytes | None] | None = None) -> CaseReading:
    folder = write(root, change)
    return read_case(root, folder, read_bench(root))


def told(read: CaseReading) -> list[tuple[str, str, int, int]]:
    """Rule, file below the case, line, column."""
    short = rows(read.problems)
    paths = [problem.span.path.removeprefix(f"{FOLDER}/") for problem in read.problems]
    return [(rule, path, line, column) for (rule, line, column), path in zip(short, paths, strict=True)]


def edit(name: str, old: str, new: str) -> dict[str, str | bytes | None]:
    assert CASE[name].count(old) == 1, (name, old)
    return {name: CASE[name].replace(old, new)}


def test_the_sample_has_every_file_a_case_may_have() -> None:
    assert {*SINGLE, *KEYED, *TABLES} <= set(CASE)


def test_a_sound_case_is_read_whole_and_without_a_word(tmp_path: Path) -> None:
    read = reading(tmp_path)
    assert read.problems == ()
    case = read.case
    assert case is not None and case.broken == ()
    assert case.folder == FOLDER and case.id == "try-1"
    assert case.gates.gates["G-1"].items == ("I-1",) and case.gates.steps["B-1"].what == "cover opened"
    assert [line.id for line in case.custody] == ["C-1", "C-2"] and case.custody[1].items == ("I-1", "I-2")
    assert case.custody[1].to_place == "store, room 4" and case.custody[1].received_by == "store"
    assert [row.seen.value for row in case.inspection] == ["found", "could not look"]
    assert case.timeline[0].source == ("W-1",)
    assert set(case.files) == set(CASE)
    # FIPS 180-4 digest of "hello\n", as any sha256sum gives it.
    assert case.files["evidence/front.txt"].sha256.startswith("5891b5b522d5df08")
    assert len(case.records) == 32


def test_every_record_and_field_has_its_place(tmp_path: Path) -> None:
    read = reading(tmp_path)
    assert read.case is not None
    assert set(read.case.records) <= set(read.places.all())

    def at(ref: str, *path: str | int) -> str:
        return str(read.places.of(ref, *path)).removeprefix(f"{FOLDER}/")

    assert at("I-2") == "items.yml:17:1"
    assert at("I-2", "lot") == "items.yml:26:8"
    assert at("I-2", "serial") == "items.yml:17:1"
    assert at("I-1", "stated", 0, "value") == "items.yml:15:14"
    assert at("B-1", "tier") == "gates.yml:12:11"
    assert at("P-output-power--swap", "why") == "plan.yml:18:10"
    assert at("A-1", "value") == "scene.yml:7:12"
    assert at("R-output-2b") == "readings/output.csv:4"
    assert at("C-2") == "custody.csv:3"
    assert at("M-1", "serial") == ".asfound/instruments.yml:3:11"
    assert read.places.of("I-7") is None
    assert str(read.places.at(f"{FOLDER}/case.yml", "event", "where")) == f"{FOLDER}/case.yml:13:10"


# file, old, new → what is told, and what is kept as broken
ONE_SLIP = [
    ("items.yml", "role: consumable", "role: consumables", ("word-unknown", "items.yml", 19, 9), "I-2"),
    ("items.yml", "I-2:", "i-2:", ("id-malformed", "items.yml", 17, 1), None),
    ("items.yml", "I-2:", "E-2:", ("id-letter-wrong", "items.yml", 17, 1), "E-2"),
    ("gates.yml", "  G-1:", "  B-2:", ("id-letter-wrong", "gates.yml", 2, 3), "B-2"),
    ("gates.yml", "  G-1:", "  one:", ("id-malformed", "gates.yml", 2, 3), "one"),
    ("gates.yml", "outcome: minor damage", "outcome: [x]", ("shape-wrong", "gates.yml", 7, 14), None),
    ("gates.yml", "by: examiner\n    outcome", "by: Mr X\n    outcome", ("word-malformed", "gates.yml", 6, 9), "G-1"),
    ("scene.yml", "control: power, cut", "contrl: x", ("field-unknown", "scene.yml", 6, 5), None),
    ("plan.yml", "not_done: no second", "not_done: [no second]\n    why: again #", ("yaml-duplicate-key", "plan.yml", 20, 5), None),
    ("plan.yml", "written_at: 2026-03-10 10:20 -05:00", "written_at: 10:20", ("time-unreadable", "plan.yml", 1, 13), "P-output-power"),
    ("sheets.yml", "to: 2026-03-10 13:40 -05:00", "to: 13:40", ("time-unreadable", "sheets.yml", 9, 7), "S-output"),
    ("evidence.yml", "view: overall", "view: far", ("word-unknown", "evidence.yml", 10, 9), "E-front"),
    ("case.yml", "severity: minor", "severity: bad", ("word-unknown", "case.yml", 18, 11), None),
    ("case.yml", "  reviewer:\n    title: reviewer", "  reviewer:\n    titel: reviewer", ("field-unknown", "case.yml", 26, 5), "reviewer"),
    ("injury.yml", "seen_by: circulating-assistant", "seen_by: A. Nurse", ("word-malformed", "injury.yml", 2, 10), "injury.yml"),
    ("clocks.yml", "offset: -6 min 20 s", "offset: -6:20", ("duration-unreadable", "clocks.yml", 7, 15), "K-1"),
    # Tables
    ("custody.csv", "2,I-1 I-2,stored", "2,\"I-1, I-2\",stored", ("id-malformed", "custody.csv", 3, 3), "C-2"),
    ("custody.csv", "2,I-1 I-2,stored", "2,,stored", ("value-blank", "custody.csv", 3, 3), "C-2"),
    ("custody.csv", "2,I-1 I-2,stored", "1,I-1 I-2,stored", ("duplicate-id", "custody.csv", 3, 1), None),
    ("custody.csv", "2,I-1 I-2,stored", ",I-1 I-2,stored", ("value-blank", "custody.csv", 3, 1), None),
    ("custody.csv", "2,I-1 I-2,stored", "No 2,I-1 I-2,stored", ("id-malformed", "custody.csv", 3, 1), None),
    ("custody.csv", "I-1 I-2,stored", "I-1 I-2,keep", ("word-unknown", "custody.csv", 3, 11), "C-2"),
    ("custody.csv", "2026-03-10 09:30 -05:00", "2026-03-10 09:30", ("time-without-zone", "custody.csv", 2, 18), "C-1"),
    ("custody.csv", ",examiner,store,van", ",examiner,The store,van", ("word-malformed", "custody.csv", 3, 75), "C-2"),
    ("custody.csv", ",seal_before,", ",seal before,", ("column-unknown", "custody.csv", 1, 93), None),
    ("custody.csv", ",kind,", ",sort,", ("column-missing", "custody.csv", 1, 0), "C-1"),
    ("inspection.csv", "could not look", "not looked", ("word-unknown", "inspection.csv", 3, 15), "V-2"),
    ("inspection.csv", "E-front,not known", "E-front,maybe", ("word-unknown", "inspection.csv", 2, 63), "V-1"),
    ("inspection.csv", "1,I-1,cord", "1,I-1 I-2,cord", ("id-malformed", "inspection.csv", 2, 3), "V-1"),
    ("inspection.csv", "1,I-1,cord", "1,I-1,Cord", ("word-malformed", "inspection.csv", 2, 7), "V-1"),
    ("timeline.csv", "5 min", "5:00", ("duration-unreadable", "timeline.csv", 2, 31), "T-1"),
    ("timeline.csv", "2026-03-09 15:12 -05:00", "", ("value-blank", "timeline.csv", 2, 7), "T-1"),
    # Readings
    ("readings/output.csv", "2,cut,90,92.4", "2,cut,90,\"92,4\"", ("value-unreadable", "readings/output.csv", 3, 13), "R-output-2"),
    ("readings/output.csv", "2,cut,90,92.4", "2,cut,90,about", ("value-unreadable", "readings/output.csv", 3, 10), "R-output-2"),
    ("readings/output.csv", "2,cut,90,92.4", "1,cut,90,92.4", ("duplicate-id", "readings/output.csv", 3, 1), None),
    ("readings/output.csv", "2,cut,90,92.4", " 2,cut,90,92.4", ("id-malformed", "readings/output.csv", 3, 1), None),
    ("readings/output.csv", "2,cut,90,92.4", ",cut,90,92.4", ("value-blank", "readings/output.csv", 3, 1), None),
    ("readings/output.csv", "2026-03-10 13:06 -05:00", "13:06", ("time-unreadable", "readings/output.csv", 3, 15), "R-output-2"),
    ("readings/output.csv", ",,,2\n", ",,,Row 2\n", ("id-malformed", "readings/output.csv", 4, 42), "R-output-2b"),
    ("readings/output.csv", "value [W]", "reading [W]", ("column-missing", "readings/output.csv", 1, 0), "R-output-1"),
    ("readings/output.csv", ",note,", ",unit,", ("unit-twice", "readings/output.csv", 1, 35), "R-output-1"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "old", "new", "what", "broken"), ONE_SLIP)
def test_one_slip_is_told_once_and_hides_nothing(
    tmp_path: Path, name: str, old: str, new: str, what: tuple[str, str, int, int], broken: str | None
) -> None:
    read = reading(tmp_path, edit(name, old, new))
    assert what in told(read)
    # Every problem is in the file that was changed, except that its readings may have lost their sheet.
    assert {path for _, path, _, _ in told(read)} == {name}
    assert read.case is not None
    if broken is not None:
        assert broken in read.case.broken and read.case.exists(broken)
    else:
        assert not [ref for ref in read.case.broken if ref.startswith(("C-", "V-", "T-", "R-", "S-"))]


def test_a_duplicate_names_both_places(tmp_path: Path) -> None:
    read = reading(tmp_path, edit("custody.csv", "2,I-1 I-2,stored", "1,I-1 I-2,stored"))
    (problem,) = read.problems
    assert [str(span) for span in problem.related] == [f"{FOLDER}/custody.csv:2"]
    assert problem.subject == "C-1"


def test_one_id_from_two_files_of_readings_is_told(tmp_path: Path) -> None:
    sheets = CASE["sheets.yml"] + CASE["sheets.yml"].replace("S-output:", "S-output-2:")
    other = "row,value [W]\nb,1\n"
    first = CASE["readings/output.csv"].replace("3,blend", "2-b,blend")
    read = reading(tmp_path, {"sheets.yml": sheets, "readings/output-2.csv": other, "readings/output.csv": first})
    assert told(read) == [("duplicate-id", "readings/output.csv", 5, 0)]
    assert "output-2.csv:2" in read.problems[0].found


@pytest.mark.parametrize(
    ("text", "rules"),
    [
        (None, {"file-missing", "case-unreadable"}),
        ("", {"shape-wrong", "case-unreadable"}),
        ("- a\n", {"shape-wrong", "case-unreadable"}),
        ("case: [\n", {"yaml-syntax", "case-unreadable"}),
        (CASE["case.yml"].replace("harmed: patient", "harmed: nobody"), {"word-unknown", "case-unreadable"}),
        (CASE["case.yml"].replace("case: try-1", "cas: try-1"), {"field-unknown", "field-missing", "case-unreadable"}),
    ],
)
def test_without_its_head_no_case_but_every_other_file_is_still_told(
    tmp_path: Path, text: str | None, rules: set[str]
) -> None:
    change = edit("items.yml", "role: consumable", "role: consumables")
    read = reading(tmp_path, {**change, "case.yml": text})
    assert read.case is None
    here = [row for row in told(read) if row[1] == "case.yml"]
    assert {row[0] for row in here} == rules
    assert ("word-unknown", "items.yml", 19, 9) in told(read)
    assert sum(row[0] == "case-unreadable" for row in told(read)) == 1
    (last,) = [problem for problem in read.problems if problem.rule == "case-unreadable"]
    assert last.level is Level.REJECT


def test_a_folder_that_is_not_there_is_told_and_nothing_else(tmp_path: Path) -> None:
    read = read_case(tmp_path, tmp_path / "cases" / "none", BenchReading())
    assert read.case is None
    assert [problem.rule for problem in read.problems] == ["case-folder-missing", "case-unreadable"]


def test_a_broken_file_hides_no_other(tmp_path: Path) -> None:
    bad = b"\xff\xfe\x00a: [\n\t&x *y !!z"
    names = [name for name in CASE if name.endswith((".yml", ".csv"))]
    read = reading(tmp_path, {name: bad for name in names if name != "case.yml"})
    assert read.case is not None
    assert {path for _, path, _, _ in told(read)} == set(names) - {"case.yml"}
    assert set(names) - {"case.yml"} <= set(read.case.broken)


def test_a_list_where_records_are_needed(tmp_path: Path) -> None:
    read = reading(tmp_path, {"room.yml": "- what: socket\n", "service.yml": "none\n", "notices.yml": "# later\n"})
    assert told(read) == [("shape-wrong", "room.yml", 1, 1), ("shape-wrong", "service.yml", 1, 1)]
    assert "U-1" in read.problems[0].mend


def test_files_that_do_not_belong_are_told_and_those_that_do_are_not(tmp_path: Path) -> None:
    read = reading(
        tmp_path,
        {
            "README.md": "# A try\n",
            "editions/1/edition.json": "{}",
            "approvals/a.yml": "a: b\n",
            "evidence/more/b.csv": "a;b\n",
            "notes.txt": "x\n",
            "item.yml": "x\n",
            "readings/Bad Name.csv": "row,value\n1,2\n",
            "readings/spare.csv": "row,value\n1,2\n",
        },
    )
    assert told(read) == [
        ("file-unexpected", "item.yml", 0, 0),
        ("file-unexpected", "notes.txt", 0, 0),
        ("file-unexpected", "readings/Bad Name.csv", 0, 0),
        ("sheet-missing", "readings/spare.csv", 0, 0),
    ]
    assert all(problem.level is Level.WARN for problem in read.problems[:3])
    assert read.case is not None and "evidence/more/b.csv" in read.case.files
    assert not [path for path in read.case.files if path.startswith(("editions/", "approvals/"))]


def test_a_misnamed_file_is_told_which_name_was_meant(tmp_path: Path) -> None:
    read = reading(tmp_path, {"room.yml": None, "room.yaml": CASE["room.yml"]})
    (problem,) = read.problems
    assert (problem.rule, problem.needed) == ("file-unexpected", "the name “room.yml” is perhaps meant")


def test_a_sheet_that_could_not_be_read_is_not_called_missing(tmp_path: Path) -> None:
    read = reading(tmp_path, edit("sheets.yml", "  by: examiner", "  by: E X"))
    assert [row[0] for row in told(read)] == ["word-malformed"]
    assert read.case is not None and set(read.case.readings) == {"S-output"}


def test_a_link_among_the_evidence_is_refused_and_known_to_stand_there(tmp_path: Path) -> None:
    folder = write(tmp_path, {"evidence/front.txt": None})
    (folder / "evidence").mkdir()
    (folder / "evidence" / "front.txt").symlink_to(folder / "case.yml")
    read = read_case(tmp_path, folder, BenchReading())
    assert [row[0] for row in told(read)] == ["file-link"]
    assert read.case is not None and read.case.exists("evidence/front.txt")


def test_line_ends_of_what_was_typed_change_no_digest_but_those_of_evidence_do(tmp_path: Path) -> None:
    plain = reading(tmp_path / "a").case
    typed = {name: text.replace("\n", "\r\n") for name, text in CASE.items() if not name.startswith("evidence/")}
    paired = reading(tmp_path / "b", {**typed}).case
    changed = reading(tmp_path / "c", {"evidence/front.txt": "hello\r\n"}).case
    assert plain is not None and paired is not None and changed is not None
    assert plain == paired
    fact = changed.files["evidence/front.txt"]
    assert fact.sha256 != plain.files["evidence/front.txt"].sha256
    assert fact.other_line_ends == (plain.files["evidence/front.txt"].sha256,)


@pytest.mark.parametrize("data", [b"", b"a\r\nb\n\r\r\n\r", b"\xff\xd8\xff\xe0\r\n", b"x" * 1_048_575 + b"\r\ny\n"])
def test_the_facts_of_a_file(tmp_path: Path, data: bytes) -> None:
    place = tmp_path / "f"
    place.write_bytes(data)
    fact = file_fact(place, "evidence/f")
    assert (fact.size, fact.sha256) == (len(data), hashlib.sha256(data).hexdigest())
    lf = data.replace(b"\r\n", b"\n")
    others = {hashlib.sha256(one).hexdigest() for one in (lf, lf.replace(b"\n", b"\r\n"))} - {fact.sha256}
    assert set(fact.other_line_ends) == (others if fact.media.startswith("text/") else set())


def test_a_bench_that_is_not_there_is_no_problem(tmp_path: Path) -> None:
    assert read_bench(tmp_path) == BenchReading()


def test_a_bench_with_slips(tmp_path: Path) -> None:
    write(
        tmp_path,
        {
            ".asfound/instruments.yml": "M-1: {what: a, serial: b, functions: {}}\nI-1: {}\nM 2: {}\nM-3: {what: c}\n",
            ".asfound/settings.yml": "organisation: A\nlow_range_share: much\nnear: 3\n",
            ".asfound/limits/own.yml": "set: own\n",
            ".asfound/protocols/own.yml": "- a\n",
            ".asfound/allowed_signers": "x",
        },
    )
    read = read_bench(tmp_path)
    assert set(read.instruments) == {"M-1"} and set(read.refs) == {"M-1", "M-3"}
    assert read.settings.organisation == "A" and str(read.settings.low_range_share) == "0.10"
    assert read.limit_sets == {} and read.protocols == {}
    short = {(problem.span.path.removeprefix(".asfound/"), problem.rule) for problem in read.problems}
    assert short == {
        ("instruments.yml", "id-letter-wrong"),
        ("instruments.yml", "id-malformed"),
        ("instruments.yml", "field-missing"),
        ("settings.yml", "value-not-a-number"),
        ("settings.yml", "field-unknown"),
        ("limits/own.yml", "field-missing"),
        ("protocols/own.yml", "shape-wrong"),
    }
    assert str(read.at(".asfound/settings.yml", "low_range_share")) == ".asfound/settings.yml:2:18"


@pytest.mark.parametrize(
    ("was", "now", "needed"),
    [
        ("percent: 3", "percent: -3", "a number not below 0 is needed"),
        ("plus: 1 W", "plus: -1 W", "a number not below 0 is needed"),
        ("plus: 1 W", "digits: -2", "a number not below 0 is needed"),
        ("resolution: 0.1 W", "resolution: -0.1 W", "a number not below 0 is needed"),
        ("certificate_doubt: 1.5 W", "certificate_doubt: -1.5 W", "a number not below 0 is needed"),
        ("certificate_doubt: 1.5 W", "certificate_k: 0", "a number above 0 is needed"),
        ("certificate_doubt: 1.5 W", "certificate_k: -2", "a number above 0 is needed"),
        ("certificate_doubt: 1.5 W", "certificate_dof: 0.5", "a number of degrees of freedom, 1 or more, is needed"),
    ],
)
def test_what_makes_up_a_doubt_has_no_sign(tmp_path: Path, was: str, now: str, needed: str) -> None:
    """JCGM 100:2008, 2.2.3 note 3 and 2.3.6: a doubt is a width, a coverage factor a multiplier; neither is below 0."""
    from tests.unit.intake.sample import BENCH

    text = BENCH["instruments.yml"]
    assert text.count(was) == 1
    write(tmp_path, {".asfound/instruments.yml": text.replace(was, now)})
    [slip] = read_bench(tmp_path).problems
    line = next(n for n, one in enumerate(text.replace(was, now).splitlines(), start=1) if now in one)
    assert (slip.rule, slip.span.line, slip.needed) == ("value-not-a-number", line, needed)
    assert slip.span.column == text.replace(was, now).splitlines()[line - 1].index(now) + len(now.split()[0]) + 2
    assert slip.found == f'found "{now.partition(": ")[2]}"'


def test_a_limit_set_with_a_limit_that_cannot_be_read_is_not_used(tmp_path: Path) -> None:
    from tests.unit.intake.sample import BENCH

    text = BENCH["limits/own.yml"].replace("    sense: within", "    sense: about")
    write(tmp_path, {".asfound/limits/own.yml": text})
    read = read_bench(tmp_path)
    assert read.limit_sets == {}
    assert rows(read.problems) == [("word-unknown", 11, 12)]


scalars = st.one_of(
    st.none(),
    st.sampled_from(["yes", "no", "I-1", "E-front", "2026-03-09 15:12 Z", "9999-12-31 23:59 -14:00", "90 W", "1e30", "main device"]),
    st.text(max_size=12),
)  # fmt: skip
NAMES = [
    "what",
    "role",
    "items",
    "kind",
    "bound",
    "among",
    "terms",
    "serial",
    "not_known",
    "text",
    "reason",
    "I-1",
    "G-1",
]
trees = st.recursive(
    scalars,
    lambda below: st.one_of(
        st.lists(below, max_size=3),
        st.dictionaries(st.one_of(st.sampled_from(NAMES), st.text(min_size=1, max_size=6)), below, max_size=4),
    ),
    max_leaves=12,
)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(name=st.sampled_from(sorted(CASE)), data=st.data())
def test_no_content_of_any_file_raises(tmp_path: Path, name: str, data: st.DataObject) -> None:
    import yaml

    if name.endswith(".yml"):
        text = yaml.safe_dump(data.draw(trees), allow_unicode=True)
        lines = CASE[name].splitlines(keepends=True)
        cut = data.draw(st.integers(0, len(lines)))
        content = data.draw(st.sampled_from([text, "".join(lines[:cut]) + text, "".join(lines[cut:])]))
    else:
        cells = data.draw(st.lists(st.lists(scalars.map(lambda cell: cell or ""), max_size=18), max_size=4))
        content = CASE[name].splitlines(keepends=True)[0] + "".join(",".join(row) + "\n" for row in cells)
    read = reading(tmp_path, {name: content.encode("utf-8", "replace")})
    rows(read.problems)
    if read.case is not None:
        known = read.places.all()
        assert set(read.case.records) <= set(known)
        # Rules pass by what rests on something broken, so whatever is broken has to be refused by itself.
        assert not read.case.broken or any(one.level is Level.REJECT for one in read.problems)
