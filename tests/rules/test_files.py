"""Rules about what files of evidence are: pictures, logs, identities, and what must not be in them."""

from __future__ import annotations

import hashlib
import io

import pytest
from PIL import ExifTags, Image

from asfound.problems import Level
from asfound.rules.evidence.close_without_scale import damage
from asfound.rules.evidence.identity_disagrees import Given, numbers
from tests.rules.support import BASE, CASE, Edit, assert_fires, assert_silent, run_with

EVIDENCE = BASE / CASE / "evidence"


def photograph(
    taken: str | None = None, offset: str | None = None, position: bool = False, description: str | None = None
) -> bytes:
    """A small JPEG with what a camera would write."""
    exif = Image.Exif()
    shot = exif.get_ifd(ExifTags.IFD.Exif)
    if taken is not None:
        shot[ExifTags.Base.DateTimeOriginal] = taken
    if offset is not None:
        shot[ExifTags.Base.OffsetTimeOriginal] = offset
    if position:
        exif.get_ifd(ExifTags.IFD.GPSInfo).update({1: "N", 2: (44.0, 58.0, 12.0), 3: "W", 4: (93.0, 15.0, 0.0)})
    if description is not None:
        exif[ExifTags.Base.ImageDescription] = description
    out = io.BytesIO()
    Image.new("RGB", (16, 16), (90, 90, 90)).save(out, "JPEG", exif=exif)
    return out.getvalue()


def in_place_of(name: str, data: bytes) -> tuple[list[Edit], dict[str, str | bytes]]:
    """The base case with another file of evidence, registered as it is."""
    old = hashlib.sha256((EVIDENCE / name).read_bytes()).hexdigest()
    return [("evidence.yml", old, hashlib.sha256(data).hexdigest())], {f"evidence/{name}": data}


# --- position


def test_a_position_in_a_picture_warns_while_the_case_stays_inside() -> None:
    edits, extra = in_place_of("bay.jpg", photograph(position=True))
    problem = assert_fires(
        "gps-in-picture", edits, extra=extra, at=("evidence.yml", "evidence/bay.jpg"), level=Level.WARN, column=9
    )
    assert problem.subject == "E-1" and "44" not in problem.headline()


@pytest.mark.parametrize("words", ["public", "released to the parties"])
def test_a_position_is_refused_in_a_case_that_leaves(words: str) -> None:
    edits, extra = in_place_of("bay.jpg", photograph(position=True))
    edits.append(("case.yml", "confidentiality: internal", f"confidentiality: {words}"))
    assert_fires("gps-in-picture", edits, extra=extra, at=("evidence.yml", "evidence/bay.jpg"))


def test_a_position_in_a_file_nobody_registered_is_seen_as_well() -> None:
    extra: dict[str, str | bytes] = {"evidence/more.jpg": photograph(position=True)}
    assert_fires("gps-in-picture", extra=extra, at=("evidence/more.jpg", None), level=Level.WARN)


def test_a_picture_with_a_time_alone_says_no_place() -> None:
    edits, extra = in_place_of("bay.jpg", photograph("2026:03:02 11:10:00", "-06:00"))
    assert_silent("gps-in-picture", edits, extra=extra)


# --- identifiers


def test_an_identifier_in_a_text_is_refused_and_not_repeated() -> None:
    edit = ("statements.yml", "The bag was empty", "The bag of MRN 44712290 was empty")
    problem = assert_fires("patient-identifier", [edit], at=("statements.yml", "44712290"), says="record number")
    assert "4471" not in f"{problem.headline()} {problem.mend}"


def test_an_identifier_in_a_row_is_refused() -> None:
    edit = ("custody.csv", "clean and whole", "clean and whole; call 612-555-0142")
    assert_fires("patient-identifier", [edit], at=("custody.csv", "0142"), says="a telephone number")


def test_an_identifier_where_a_reason_could_stand_is_refused() -> None:
    """A text that may be left away, or be a reason instead, is a text all the same."""
    edit = ("items.yml", 'serial: "118"', 'serial: "118"\n  condition_on_receipt: cleaned, MRN 44712290 on a sticker')
    assert_fires("patient-identifier", [edit], at=("items.yml", "MRN 44712290"), says="record number")


def test_an_identifier_in_the_name_of_a_file_is_refused() -> None:
    extra: dict[str, str | bytes] = {"evidence/dob-1961-04-02.txt": "a\n"}
    assert_fires("patient-identifier", extra=extra, at=("evidence/dob-1961-04-02.txt", None), says="a date of birth")
    edit = ("evidence.yml", "file: evidence/plan.txt", "file: evidence/MRN_44712290.txt")
    at = ("evidence.yml", "MRN_44712290")
    assert_fires("patient-identifier", [edit], extra={"evidence/MRN_44712290.txt": "a\n"}, at=at, column=9)


def test_an_identifier_in_the_metadata_of_a_picture_is_refused_and_not_repeated() -> None:
    edits, extra = in_place_of("bay.jpg", photograph(description="MRN 44712290, left forearm"))
    problem = assert_fires("patient-identifier", edits, extra=extra, at=("evidence.yml", "evidence/bay.jpg"))
    assert "4471" not in problem.headline() and "inside the picture" in problem.found


def test_serials_lots_and_device_identifiers_are_no_person_s() -> None:
    edits: list[Edit] = [
        ("items.yml", 'serial: "118"', 'serial: "612-555-0142"'),
        ("items.yml", "description: Pump with its label and door", "description: serial 612-555-0142, lot 078-05-1120"),
        ("statements.yml", "The bag was empty", "The bag, UDI (01)00812345678901(17)280331(10)A123, was empty"),
    ]
    edits_of_picture, extra = in_place_of("bay.jpg", photograph(description="serial 612-555-0142, 15:12 -05:00"))
    assert_silent("patient-identifier", [*edits, *edits_of_picture], extra=extra)


# --- faces


def test_an_overall_view_says_whether_a_face_is_in_it() -> None:
    edit = ("evidence.yml", "  faces: no\n", "")
    assert_fires("faces-undeclared", [edit], at=("evidence.yml", "E-1:"), level=Level.WARN)


def test_a_face_in_a_file_of_the_case_warns() -> None:
    edit = ("evidence.yml", "faces: no", "faces: yes")
    assert_fires("faces-undeclared", [edit], at=("evidence.yml", "faces: yes"), level=Level.WARN, says="bay.jpg")


def test_a_video_without_a_view_is_taken_for_a_whole_scene() -> None:
    edits = [("evidence.yml", "kind: photograph\n  shows: The display", "kind: video\n  shows: The display")]
    assert_silent("faces-undeclared", edits)
    edits.append(("evidence.yml", "  view: screen\n", ""))
    assert_fires("faces-undeclared", edits, at=("evidence.yml", "E-2:"), level=Level.WARN, says="this video")


# --- time


def test_a_picture_from_after_the_first_test_is_not_as_found() -> None:
    edit = ("evidence.yml", "taken_at: 2026-03-02 11:12 -06:00", "taken_at: 2026-03-05 13:05 -06:00")
    problem = assert_fires("picture-after-test", [edit], at=("evidence.yml", "taken_at: 2026-03-05 > as_found"))
    assert "S-earth began at 2026-03-05 13:00 -06:00" in problem.found and problem.related


def test_the_metadata_tells_on_a_time_that_was_typed() -> None:
    edits, extra = in_place_of("display.jpg", photograph("2026:03:05 20:05:00", "+00:00"))
    problems = [one for one in run_with(edits, extra) if one.rule == "picture-after-test"]
    assert [(one.level, one.span.line) for one in problems] == [(Level.WARN, 19), (Level.REJECT, 23)]
    assert "by its own metadata at 2026-03-05 20:05:00 +00:00" in problems[1].found


def test_the_error_of_the_clock_counts_and_its_doubt_is_in_favour() -> None:
    """The camera was 12 s behind, and what its doubt allows speaks for the picture.

    Known to 2 s, against a reference that may be 1 s off (a setting), two days and four hours before, at an allowance
    of 5 s a day (a setting): the root of 2² + 1² + 10.8² is 11.0 s. So 12:59:59 by it is 12:59:59.97 at least.
    """
    early = ("evidence.yml", "taken_at: 2026-03-02 11:12 -06:00", "taken_at: 2026-03-05 12:59:59 -06:00")
    assert_silent("picture-after-test", [early])
    late = ("evidence.yml", "taken_at: 2026-03-02 11:12 -06:00", "taken_at: 2026-03-05 13:00:00 -06:00")
    assert_fires("picture-after-test", [late], at=("evidence.yml", "13:00:00 > as_found"))


def test_a_picture_of_the_bench_that_is_not_offered_as_found_passes() -> None:
    late = ("evidence.yml", "taken_at: 2026-03-02 11:12 -06:00", "taken_at: 2026-03-05 15:00 -06:00")
    edits = [late, NOT_AS_FOUND[1]]
    assert_silent("picture-after-test", edits)


def test_a_camera_that_agrees_with_the_register_to_the_minute_is_silent() -> None:
    edits, extra = in_place_of("display.jpg", photograph("2026:03:02 11:12:40"))
    assert_silent("picture-after-test", edits, extra=extra)


# --- originals

EDITED = "  view: screen\n"


def test_an_edited_picture_without_its_original_is_refused() -> None:
    edit = ("evidence.yml", EDITED, f"{EDITED}  edits: brightened\n")
    assert_fires("edited-without-original", [edit], at=("evidence.yml", "edits:"), says="nothing leads to its original")


def test_a_picture_is_not_its_own_original() -> None:
    edit = ("evidence.yml", EDITED, f"{EDITED}  edits: brightened\n  derived_from: E-2\n")
    assert_fires("edited-without-original", [edit], at=("evidence.yml", "derived_from"), says="from itself")


def test_two_pictures_are_not_each_other_s_originals() -> None:
    edits = [
        ("evidence.yml", EDITED, f"{EDITED}  edits: brightened\n  derived_from: E-7\n"),
        ("evidence.yml", "  view: middle\n", "  view: middle\n  edits: cut\n  derived_from: E-2\n"),
    ]
    problems = [one for one in run_with(edits) if one.rule == "edited-without-original"]
    assert [one.subject for one in problems] == ["E-2", "E-7"]


def test_the_same_bytes_are_no_derivative() -> None:
    bay, display = ((EVIDENCE / name).read_bytes() for name in ("bay.jpg", "display.jpg"))
    edits = [
        ("evidence.yml", hashlib.sha256(display).hexdigest(), hashlib.sha256(bay).hexdigest()),
        ("evidence.yml", EDITED, f"{EDITED}  edits: brightened\n  derived_from: E-1\n"),
    ]
    at = ("evidence.yml", "derived_from")
    assert_fires("edited-without-original", edits, extra={"evidence/display.jpg": bay}, at=at, says="very bytes")


def test_what_was_done_is_said() -> None:
    edit = ("evidence.yml", EDITED, f"{EDITED}  derived_from: E-1\n")
    assert_fires("edited-without-original", [edit], at=("evidence.yml", "derived_from"), level=Level.WARN, says="done")


def test_an_edited_picture_with_its_original_passes() -> None:
    edit = ("evidence.yml", EDITED, f"{EDITED}  edits: cut to the display\n  derived_from: E-1\n")
    assert_silent("edited-without-original", [edit])
    assert_silent("edited-without-original", [("evidence.yml", EDITED, f"{EDITED}  edits: none\n")])


# --- logs

LOG = "kind: document\n  shows: The service record of the pump."


def test_a_log_says_how_it_was_exported_and_with_what() -> None:
    edit = ("evidence.yml", LOG, "kind: log\n  shows: The pump's log.")
    at = ("evidence.yml", "E-4:")
    assert_fires("log-provenance-missing", [edit], at=at, says="exported and with which software")
    edit = ("evidence.yml", LOG, "kind: log\n  shows: The pump's log.\n  exported_how: keys menu and send")
    assert_fires("log-provenance-missing", [edit], at=at, says="nothing says with which software")


def test_a_reason_why_the_software_is_not_known_is_an_answer() -> None:
    told = "  exported_how: keys menu and send\n  software: {not_recorded: the display was dark}"
    edit = ("evidence.yml", LOG, f"kind: log\n  shows: The pump's log.\n{told}")
    assert_silent("log-provenance-missing", [edit])


WITH_LOG: Edit = (
    "evidence.yml",
    LOG,
    "kind: log\n  shows: The pump's log.\n  taken_at: 2026-03-05 11:00 -06:00\n  exported_how: keys\n  software: '1'",
)


def test_a_change_of_power_before_the_log_asks_for_a_word() -> None:
    at = ("evidence.yml", "taken_at: 2026-03-05 11:00")
    says = "after the first change of power at 2026-03-02 11:40"
    assert_fires("power-cycled-before-log", [WITH_LOG], at=at, level=Level.WARN, says=says)


def test_a_sheet_that_energised_is_a_change_of_power_too() -> None:
    edits = [
        (WITH_LOG[0], WITH_LOG[1], WITH_LOG[2].replace("03-05 11:00", "03-06 11:00")),
        ("scene.yml", "first_power_change_at: 2026-03-02 11:40 -06:00\n", ""),
    ]
    at = ("evidence.yml", "taken_at: 2026-03-06 11:00")
    assert_fires("power-cycled-before-log", edits, at=at, level=Level.WARN, says="energised it")


@pytest.mark.parametrize("word", ["why: Nothing is erased by a start, as its handbook says.", "start_erases: no"])
def test_a_word_on_the_effect_is_enough(word: str) -> None:
    edit = ("scene.yml", "  decision: none held", f"  decision: none held\n  {word}")
    assert_silent("power-cycled-before-log", [WITH_LOG, edit])


def test_a_log_read_before_the_change_asks_for_nothing() -> None:
    gate = "  G-14: {gate: logs read, items: [I-1], at: 2026-03-02 11:30 -06:00, by: risk-manager}\n"
    assert_silent("power-cycled-before-log", [WITH_LOG, ("gates.yml", "  G-1:", f"{gate}  G-1:")])


# --- views, scale, cleaning


def test_a_main_device_wants_three_views() -> None:
    edit = ("evidence.yml", "  view: close\n", "")
    assert_fires("views-missing", [edit], at=("items.yml", "I-1:"), level=Level.WARN, says="the view close")


def test_files_that_nobody_registered_yet_may_be_just_these() -> None:
    assert_silent("views-missing", delete=["evidence.yml"])


def test_a_device_that_was_not_impounded_wants_none() -> None:
    edits = [
        ("evidence.yml", "  view: close\n", ""),
        ("items.yml", "role: main device\n  in_use_at_event: yes\n  impounded: yes",
         "role: main device\n  in_use_at_event: yes\n  impounded: no"),
    ]  # fmt: skip
    assert_silent("views-missing", edits)


def test_a_close_up_of_damage_wants_a_scale() -> None:
    edits = [
        ("evidence.yml", "The latch of the door, shut, with a scale.", "The crack beside the latch."),
        ("evidence.yml", "scale_in_frame: yes", "scale_in_frame: no"),
    ]
    at = ("evidence.yml", "The crack beside > scale_in_frame")
    assert_fires("close-without-scale", edits, at=at, level=Level.WARN, says="“crack”")


def test_an_inspection_row_can_say_that_it_is_damage() -> None:
    edits = [
        ("evidence.yml", "  scale_in_frame: yes\n", ""),
        ("inspection.csv", "clamp closed and no kink,,", "a burnt corner at the latch,E-7 E-8,"),
    ]
    assert_fires("close-without-scale", edits, at=("evidence.yml", "E-8:"), level=Level.WARN, says="“burnt”")


def test_a_close_up_of_a_sound_thing_or_of_a_label_wants_none() -> None:
    sound = ("evidence.yml", "The latch of the door, shut, with a scale.", "The latch, shut; no crack or burn at it.")
    label = ("evidence.yml", "The latch of the door, shut, with a scale.", "The label on the torn pouch.")
    for edit in (sound, label):
        assert_silent("close-without-scale", [edit, ("evidence.yml", "scale_in_frame: yes", "scale_in_frame: no")])


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("a dark char at the clamp", "char"),
        ("the cable, cut through at 40 cm", "cut through"),
        ("insulation whole; conductor bent", "bent"),
        ("no crack; wear at port 1", "wear"),
        ("cut 45 W, coagulation 90 W", ""),
        ("neither burnt nor pitted, free of corrosion", ""),
        ("fits without play, not worn", ""),
        ("characters on the display, chart, department", ""),
    ],
)
def test_damage_is_told_from_its_denial(text: str, word: str) -> None:
    assert damage(text) == word


CLEANED: Edit = (
    "items.yml",
    "cleaned: no",
    "cleaned: yes\n  cleaned_why: Asked by infection control; residue is gone.",
)
NOT_AS_FOUND = [
    ("evidence.yml", f"  view: {view}\n{between}  as_found: yes\n", f"  view: {view}\n{between}")
    for view, between in (
        ("overall", "  faces: no\n"), ("screen", ""),
        ("middle", "  scale_in_frame: no\n"), ("close", "  scale_in_frame: yes\n"),
    )
]  # fmt: skip


def test_cleaning_without_a_word_on_what_may_be_lost_warns() -> None:
    edit = ("items.yml", "cleaned: no", "cleaned: yes")
    at = ("items.yml", "cleaned: yes")
    assert_fires("cleaned-without-pictures", [edit], at=at, level=Level.WARN, says="nothing says what")


def test_cleaning_without_pictures_from_before_warns() -> None:
    at = ("items.yml", "cleaned: yes")
    edits = [CLEANED, *NOT_AS_FOUND]
    assert_fires("cleaned-without-pictures", edits, at=at, level=Level.WARN, says="no photograph of it from before is")
    step = (
        "steps:\n  B-1: {items: [I-1], what: wiped with alcohol, tier: changes, at: 2026-03-02 11:00 -06:00, "
        "by: risk-manager, why: Asked for.}\ngates:\n"
    )
    edits = [CLEANED, ("gates.yml", "gates:\n", step)]
    says = "before 2026-03-02 11:00"
    assert_fires("cleaned-without-pictures", edits, at=at, level=Level.WARN, says=says)


def test_cleaning_after_pictures_and_with_a_word_passes() -> None:
    assert_silent("cleaned-without-pictures", [CLEANED])


# --- where it was plugged in, and which one it is

NO_CONNECTION: Edit = ("scene.yml", "    to: U-1", "    to: an extension")


def test_a_mains_device_has_its_socket_on_record() -> None:
    edits = [NO_CONNECTION, ("room.yml", "kind: socket", "kind: climate")]
    assert_fires("socket-missing", edits, at=("items.yml", "I-1:"), level=Level.WARN, says="from which socket")


def test_a_device_that_needs_gas_has_its_outlet_on_record() -> None:
    edits = [("case.yml", "device_kind: infusion-pump", "device_kind: ventilator")]
    assert_fires("socket-missing", edits, at=("items.yml", "I-1:"), level=Level.WARN, says="from which gas outlet")


def test_a_connection_to_a_socket_or_a_battery_is_enough() -> None:
    named = [("room.yml", "kind: socket", "kind: climate"), ("scene.yml", "    to: U-1", "    to: the wall socket 2")]
    assert_silent("socket-missing", named)
    battery = [NO_CONNECTION, ("room.yml", "kind: socket", "kind: climate"), ("items.yml", "class: I\n    cord: detachable", "cord: none, battery")]  # fmt: skip  # noqa: E501
    assert_silent("socket-missing", battery)


def test_another_serial_in_a_caption_is_refused() -> None:
    edit = ("evidence.yml", "The front of the pump,", "The front of the pump, serial no. 119,")
    problem = assert_fires("identity-disagrees", [edit], at=("evidence.yml", "serial no. 119"), says="118 for I-1")
    assert [place.path for place in problem.related] == [f"{CASE}/items.yml"]


def test_another_lot_in_an_inspection_row_is_refused() -> None:
    edit = ("inspection.csv", "clamp closed and no kink", "clamp of lot L-56 closed")
    assert_fires("identity-disagrees", [edit], at=("inspection.csv", "lot L-56"), says="the lot L-56")


def test_the_same_number_spelt_otherwise_passes() -> None:
    edits = [
        ("items.yml", 'serial: "118"', "serial: 07 2291"),
        ("evidence.yml", "The front of the pump,", "The front of the pump, serial 07-2291 and software 3.2,"),
        ("evidence.yml", "The pump on its pole", "The pump (serial 072291) with a set of lot L55, on its pole"),
    ]
    assert_silent("identity-disagrees", edits)


def test_a_number_of_a_thing_whose_own_is_not_on_record_passes() -> None:
    edits = [
        ("evidence.yml", "The front of the pump, with", "The cord of lot 4471, with"),
        ("evidence.yml", "The display of the pump", "The same lot, serial as entered; the display of the pump"),
    ]
    assert_silent("identity-disagrees", edits)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("label with model and serial 31 0842, cable entry", (Given("serial", "31 0842"),)),
        ("lot 25K118, use by 2027-10", (Given("lot", "25K118"),)),
        ("Lot no. 24-C-07.", (Given("lot", "24-C-07"),)),
        ("S/N: AB 1234 and batch 7", (Given("serial", "AB 1234"), Given("lot", "7"))),
        ("the same lot; serial as entered; a lot of 3 pads; allotted 7", ()),
    ],
)
def test_numbers_are_read_from_sentences(text: str, found: tuple[Given, ...]) -> None:
    assert numbers(text) == found


def test_public_identifies() -> None:
    """45 CFR 164.514(b)(2) (confirmed): dates finer than the year, and serial numbers of devices."""
    assert_fires(
        "public-identifies",
        edits=[("case.yml", "confidentiality: internal", "confidentiality: public")],
        at=("case.yml", "confidentiality: public"),
        says="the case is public, and holds the date of the event and the serial number",
    )
    assert_silent(
        "public-identifies",
        edits=[("case.yml", "confidentiality: internal", "confidentiality: released to the parties")],
    )
