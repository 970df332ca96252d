"""Registering files: what is written, what is refused, and that a cut at any write loses nothing."""

from __future__ import annotations

import hashlib
import io
import os
import shutil
import signal
import subprocess
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import ExifTags, Image

from asfound.assess import assess_case
from asfound.desk import (
    TEMPORARY,
    ClockPhoto,
    Desk,
    Elsewhere,
    EvidencePlan,
    Refused,
    Wanted,
    look,
    open_desk,
    plan_evidence,
    write_evidence,
)
from asfound.desk.names import no_evidence, portable_name, unique_name
from asfound.desk.times import clock_error, length, placed
from asfound.intake import walk_case
from asfound.model.base import Duration, Moment
from asfound.model.testimony import EvidenceKind, View
from tests.rules.support import BASE, ON
from tests.support.forked import run_forked

FOLDER = Path("cases/base")


def photograph(
    taken: str | None = "2026:03:02 11:20:00", offset: str | None = None, shade: int = 0, **more: Any
) -> bytes:
    """A small JPEG with what a camera would write."""
    exif = Image.Exif()
    shot = exif.get_ifd(ExifTags.IFD.Exif)
    if taken is not None:
        shot[ExifTags.Base.DateTimeOriginal] = taken
    if offset is not None:
        shot[ExifTags.Base.OffsetTimeOriginal] = offset
    if more.get("position"):
        exif.get_ifd(ExifTags.IFD.GPSInfo).update({1: "N", 2: (44.0, 58.0, 12.0)})
    exif[ExifTags.Base.Model] = more.get("model", "invented camera")
    if "description" in more:
        exif[ExifTags.Base.ImageDescription] = more["description"]
    if "artist" in more:
        exif[ExifTags.Base.Artist] = more["artist"]
    out = io.BytesIO()
    Image.new("RGB", (16, 16), (shade, 90, 90)).save(out, "JPEG", exif=exif, comment=f"shade {shade}")
    return out.getvalue()


class Bench:
    """A copy of the base case, and a card with files."""

    def __init__(self, root: Path) -> None:
        self.root, self.card = root / "repository", root / "card"
        shutil.copytree(BASE, self.root)
        self.card.mkdir()

    @property
    def case(self) -> Path:
        return self.root / FOLDER

    def put(self, name: str, data: bytes) -> Path:
        place = self.card / name
        place.write_bytes(data)
        return place

    def desk(self) -> Desk:
        return open_desk(self.root, self.case)

    def wanted(self, name: str, data: bytes | None = None, **more: Any) -> Wanted:
        place = self.card / name if data is None else self.put(name, data)
        said: dict[str, Any] = {"shows": "A plug, in its socket.", "by": "risk-manager", "view": View.CLOSE, **more}
        return Wanted(look(place), **said)

    def add(self, *wanted: Wanted, **more: Any) -> EvidencePlan:
        desk = self.desk()
        plan = plan_evidence(desk, wanted, **more)
        write_evidence(desk, plan)
        return plan

    def register(self) -> str:
        return (self.case / "evidence.yml").read_text(encoding="utf-8")

    def rules(self) -> set[str]:
        return {problem.rule for problem in assess_case(self.root, self.case, ON).problems}

    def tree(self) -> dict[str, bytes]:
        return {
            path.relative_to(self.root).as_posix(): path.read_bytes()
            for path in sorted(self.root.rglob("*"))
            if path.is_file() and not path.name.startswith(TEMPORARY)
        }


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path)


def reasons(bench: Bench, *wanted: Wanted, **more: Any) -> str:
    before = bench.tree()
    with pytest.raises(Refused) as caught:
        bench.add(*wanted, **more)
    assert bench.tree() == before
    return "\n".join(caught.value.reasons)


# --- what is written


def test_a_photograph_is_copied_registered_and_accepted_by_the_whole_check(bench: Bench) -> None:
    data = photograph()
    before = bench.register()
    plan = bench.add(bench.wanted("IMG_1.JPG", data, items=("I-1",), scale=True), clock="K-2")
    assert (bench.case / "evidence/IMG_1.JPG").read_bytes() == data == (bench.card / "IMG_1.JPG").read_bytes()
    assert bench.register() == before + (
        "E-9:\n"
        "  file: evidence/IMG_1.JPG\n"
        f"  sha256: {hashlib.sha256(data).hexdigest()}\n"
        "  kind: photograph\n"
        "  shows: A plug, in its socket.\n"
        "  items: [I-1]\n"
        "  taken_at: 2026-03-02 11:20:00 -06:00\n"
        "  taken_by: risk-manager\n"
        "  clock: K-2\n"
        "  view: close\n"
        "  scale_in_frame: yes\n"
    )
    assert plan.notes == () and bench.rules() == set()


def test_many_are_written_in_one_go_with_the_next_free_ids(bench: Bench) -> None:
    wanted = [bench.wanted(f"IMG_{n}.JPG", photograph(shade=n)) for n in range(1, 31)]
    plan = bench.add(*wanted, clock="K-2")
    assert list(plan.lines) == [f"E-{n}" for n in range(9, 39)]
    assert not bench.rules() & {"evidence-altered", "evidence-missing", "evidence-unregistered"}


def test_an_id_that_stands_in_an_unreadable_record_is_not_given_again(bench: Bench) -> None:
    with (bench.case / "evidence.yml").open("a", encoding="utf-8") as file:
        file.write("E-40: {kind: nonsense}\n")
    assert list(bench.add(bench.wanted("a.jpg", photograph()), clock="K-2").lines) == ["E-41"]


def test_a_register_is_begun_where_there_is_none(bench: Bench) -> None:
    (bench.case / "evidence.yml").unlink()
    shutil.rmtree(bench.case / "evidence")
    bench.add(bench.wanted("a.jpg", photograph()), clock="K-2")
    assert bench.register().startswith("E-") and (bench.case / "evidence/a.jpg").is_file()


def test_the_camera_s_own_offset_goes_before_that_of_the_clock_s_zone(bench: Bench) -> None:
    bench.add(bench.wanted("a.jpg", photograph(offset="+01:00")), clock="K-2")
    assert "taken_at: 2026-03-02 11:20:00 +01:00" in bench.register()


def test_a_file_kept_elsewhere_is_registered_by_its_digest_alone(bench: Bench) -> None:
    data = b"a film" * 1000
    kept = Elsewhere("risk-manager", "sealed disk 4", "faces of patients")
    wanted = bench.wanted(
        "ward.bin", data, kind=EvidenceKind.VIDEO, at="2026-03-02 11:00 -06:00", view=None, faces=True
    )
    bench.add(wanted, elsewhere=kept, clock="K-2")
    assert not (bench.case / "evidence/ward.bin").exists()
    assert (
        "kept_elsewhere:\n    keeper: risk-manager\n    place: sealed disk 4\n    size: 6000 bytes\n"
        in bench.register()
    )
    assert bench.rules() == set()


def test_a_log_carries_how_it_was_exported(bench: Bench) -> None:
    wanted = bench.wanted(
        "pump.csv", b"time,event\n1,start\n", kind=EvidenceKind.LOG, view=None, exported_how="keys menu and send",
        software="3.2", at="2026-03-02 11:30 -06:00", items=("I-1",),
    )  # fmt: skip
    bench.add(wanted)
    assert 'exported_how: keys menu and send\n  software: "3.2"\n' in bench.register()
    assert "log-provenance-missing" not in bench.rules()


def test_a_file_that_lies_in_the_case_already_is_registered_where_it_is(bench: Bench) -> None:
    place = bench.case / "evidence/more/a.jpg"
    place.parent.mkdir()
    place.write_bytes(photograph())
    desk = bench.desk()
    write_evidence(desk, plan_evidence(desk, [Wanted(look(place), "A plug.", "risk-manager")], "K-2"))
    assert "file: evidence/more/a.jpg" in bench.register()
    assert [path.name for path in place.parent.iterdir()] == ["a.jpg"]


def test_names_that_cannot_travel_are_changed_and_said(bench: Bench) -> None:
    plan = bench.add(
        bench.wanted("IMG:1?.JPG", photograph(shade=1)),
        bench.wanted("BAY.JPG", photograph(shade=2)),
        bench.wanted("con.jpg", photograph(shade=3)),
        clock="K-2",
    )
    assert sorted(copy.path for copy in plan.copies) == [
        "evidence/BAY-2.JPG",
        "evidence/IMG-1-.JPG",
        "evidence/file-con.jpg",
    ]
    assert (
        len(plan.notes) == 3 and "kept as IMG-1-.JPG" in plan.notes[0] and "another file has its name" in plan.notes[1]
    )
    assert not walk_case(bench.root, bench.case).problems


# --- the clock


def test_one_photograph_of_a_clock_gives_the_camera_its_error(bench: Bench) -> None:
    """The camera wrote 11:05:20 while the reference showed 11:11:40: it is 6 min 20 s behind, known to a second."""
    photo = ClockPhoto(bench.wanted("clock.jpg", photograph("2026:03:02 11:05:20")), "2026-03-02 11:11:40 -06:00")
    plan = bench.add(bench.wanted("a.jpg", photograph("2026:03:02 11:06:00", shade=9)), clock_photo=photo)
    assert (bench.case / "clocks.yml").read_text(encoding="utf-8").endswith(
        "K-3:\n  what: Camera of risk manager, 2026-03-02\n  comparisons:\n    - {at: 2026-03-02 11:11:40 -06:00, "
        "reference: the clock in E-9, offset: -6 min 20 s, doubt: 1 s, evidence: [E-9]}\n"
    )  # fmt: skip
    assert "taken_at: 2026-03-02 11:06:00 -06:00\n  taken_by: risk-manager\n  clock: K-3\n" in bench.register()
    assert plan.clock_id == "K-3" and "6 min 20 s behind" in plan.notes[0] and bench.rules() == set()


@pytest.mark.parametrize(
    ("camera", "shows", "offset", "doubt"),
    [
        ("2026-03-02 11:05:20 -06:00", "2026-03-02 11:11:40 -06:00", "-6 min 20 s", "1 s"),
        ("2026-03-02 17:05:20 +00:00", "2026-03-02 11:05:08 -06:00", "12 s", "1 s"),
        ("2026-03-02 11:05:20 -06:00", "2026-03-02 11:05 -06:00", "-10 s", "31 s"),
        ("2026-03-02 11:05:20 -06:00", "2026-03-02 11:05:20 -06:00", "0 s", "1 s"),
        ("2016-01-01 00:00:10 -06:00", "2026-03-02 11:05:20 -06:00", "-3713 d 11 h 5 min 10 s", "1 s"),
    ],
)
def test_the_error_is_clock_minus_reference(camera: str, shows: str, offset: str, doubt: str) -> None:
    """Worked by hand: clock minus reference; a reference without seconds stands for the middle of its minute."""
    found = clock_error(camera, Moment.read(shows))
    assert (found.offset, found.doubt) == (offset, doubt)


@given(st.integers(-4_000_000, 4_000_000))
def test_lengths_of_time_read_back(seconds: int) -> None:
    assert Duration.read(length(Decimal(seconds))).seconds == seconds


@pytest.mark.parametrize(
    ("taken", "offset", "zone", "found"),
    [
        ("2026-03-02 11:05:20", "", "America/Chicago", "-06:00"),
        ("2026-07-02 11:05:20", "", "America/Chicago", "-05:00"),
        ("2026-07-02 11:05:20", "", "Asia/Kathmandu", "+05:45"),
        ("2026-07-02 11:05:20", "+02:00", "America/Chicago", "+02:00"),
        ("2026-07-02 11:05:20", "", "-03:30", "-03:30"),
        ("2026-11-01 01:30:00", "", "America/Chicago", None),  # the hour that comes twice
        ("2026-03-08 02:30:00", "", "America/Chicago", None),  # the hour that is skipped
        ("2026-07-02 11:05:20", "", "Nowhere/Else", None),
        ("2026-07-02 11:05:20", "", "../etc", None),
        ("2026-07-02 11:05:20", "", "", None),
    ],
)
def test_an_offset_is_taken_or_worked_out_and_never_guessed(
    taken: str, offset: str, zone: str, found: str | None
) -> None:
    """In 2026 the United States change clocks on 8 March and 1 November (15 U.S.C. 260a, from memory)."""
    assert placed(taken, offset, zone) == (None if found is None else f"{taken} {found}")


def test_a_photograph_of_a_clock_by_another_camera_is_refused(bench: Bench) -> None:
    photo = ClockPhoto(bench.wanted("clock.jpg", photograph(model="another")), "2026-03-02 11:11:40 -06:00")
    assert "another camera" in reasons(bench, bench.wanted("a.jpg", photograph(shade=9)), clock_photo=photo)


def test_a_photograph_of_a_clock_without_time_is_refused(bench: Bench) -> None:
    photo = ClockPhoto(bench.wanted("clock.jpg", photograph(None)), "2026-03-02 11:11 nonsense")
    said = reasons(bench, bench.wanted("a.jpg", photograph(shade=9)), clock_photo=photo)
    assert "says nothing about the camera's clock" in said and "--shows" in said


# --- what is refused, and that nothing is written then


def test_every_reason_is_told_in_one_run(bench: Bench) -> None:
    bay = (bench.case / "evidence/bay.jpg").read_bytes()
    said = reasons(
        bench,
        bench.wanted("a.jpg", photograph(), shows=""),
        bench.wanted("b.jpg", bay),
        bench.wanted("c.txt", b"text\n"),
        bench.wanted("d.jpg", photograph(shade=1), by="nobody", items=("I-77", "E-1")),
        bench.wanted("e.jpg", photograph(shade=2), shows="The plug of MRN 44712290"),
        bench.wanted("MRN_44712290.jpg", photograph(shade=3)),
        clock="K-9",
    )
    for words in (
        "a.jpg: a sentence on what it shows is needed", "b.jpg is registered already: E-1 has these very bytes",
        "c.txt: its content does not say what it is", "no role “nobody”", "no item I-77", "no item E-1",
        "e.jpg: the sentence on what it shows seems to hold a patient's record number",
        "the name of a file seems to hold a patient's record number", "no clock K-9 in clocks.yml (there is K-1, K-2)",
    ):  # fmt: skip
        assert words in said, said
    assert "44712290" not in said


def test_two_files_with_the_same_bytes_are_not_registered_twice(bench: Bench) -> None:
    said = reasons(bench, bench.wanted("a.jpg", photograph()), bench.wanted("b.jpg", photograph()), clock="K-2")
    assert said == "b.jpg is registered already: E-9 has these very bytes"


def test_a_camera_without_offset_asks_for_one(bench: Bench) -> None:
    assert "--offset=-05:00" in reasons(bench, bench.wanted("a.jpg", photograph()))
    assert "no offset from UTC" in reasons(bench, bench.wanted("a.jpg"), offset="EST")
    bench.add(bench.wanted("a.jpg"), offset="-06:00")
    assert "taken_at: 2026-03-02 11:20:00 -06:00" in bench.register()


def test_a_picture_without_a_time_says_so_itself(bench: Bench) -> None:
    plan = bench.add(bench.wanted("a.jpg", photograph(None)))
    assert "time_not_obtainable: the file holds no time of capture\n" in bench.register()
    assert "cannot show the as-found state" in plan.notes[0]


def test_a_place_a_text_and_an_owner_in_the_metadata_are_pointed_out_but_not_repeated(bench: Bench) -> None:
    data = photograph(position=True, description="MRN 44712290", artist="somebody")
    notes = "\n".join(bench.add(bench.wanted("a.jpg", data), clock="K-2").notes)
    assert "--elsewhere" in notes and "record number" in notes and "author or owner" in notes
    assert "44712290" not in notes and "somebody" not in notes


@pytest.mark.parametrize(
    ("make", "why"),
    [
        (lambda at: at.symlink_to("other"), "a link to another place"),
        (lambda at: at.mkdir(), "is a folder"),
        (lambda at: os.mkfifo(at), "no ordinary file"),
        (lambda at: at.write_bytes(b""), "is empty"),
        (lambda at: None, "cannot be read"),
        (
            lambda at: at.write_bytes(b"version https://git-lfs.github.com/spec/v1\noid sha256:0\nsize 1\n"),
            "kept in Git LFS",
        ),
    ],
)
def test_what_can_be_no_evidence_is_refused(bench: Bench, make: Callable[[Path], object], why: str) -> None:
    make(bench.card / "a.jpg")
    with pytest.raises(Refused, match=why):
        look(bench.card / "a.jpg")


@pytest.mark.parametrize("name", [".DS_Store", "Thumbs.db", "~$plan.docx", ".gitattributes", ".gitignore"])
def test_files_of_programs_and_of_git_are_refused(bench: Bench, name: str) -> None:
    assert no_evidence(name)
    with pytest.raises(Refused, match="cannot be evidence"):
        look(bench.put(name, b"a"))


def test_sizes_are_warned_of_and_refused_as_code_hosts_do(bench: Bench) -> None:
    """Warned of above 50 MiB, refused above 100 MiB (published limits of a common code host, confirmed)."""
    place = bench.card / "a.mp4"
    with place.open("wb") as file:
        file.write(b"\0\0\0\x18ftypmp42")
        file.truncate(50 * 1_048_576 + 1)
    wanted = Wanted(look(place), "The ward.", "risk-manager", at="2026-03-02 11:00 -06:00", faces=False)
    assert any("code hosts warn" in note for note in plan_evidence(bench.desk(), [wanted], "K-2").notes)
    os.truncate(place, 100 * 1_048_576 + 1)
    with pytest.raises(Refused, match="--elsewhere"):
        look(place)
    assert look(place, elsewhere=True).size == 100 * 1_048_576 + 1


def test_a_case_that_cannot_be_read_is_not_written_into(bench: Bench) -> None:
    (bench.case / "case.yml").write_text("case: [", encoding="utf-8")
    with pytest.raises(Refused, match="the case cannot be read") as caught:
        bench.desk()
    assert caught.value.problems


def test_a_register_that_cannot_be_read_is_not_written_into(bench: Bench) -> None:
    (bench.case / "evidence.yml").write_text("E-1: [", encoding="utf-8")
    assert "cannot be read" in reasons(bench, bench.wanted("a.jpg", photograph()), clock="K-2")


def test_a_file_that_changed_since_it_was_looked_at_is_refused(bench: Bench) -> None:
    wanted = bench.wanted("a.jpg", photograph())
    bench.put("a.jpg", photograph(shade=5))
    assert "changed while it was copied" in reasons(bench, wanted, clock="K-2")


def test_a_register_that_changed_since_it_was_planned_is_refused(bench: Bench) -> None:
    desk = bench.desk()
    plan = plan_evidence(desk, [bench.wanted("a.jpg", photograph())], "K-2")
    (bench.case / "evidence.yml").write_text(bench.register() + "# mine\n", encoding="utf-8")
    with pytest.raises(Refused, match="somebody else"):
        write_evidence(desk, plan)
    assert bench.register().endswith("# mine\n")


def test_an_evidence_folder_that_is_a_link_is_not_written_through(bench: Bench, tmp_path: Path) -> None:
    (bench.case / "evidence").rename(tmp_path / "far")
    (bench.case / "evidence").symlink_to(tmp_path / "far")
    before = sorted(path.name for path in (tmp_path / "far").iterdir())
    with pytest.raises(Refused, match="link"):
        bench.add(bench.wanted("a.jpg", photograph()), clock="K-2")
    assert sorted(path.name for path in (tmp_path / "far").iterdir()) == before


# --- names


@given(st.text(min_size=1, max_size=80), st.sets(st.sampled_from(["a.jpg", "A-2.JPG", "b", "file-.txt"])))
@settings(max_examples=300, deadline=None)
def test_every_name_becomes_one_that_travels_and_is_free(name: str, taken: set[str]) -> None:
    made = unique_name(portable_name(name), taken)
    assert made.casefold() not in {one.casefold() for one in taken}
    assert portable_name(portable_name(name)) == portable_name(name)
    assert len(made.encode()) <= 120 and not no_evidence(made)
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / made).write_bytes(b"a")
        assert walk_case(Path(folder), Path(folder)).paths == (made,)


@pytest.mark.parametrize("name", ["IMG_0042.JPG", "scan 3 of 4.pdf", "Übersicht (1).tif", "a.b.c", "DSC04471.JPG"])
def test_a_name_that_travels_is_kept(name: str) -> None:
    assert portable_name(name) == name


# --- cuts

TRIAL = """
import os, signal, sys
from pathlib import Path
from asfound.desk import ClockPhoto, Wanted, alone, look, open_desk, plan_evidence, write_evidence
root, card, stop = Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3])
count = 0
def step(name):
    global count
    count += 1
    if count == stop:
        os.kill(os.getpid(), signal.SIGKILL)
folder = root / "cases" / "base"
with alone(folder):
    desk = open_desk(root, folder)
    wanted = [Wanted(look(card / name), f"Picture {name}.", "risk-manager") for name in ("a.jpg", "b.jpg")]
    photo = ClockPhoto(Wanted(look(card / "clock.jpg"), "A clock.", "risk-manager"), "2026-03-02 11:11:40 -06:00")
    write_evidence(desk, plan_evidence(desk, wanted, clock_photo=photo), step)
print(count)
"""


def _trial(bench: Bench, stop: int) -> subprocess.CompletedProcess[str]:
    return run_forked(TRIAL, str(bench.root), str(bench.card), str(stop))


def test_a_run_that_is_killed_at_any_write_is_taken_up_by_the_same_command(tmp_path: Path) -> None:
    def fresh(name: str) -> Bench:
        made = Bench(tmp_path / name)
        made.put("clock.jpg", photograph("2026:03:02 11:05:20"))
        made.put("a.jpg", photograph(shade=1))
        made.put("b.jpg", photograph(shade=2))
        return made

    (tmp_path / "whole").mkdir()
    whole = fresh("whole")
    start = whole.tree()
    done = _trial(whole, 0)
    assert done.returncode == 0, done.stderr
    steps = int(done.stdout)
    assert steps == 3 * 7 + 2 * 7  # three copies, two registers, seven steps each
    want, card = whole.tree(), {path.name: path.read_bytes() for path in whole.card.iterdir()}
    for stop in range(1, steps + 1):
        (tmp_path / str(stop)).mkdir()
        one = fresh(str(stop))
        killed = _trial(one, stop)
        assert killed.returncode == -signal.SIGKILL, killed.stderr
        after = one.tree()
        # Every file is as it was, or as it will be; none is half-written, none is gone.
        assert set(start) <= set(after) <= set(want)
        assert all(data in (start.get(path), want[path]) for path, data in after.items())
        again = _trial(one, 0)
        finished = one.tree() == want
        if finished and again.returncode:
            assert "registered already" in again.stderr  # it was killed after the last write
        else:
            assert again.returncode == 0 and finished, again.stderr
        assert {path.name: path.read_bytes() for path in one.card.iterdir()} == card
        shutil.rmtree(tmp_path / str(stop))
