"""What registering files will write, worked out as a whole and refused as a whole, with every reason."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from asfound.desk.evidence import ClockPhoto, Copy, Desk, Elsewhere, EvidencePlan, Wanted
from asfound.desk.names import portable_name, unique_name
from asfound.desk.refused import Refused
from asfound.desk.source import Source, is_large
from asfound.desk.times import clock_error, offset_of, offset_text, placed, read_moment
from asfound.desk.yaml_insert import Inserted, insert_records
from asfound.desk.yaml_text import Plain
from asfound.intake import read_record, read_yaml
from asfound.intake.files import PATH_CHARS
from asfound.intake.text import megabytes
from asfound.model.base import Record
from asfound.model.identifiers import identifiers, in_name
from asfound.model.ids import sort_key
from asfound.model.testimony import Clock, Evidence, EvidenceKind

_PICTURES = frozenset({EvidenceKind.PHOTOGRAPH, EvidenceKind.VIDEO})
_FOLDER = "evidence"
_NO_TIME = "the file holds no time of capture"


def plan_evidence(
    desk: Desk,
    wanted: Sequence[Wanted],
    clock: str = "",
    clock_photo: ClockPhoto | None = None,
    offset: str = "",
    elsewhere: Elsewhere | None = None,
) -> EvidencePlan:
    """Plan the whole: names, times, ids, the new bytes of evidence.yml and clocks.yml.

    `clock` names the clock of the case that the pictures' times are on; `clock_photo` makes a new one; `offset` is that
    of a camera which did not record its own. Raises Refused with every reason there is, and nothing is written then.
    """
    return _Planning(desk, clock, clock_photo, offset, elsewhere).plan(wanted)


class _Planning:
    """One plan in the making; reasons are collected, so that all are told in one run."""

    def __init__(
        self, desk: Desk, clock: str, clock_photo: ClockPhoto | None, offset: str, elsewhere: Elsewhere | None
    ) -> None:
        self.desk, self.case = desk, desk.case
        self.clock, self.clock_photo, self.offset, self.elsewhere = clock, clock_photo, offset, elsewhere
        self.reasons: list[str] = []
        self.notes: list[str] = []
        self.copies: list[Copy] = []
        self.records: dict[str, Plain] = {}
        self.lines: dict[str, str] = {}
        self.registered = {one.sha256.replace(" ", "").lower(): ref for ref, one in self.case.evidence.items()}
        self.named = {one.file for one in self.case.evidence.values()}
        # Files that lie in the case and that nobody registered: copies of a run that was cut off, or put there by hand.
        self.loose = {
            fact.sha256: path
            for path, fact in sorted(self.case.files.items())
            if path.startswith(f"{_FOLDER}/") and path not in self.named
        }
        self.taken = {path.rpartition("/")[2] for path in self.case.files if path.rpartition("/")[0] == _FOLDER}
        self.next = 1 + max((_number(ref) for ref in self._ids("E", desk.register)), default=0)

    def plan(self, wanted: Sequence[Wanted]) -> EvidencePlan:
        self._whole_run(wanted)
        clock_entry = self._clock(wanted)
        for one in wanted:
            self._take(one)
        if self.reasons:
            raise Refused(*dict.fromkeys(self.reasons))
        register = self._insert("evidence.yml", self.desk.register, self.records, Evidence)
        clock: tuple[bytes | None, Inserted] | None = None
        if clock_entry is not None:
            clock = self._insert("clocks.yml", self.desk.clocks, {self.clock: clock_entry}, Clock)
            self.lines[self.clock] = "the clock of the camera"
        notes, copies = tuple(dict.fromkeys(self.notes)), tuple(self.copies)
        return EvidencePlan(self.desk.folder, copies, clock, register, self.lines, notes, self.clock)

    # What holds for the run

    def _whole_run(self, wanted: Sequence[Wanted]) -> None:
        if not wanted and self.clock_photo is None:
            self.reasons.append("no file is named")
        if self.clock and self.clock_photo is not None:
            self.reasons.append("a clock of the case and a photograph of a clock are both named; one of them is needed")
        if self.clock and self.clock not in self.case.clocks:
            known = ", ".join(sorted(self.case.clocks, key=sort_key)) or "none"
            self.reasons.append(f"there is no clock {self.clock} in clocks.yml (there is {known})")
        if self.offset:
            self._try(offset_of, self.offset)
        if self.elsewhere is not None:
            self._role(self.elsewhere.keeper)
            for what, text in (("place", self.elsewhere.place), ("reason", self.elsewhere.why)):
                if not text.strip():
                    self.reasons.append(f"a file kept elsewhere needs its {what}")
        for one in (*wanted, *([self.clock_photo.wanted] if self.clock_photo else [])):
            if one.by:
                self._role(one.by)
            for ref in one.items:
                if not self.case.exists(ref) or not ref.startswith("I-"):
                    self.reasons.append(f"there is no item {ref} in items.yml")

    def _role(self, role: str) -> None:
        people = self.case.head.people
        if role not in people:
            known = ", ".join(sorted(people)) or "nobody yet"
            self.reasons.append(f"there is no role “{role}” among the people of case.yml (there is {known})")

    def _try(self, read: Any, *given: Any) -> Any:
        try:
            return read(*given)
        except Refused as refused:
            self.reasons += refused.reasons
            return None

    # The clock of the camera

    def _clock(self, wanted: Sequence[Wanted]) -> Plain | None:
        """Register the photograph of the clock; the record of the clock it makes, None where there is none to write."""
        photo = self.clock_photo
        if photo is None:
            return None
        source = photo.wanted.source
        shows = self._try(read_moment, photo.shows, "--shows")
        for other in wanted:
            one, two = (source.written.camera if source.written else ""), other.source.written
            if one and two is not None and two.camera and two.camera != one:
                self.reasons.append(
                    f"{other.source.shown} was taken with another camera than the photograph of the clock, "
                    "which says nothing about that one"
                )
        if not source.taken:
            self.reasons.append(f"{source.shown} holds no time of capture, so it says nothing about the camera's clock")
        if shows is None or not source.taken:
            return None
        self.offset = self.offset or (source.written.offset if source.written else "") or offset_text(shows)
        at = placed(source.taken, source.written.offset if source.written else "", self.offset)
        ref = f"E-{self.next}"
        error = clock_error(at or "", shows)
        comparison: dict[str, Plain] = {
            "at": shows.text,
            "reference": photo.reference or f"the clock in {ref}",
            "offset": error.offset,
            "doubt": error.doubt,
            "evidence": [ref],
        }
        who = f" of {photo.wanted.by.replace('-', ' ')}" if photo.wanted.by else ""
        record: dict[str, Plain] = {"what": f"Camera{who}, {shows.text[:10]}", "comparisons": [comparison]}
        written = read_yaml("clocks.yml", self.desk.clocks or b"").data
        there = [name for name, one in written.items() if one == record] if isinstance(written, dict) else []
        self.clock = there[0] if there else f"K-{1 + max(map(_number, self._ids('K', self.desk.clocks)), default=0)}"
        self._take(photo.wanted)
        self.notes.append(f"The camera's clock was {_ahead(error.offset)} (known to {error.doubt}).")
        return None if there else record

    # One file

    def _take(self, wanted: Wanted) -> None:
        source = wanted.source
        before = len(self.reasons)
        ref = f"E-{self.next}"
        if kinds := in_name(source.name):
            # The name itself is not printed: it is what must not spread.
            self.reasons.append(f"the name of a file seems to hold {kinds[0]}; give it another name first")
            return
        other = self.registered.get(source.sha256)
        if other is not None:
            self.reasons.append(f"{source.shown} is registered already: {other} has these very bytes")
            return
        kind = wanted.kind or source.kind
        if kind is None:
            self.reasons.append(f"{source.shown}: its content does not say what it is; --kind is needed")
        if not wanted.shows.strip():
            self.reasons.append(f"{source.shown}: a sentence on what it shows is needed (--what)")
        if kinds := identifiers(wanted.shows):
            self.reasons.append(f"{source.shown}: the sentence on what it shows seems to hold {kinds[0]}")
        taken_at, clock = self._time(wanted, kind)
        if len(self.reasons) > before or kind is None:
            return
        self.next += 1
        self.registered[source.sha256] = ref
        where = self._where(source)
        record: dict[str, Plain] = {}
        if where:
            record["file"] = where
        record |= {"sha256": source.sha256, "kind": str(kind), "shows": " ".join(wanted.shows.split())}
        if self.elsewhere is not None:
            record["kept_elsewhere"] = {
                "keeper": self.elsewhere.keeper,
                "place": self.elsewhere.place.strip(),
                "size": f"{source.size} bytes",
                "why": self.elsewhere.why.strip(),
            }
        if wanted.items:
            record["items"] = list(dict.fromkeys(wanted.items))
        if taken_at:
            record["taken_at"] = taken_at
        elif kind in _PICTURES:
            record["time_not_obtainable"] = _NO_TIME
        for name, text in (
            ("taken_by", wanted.by), ("clock", clock), ("view", wanted.view or ""),
            ("scale_in_frame", _yes_no(wanted.scale)), ("faces", _yes_no(wanted.faces)),
            ("as_found", "yes" if wanted.as_found else ""), ("exported_how", wanted.exported_how.strip()),
            ("software", wanted.software.strip()),
        ):  # fmt: skip
            if text:
                record[name] = str(text)
        self.records[ref] = record
        place = where or f"kept by {self.elsewhere.keeper if self.elsewhere else ''}"
        self.lines[ref] = f"{kind}, {place}, sha256 {source.sha256}"
        self._remark(wanted, kind, ref)

    def _time(self, wanted: Wanted, kind: EvidenceKind | None) -> tuple[str, str]:
        """`taken_at` and the clock it is on; empty where there is none."""
        source = wanted.source
        if wanted.at:
            moment = self._try(read_moment, wanted.at, "--at")
            return ("" if moment is None else moment.text), self.clock
        if not source.taken:
            return "", ""
        known = self.case.clocks.get(self.clock)
        own = source.written.offset if source.written is not None else ""
        found = placed(source.taken, own or self.offset, (known.zone or "") if known is not None else "")
        if found is None:
            self.reasons.append(
                f"{source.shown}: the camera wrote {source.taken} without an offset from UTC; "
                "--offset, as in --offset=-05:00, is needed"
            )
            return "", ""
        return found, self.clock

    def _where(self, source: Source) -> str:
        """The path below the case folder at which the file lies or will lie; empty for one that is kept elsewhere."""
        if self.elsewhere is not None:
            return ""
        inside = _inside(self.desk.at, source.place)
        there = inside if inside is not None and inside in self.loose.values() else self.loose.get(source.sha256)
        if there is not None:
            self.copies.append(Copy(there, source.sha256, None))
            if inside is None:
                self.notes.append(f"{there} holds the bytes of {source.shown} already; it was not copied again.")
            return there
        plain = portable_name(source.name)
        name = unique_name(plain, self.taken)
        self.taken.add(name)
        if plain != source.name:
            self.notes.append(f"{source.shown} is kept as {name}, a name that every system can carry.")
        elif name != plain:
            self.notes.append(f"{source.shown} is kept as {name}, since another file has its name.")
        path = f"{_FOLDER}/{name}"
        if len(self.desk.path(path)) > PATH_CHARS:
            self.reasons.append(f"{self.desk.path(path)} would be longer than {PATH_CHARS} characters; rename the file")
        self.copies.append(Copy(path, source.sha256, source.place))
        return path

    def _remark(self, wanted: Wanted, kind: EvidenceKind, ref: str) -> None:
        source, written = wanted.source, wanted.source.written
        if written is not None and written.position and self.elsewhere is None:
            self.notes.append(
                f"{ref}: {source.shown} holds the place where it was taken. The site's copy will not; the original in "
                "the case does. To keep it out of the repository, register it with --elsewhere instead."
            )
        if written is not None and (kinds := written.fact.identifiers) and self.elsewhere is None:
            self.notes.append(f"{ref}: a text inside {source.shown} seems to hold {kinds[0]}; the check refuses that.")
        if written is not None and written.owner:
            self.notes.append(f"{ref}: {source.shown} names an author or owner in its metadata.")
        if kind in _PICTURES and not source.taken and not wanted.at:
            why = "" if written is not None else f" that can be read from {source.media}"
            self.notes.append(
                f"{ref}: {source.shown} holds no time of capture{why}; it cannot show the as-found state."
            )
        elif kind in _PICTURES and not self.clock:
            self.notes.append(f"{ref}: nothing says on which clock {source.shown} was timed; --clock or --clock-photo.")
        if is_large(source) and self.elsewhere is None:
            self.notes.append(f"{ref}: {source.shown} has {megabytes(source.size)}; code hosts warn of such files.")
        if kind is EvidenceKind.LOG and not (wanted.exported_how and wanted.software):
            self.notes.append(f"{ref}: how the log was exported, and with which software, is still to be written.")

    # Text

    def _ids(self, letter: str, data: bytes | None) -> Iterator[str]:
        """Every id with a letter that stands in the case or in the bytes of a register, readable or not."""
        document = read_yaml("", data or b"").data
        for ref in (*self.case.records, *self.case.broken, *(document if isinstance(document, dict) else ())):
            if ref.startswith(f"{letter}-"):
                yield ref

    def _insert(
        self, name: str, data: bytes | None, records: Mapping[str, Plain], model: type[Record]
    ) -> tuple[bytes | None, Inserted]:
        path = self.desk.path(name)
        made = insert_records(path, data or b"", records)
        document = read_yaml(path, made.data)
        for ref in records:
            record, problems = read_record(model, document, (ref,), ref)
            if record is None or problems:
                raise Refused(f"{ref} would not be accepted in {path}", problems=problems)
        return data, made


def _number(ref: str) -> int:
    tail = re.fullmatch(r"[A-Z]-(\d{1,9})", ref)
    return int(tail[1]) if tail else 0


def _yes_no(value: bool | None) -> str:
    return "" if value is None else "yes" if value else "no"


def _inside(case: Path, place: Path) -> str | None:
    """The path below the case folder, for a file that lies below its evidence folder already."""
    try:
        path = place.resolve().relative_to(case.resolve()).as_posix()
    except (ValueError, OSError):
        return None
    return path if path.startswith(f"{_FOLDER}/") else None


def _ahead(offset: str) -> str:
    if offset == "0 s":
        return "right"
    return f"{offset[1:]} behind" if offset.startswith("-") else f"{offset} ahead"
