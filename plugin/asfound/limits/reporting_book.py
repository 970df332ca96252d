"""The duties a case is asked about: those that come with the program, and those the organisation adds.

An organisation's set stands beside the program's and never in its place. Its `closings` count for every set with the
same calendar, so that a one-off closing by order need not wait for a new version of the program.
"""

from __future__ import annotations

from collections.abc import Mapping

from asfound.limits.fault import BookFault, Path, listed, nearest
from asfound.model.event import OutcomeClass, StaffHarm
from asfound.model.reporting import CodeList, DecidedBy, DutyKind, Reporting, ReportingSet, Start

MOST = 3660
"""Most days or hours of a time limit: ten years of days. Beyond it somebody slipped, and a count would not end."""
MOST_YEARS = 100

_WORDS: dict[DecidedBy, tuple[str, ...]] = {
    DecidedBy.OUTCOME: tuple(OutcomeClass),
    DecidedBy.STAFF: tuple(StaffHarm),
}


def build_reporting(
    packaged: Mapping[str, ReportingSet], overlay: Mapping[str, ReportingSet], codes: CodeList | None
) -> tuple[Reporting, tuple[BookFault, ...]]:
    """Put the duties together. Sets are given by the path of their file.

    Returns them and everything wrong with them, in order of file and place. Never raises on what people wrote: a duty
    that is named twice, or whose clock nobody could choose, is left out, with its fault among the faults.
    """
    faults: list[BookFault] = []
    sets: dict[str, ReportingSet] = {}
    homes: dict[str, str] = {}
    duties: dict[str, str] = {}
    for file, one in (*sorted(packaged.items()), *sorted(overlay.items())):
        if one.reporting in sets:
            faults.append(
                BookFault(
                    file, ("reporting",), "reporting-set-twice",
                    f'the set of duties "{one.reporting}" also stands in {homes[one.reporting]}',
                    "a name of its own is needed", "Choose another name; the program's own sets stay as they are.",
                )
            )  # fmt: skip
            continue
        kept: dict[str, DutyKind] = {}
        for name, kind in one.duties.items():
            found = [*_twice(file, name, duties), *_clocks(file, name, kind), *_counts(file, name, kind)]
            faults += found
            if not found:
                kept[name] = kind
                duties[name] = file
        retention = one.retention
        if retention is not None and not 1 <= retention.years <= MOST_YEARS:
            faults.append(_beyond(file, ("retention", "years"), retention.years, MOST_YEARS, "years"))
            retention = None
        sets[one.reporting] = one.model_copy(update={"duties": kept, "retention": retention})
        homes[one.reporting] = file
    ordered = {name: sets[name] for name in sorted(sets)}
    # As a book of limits: of records that were read already.
    return Reporting.model_construct(sets=ordered, codes=codes), tuple(sorted(set(faults), key=lambda fault: fault.key))


def _counts(file: str, name: str, kind: DutyKind) -> list[BookFault]:
    return [
        _beyond(file, ("duties", name, "clocks", word, "within", "count"), clock.within.count, MOST, "of them")
        for word, clock in kind.clocks.items()
        if clock.within is not None and not 1 <= clock.within.count <= MOST
    ]


def _beyond(file: str, path: Path, found: int, most: int, unit: str) -> BookFault:
    return BookFault(
        file, path, "reporting-count-beyond", f"the count is {found}", f"one from 1 to {most} {unit} is needed",
        "Write how many there are; a clock without a time limit has no within.",
    )  # fmt: skip


def _twice(file: str, name: str, duties: Mapping[str, str]) -> list[BookFault]:
    if name not in duties:
        return []
    return [
        BookFault(
            file, ("duties", name), "reporting-duty-twice", f'the duty "{name}" also stands in {duties[name]}',
            "a name of its own is needed", "Choose another name, so that a record in duties.yml names one duty.",
        )
    ]  # fmt: skip


def _clocks(file: str, name: str, kind: DutyKind) -> list[BookFault]:
    words = _WORDS.get(kind.decided_by)
    found = []
    for word, clock in kind.clocks.items():
        at = ("duties", name, "clocks", word)
        if words is not None and word not in words:
            found.append(
                BookFault(
                    file, at, "reporting-clock-never-chosen",
                    f'the clock "{word}" is chosen by no word of {kind.decided_by}',
                    f"one of {listed(words)} is needed", nearest(word, words) or "Write one of these words.",
                )
            )  # fmt: skip
        elif clock.within is not None and not clock.to:
            found.append(
                BookFault(
                    file, (*at, "to"), "reporting-clock-never-chosen",
                    f'the clock "{word}" has a time limit, and nobody to report to', "a recipient under to is needed",
                    "Write under to who must have the report.",
                )
            )  # fmt: skip
    if kind.start is Start.MANUFACTURER_INFORMED and kind.decided_by is not DecidedBy.CLASS:
        found.append(
            BookFault(
                file, ("duties", name, "start"), "reporting-clock-never-chosen",
                "the clock starts when the manufacturer was informed, and its class does not come from duties.yml",
                f'decided_by "{DecidedBy.CLASS}" is needed', "Both stand in one record of duties.yml.",
            )
        )  # fmt: skip
    return found
