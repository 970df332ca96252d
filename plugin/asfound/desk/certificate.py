"""A certificate of calibration put into the register of instruments: the file kept, one record written.

The file is copied below `.asfound/certificates/` first and read back, then the register is replaced. A run that is cut
off leaves a copy that nobody registered; the same command takes it up.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from decimal import Decimal
from pathlib import Path

from msgspec import Struct, structs

from asfound.desk.names import portable_name, unique_name
from asfound.desk.refused import Refused
from asfound.desk.source import Source
from asfound.desk.write import Step, copy_file, digest_of, read_whole, real_folder, replace_file
from asfound.desk.yaml_append import append_item
from asfound.desk.yaml_insert import insert_records
from asfound.desk.yaml_text import Plain
from asfound.intake import read_record, read_yaml
from asfound.intake.dcc import Certificate, Thing
from asfound.intake.dcc_results import Compared
from asfound.measure import Unit, unit
from asfound.model.base import told
from asfound.model.bench import Instrument
from asfound.model.layout import BENCH

REGISTER = "instruments.yml"
FOLDER = "certificates"
"""Below `.asfound/`, where certificates are kept as they came."""


class Said(Struct, frozen=True):
    """What a person says beside the certificate. Empty texts: nothing.

    due  when the next calibration is due: that is for whoever uses the instrument to say, not for the laboratory
         (ISO/IEC 17025:2017, 7.8.4.3, from memory)
    """

    due: dt.date
    ref: str = ""
    serial: str = ""
    what: str = ""
    keeper: str = ""
    as_found: str = ""


class CertificatePlan(Struct, frozen=True):
    """What will be written. `id` of the instrument; `line` and `text` of the new lines; `notes` for the person."""

    id: str
    line: int
    text: tuple[str, ...]
    file: str
    source: Source | None
    old: bytes | None
    new: bytes
    notes: tuple[str, ...]


def plan_certificate(
    root: Path, instruments: Mapping[str, Instrument], source: Source, read: Certificate, said: Said
) -> CertificatePlan:
    """A register with this certificate at its instrument, or with a new one. Raises Refused, with the reason."""
    thing = _thing(read, said)
    ref = said.ref or _known(instruments, thing, said)
    before = instruments.get(ref)
    path = f"{BENCH}/{REGISTER}"
    old = read_whole(root / BENCH / REGISTER)
    if said.due <= read.last:
        raise Refused(f"the due date {said.due} is not after {read.last}, the last day of the calibration")
    if before is not None and any(one.certificate == read.number for one in before.calibrations):
        raise Refused(f"{ref} has the certificate {read.number} already")
    file, copied = _place(root, source)
    whole, read = read, _of(read, thing)
    calibration = _calibration(read, said, file, source.sha256)
    if before is not None:
        new, line, count = append_item(path, old or b"", (ref, "calibrations"), calibration)
    else:
        ref = ref or f"M-{1 + max((int(one[2:]) for one in _ids(path, old) if one[2:].isdigit()), default=0)}"
        record = _instrument(read, thing, said, calibration)
        made = insert_records(path, old or b"", {ref: record})
        new, line = made.data, made.lines[ref]
        count = made.data[made.start : made.end].decode("utf-8").strip("\r\n").count("\n") + 1
    instrument, problems = read_record(Instrument, read_yaml(path, new), (ref,), ref)
    if instrument is None or problems:
        raise Refused(f"{ref} could not be read in {path} as it would stand there", problems=problems)
    text = tuple(new.decode("utf-8").splitlines()[line - 1 : line - 1 + count])
    return CertificatePlan(
        ref, line, text, file, None if copied else source, old, new, tuple(_notes(whole, read, before, thing, said))
    )


def write_certificate(root: Path, plan: CertificatePlan, step: Step = lambda _step: None) -> None:
    """Copy the file, then replace the register. Call it under `alone`. Raises Refused, OSError."""
    home = real_folder(root, f"{BENCH}/{FOLDER}", make=True)
    if plan.source is not None:
        copy_file(plan.source.place, home / plan.file.rpartition("/")[2], plan.source.sha256, step)
    replace_file(root / BENCH / REGISTER, plan.old, plan.new, step)


# --- which instrument


def _thing(read: Certificate, said: Said) -> Thing:
    if said.serial:
        fitting = [one for one in read.things if said.serial in one.identifications]
        if not fitting:
            known = ", ".join(text for one in read.things for text in one.identifications) or "none"
            raise Refused(f'the certificate knows nothing by the number "{said.serial}"; its numbers are: {known}')
        return fitting[0]
    if len(read.things) > 1:
        names = "; ".join(f"{one.what or 'without a name'} {', '.join(one.identifications)}" for one in read.things)
        raise Refused(f"the certificate is of {len(read.things)} things ({names}); say which with --serial")
    return read.things[0]


def _of(read: Certificate, thing: Thing) -> Certificate:
    """The certificate with what it says of this thing alone: another's doubt or conformity is worse than none."""
    if len(read.things) == 1:
        return read
    told = zip(read.conformity, read.conformity_of, strict=True)
    return structs.replace(
        read,
        compared=tuple(one for one in read.compared if thing.ref and thing.ref in one.of),
        conformity=tuple(word for word, of in told if thing.ref and thing.ref in of),
    )


def _known(instruments: Mapping[str, Instrument], thing: Thing, said: Said) -> str:
    """The instrument of the register with one of the thing's numbers; empty where there is none."""
    numbers = {said.serial} if said.serial else {thing.serial} if thing.serial else set(thing.identifications)
    found = [ref for ref, one in instruments.items() if told(one.serial) in numbers]
    if len(found) > 1:
        raise Refused(f"{', '.join(found)} bear numbers of the certificate; say which with --id")
    return found[0] if found else ""


def _ids(path: str, old: bytes | None) -> Iterator[str]:
    data = read_yaml(path, old or b"").data
    yield from (one for one in (data if isinstance(data, dict) else ()) if one.startswith("M-"))


def _place(root: Path, source: Source) -> tuple[str, bool]:
    """Where the file will lie below `.asfound/`, and whether these bytes lie there already."""
    home = root / BENCH / FOLDER
    there = sorted(one.name for one in home.iterdir() if one.is_file()) if home.is_dir() else []
    for name in there:
        if not (home / name).is_symlink() and digest_of(home / name) == source.sha256:
            return f"{FOLDER}/{name}", True
    return f"{FOLDER}/{unique_name(portable_name(source.name), there)}", False


# --- what is written


def _calibration(read: Certificate, said: Said, file: str, sha256: str) -> dict[str, Plain]:
    found: dict[str, Plain] = {
        "certificate": read.number,
        "on": read.last.isoformat(),
        "due": said.due.isoformat(),
        "by": read.laboratory,
        "as_found": said.as_found or _as_found(read),
    }
    if read.compared:
        found["covers"] = [_covered(one) for one in read.compared]
    return {**found, "file": file, "sha256": sha256}


def _as_found(read: Certificate) -> Plain:
    words = {one.casefold() for one in read.conformity}
    if words and words <= {"pass"}:
        return "in tolerance, as the certificate states conformity"
    if words & {"fail", "nopass"}:
        return "out of tolerance, as the certificate states conformity"
    if words:
        return f"the certificate states: {', '.join(sorted(read.conformity))}"
    return {"not_known": "the certificate states no conformity"}


def _covered(one: Compared) -> dict[str, str]:
    return {
        "what": one.name,
        "quantity": str(one.unit.quantity),
        "from": _amount(one.low, one.unit),
        "to": _amount(one.high, one.unit),
        "doubt": _amount(one.doubt, one.doubt_unit),
        "k": _text(one.k),
    }


def _instrument(read: Certificate, thing: Thing, said: Said, calibration: dict[str, Plain]) -> dict[str, Plain]:
    functions: dict[str, dict[str, Plain]] = {}
    for one in read.compared:
        quantity = str(one.unit.quantity)
        last = functions.get(quantity)
        if last is None or _doubt(one) > Decimal(str(last["_weight"])):
            functions[quantity] = {
                "quantity": quantity,
                "ranges": [],
                "certificate_doubt": _amount(one.doubt, one.doubt_unit),
                "certificate_k": _text(one.k),
                "_weight": str(_doubt(one)),
            }
    made: dict[str, Plain] = {
        "what": said.what or thing.what or " ".join(filter(None, (thing.maker, thing.model))) or "an instrument",
        "serial": said.serial or thing.serial or _no_serial(thing),
    }
    if said.keeper:
        made["keeper"] = said.keeper
    made["functions"] = {
        name: {key: value for key, value in one.items() if key != "_weight"} for name, one in functions.items()
    }
    made["calibrations"] = [calibration]
    named = ", ".join(filter(None, (thing.maker, thing.model)))
    return {**made, "note": f"Of the maker and model: {named}."} if named else made


def _no_serial(thing: Thing) -> Plain:
    if len(thing.identifications) == 1:
        return thing.identifications[0]
    return {"not_recorded": "the certificate calls none of its numbers a serial number"}


def _doubt(one: Compared) -> Decimal:
    """In the coherent unit, at one standard deviation, so that doubts can be compared."""
    factor = one.doubt_unit.factor
    return one.doubt / one.k * factor.numerator / factor.denominator


def _amount(value: Decimal, of: Unit) -> str:
    symbol = of.si_text if unit(of.si_text) == of else of.symbol
    return f"{_text(value)} {symbol}"


def _text(value: Decimal) -> str:
    """As typed, without an exponent where a person would write none."""
    plain = f"{value:f}"
    return plain if len(plain) <= 18 else str(value)


def _notes(whole: Certificate, read: Certificate, before: Instrument | None, thing: Thing, said: Said) -> Iterator[str]:
    if before is not None and told(before.serial) not in thing.identifications:
        known = ", ".join(thing.identifications) or "none"
        yield f"The register has the serial {told(before.serial)}; the numbers of the certificate are: {known}."
    for one in read.unread:
        yield f"Not taken (line {one.line}, column {one.column}): {one.found}."
    for one in read.remarks:
        yield f"Look again (line {one.line}, column {one.column}): {one.found}."
    for result in whole.compared:
        if result not in read.compared and not result.of:
            yield f"Not taken: “{result.name}” does not say of which of the {len(read.things)} things it is."
    if len(read.things) > 1:
        told_of = zip(whole.conformity, whole.conformity_of, strict=True)
        if vague := sorted({f"“{word}”" for word, of in told_of if not of}):
            said_of = f"does not say of which of the {len(read.things)} things it is"
            yield f"Not taken: the conformity {', '.join(vague)} {said_of}."
    if not read.compared:
        yield "No result of the certificate could be taken, so it covers nothing here; enter what it covers by hand."
    if before is None:
        yield (
            "A certificate states neither resolution nor accuracy of a range: add the ranges of each function from the "
            "maker's documents."
        )
    else:
        yield "Its functions stand as they were; compare the certificate_doubt of each with what is covered."
        measured = {one.quantity for one in before.functions.values()}
        if without := sorted({str(one.unit.quantity) for one in read.compared} - measured):
            yield (
                f"The register has no function of it that measures {' or '.join(without)}, which the certificate "
                "covers: add one before readings are taken so."
            )
    if read.adjusted:
        yield "The certificate tells of an adjustment: what it covers is the state after it, as_found that before it."
    if not read.conformity and read.adjusted:
        yield "It states no conformity before the adjustment; say with --as-found how the instrument was when it came."
    elif not read.conformity:
        yield "It states no conformity; say with --as-found how the instrument was when it came to the laboratory."
    if read.again is not None and said.due > read.again:
        yield f"The certificate asks for the next calibration by {read.again}; the due date written is {said.due}."
    numbers = {one.certificate for one in before.calibrations} if before else set()
    for number, how in read.replaces:
        there = "; its entry stands there still, and every case that cites it rests on it" if number in numbers else ""
        yield f"It stands in place of the certificate {number} ({how}){there}."
    if read.signed:
        yield "A signature stands in it, which was not verified here."
