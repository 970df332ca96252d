"""Everything that was considered, used or not: what a finding relies on, and what was only looked at.

An expert's report names the facts and data it considered, those it did not rely on as well (Federal Rules of Civil
Procedure 26(a)(2)(B)(ii); from memory). Relied on means that a finding, or an explanation or the conclusion by itself,
leads to it; what only another record cites proves that record and bears no finding.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from enum import StrEnum

from msgspec import Struct

from asfound.model.base import told
from asfound.model.case import Case
from asfound.model.ids import sort_key
from asfound.model.rests import Steps, cites, rests_on
from asfound.model.testimony import EvidenceKind
from asfound.model.verdict import Result, Verdict

OPINION = "conclusion.yml"
_NAMED = re.compile(r"(?<![\w-])M-[a-z0-9]+(?:-[a-z0-9]+)*")
_PRIVATE = "D"
"""Duties are the facility's own: no list of a report names what they cite."""


class Matter(StrEnum):
    """What kind of thing was considered."""

    FILE = "files of evidence"
    ACCOUNT = "accounts of people"
    INSTRUMENT = "instruments and their certificates"
    LITERATURE = "publications"
    STANDARD = "standards and other documents that set limits"
    ASKED = "asked for from others"


class Considered(Struct, frozen=True):
    """One thing that was considered.

    ref       its id; empty for a publication, and for what was asked for
    what      what it is called, where it has no id
    relied    findings that rest on it, and explanations and the conclusion where they cite it themselves
    cited_by  other records that cite it: gates, inspection rows, lines of custody
    count     how many readings it was held against; for standards alone
    said      what is said of it: the answer to what was asked for, what a publication says, a note
    """

    matter: Matter
    ref: str
    what: str
    relied: tuple[str, ...] = ()
    cited_by: tuple[str, ...] = ()
    count: int = 0
    said: str = ""

    @property
    def used(self) -> bool:
        """Whether anything that is concluded leads to it."""
        return bool(self.relied or self.count)


def considered(
    case: Case,
    instruments: Iterable[str],
    sets: Iterable[str],
    verdicts: Iterable[Verdict],
    results: Iterable[Result],
) -> tuple[Considered, ...]:
    """Everything considered, by kind and in the order of ids.

    `instruments` are the ids of those on record, `sets` the documents of the limit sets that were chosen, with their
    editions: one that spoke to no reading was considered too.
    """
    derived = tuple(results)
    relied, cited = _relied(case, derived), _cited(case, derived)
    known = tuple(instruments)
    relied |= _certificates(case, known, relied)

    def of(matter: Matter, ref: str, said: str = "") -> Considered:
        others = tuple(one for one in cited.get(ref, ()) if one not in relied.get(ref, ()) and one != OPINION)
        return Considered(matter, ref, "", relied.get(ref, ()), others, said=said)

    found = [of(Matter.FILE, ref, case.evidence[ref].note or "") for ref in sorted(case.evidence, key=sort_key)]
    found += [of(Matter.ACCOUNT, ref) for ref in sorted(case.statements, key=sort_key)]
    found += [of(Matter.INSTRUMENT, ref) for ref in sorted(known, key=sort_key)]
    found += _literature(case)
    found += _standards(sets, verdicts)
    found += [Considered(Matter.ASKED, "", f"{one.what}, of {one.of}", one.evidence, said=told(one.answer))
              for one in case.head.asked_for]  # fmt: skip
    return tuple(found)


def _relied(case: Case, results: tuple[Result, ...]) -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    steps: Steps = {}
    for ref in case.findings:
        for below in rests_on(case, ref, results, steps=steps):
            found.setdefault(below, []).append(ref)
    alone = [*case.explanations, *([OPINION] if case.conclusion is not None else [])]
    for ref in alone:
        for below in cites(case, ref, results):
            # What it cites by way of a finding is that finding's ground already.
            if below not in case.findings and below not in case.explanations:
                for deeper in (below, *rests_on(case, below, results, steps=steps)):
                    found.setdefault(deeper, []).append(ref)
    return {below: tuple(dict.fromkeys(refs)) for below, refs in found.items()}


def _cited(case: Case, results: tuple[Result, ...]) -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    single = ("case.yml", "injury.yml", "plan.yml", "scene.yml")
    for ref in (*sorted(case.records, key=sort_key), *single):
        if ref.startswith(_PRIVATE):
            continue
        for below in cites(case, ref, results):
            found.setdefault(below, []).append(ref)
    return {below: tuple(dict.fromkeys(refs)) for below, refs in found.items()}


def _certificates(
    case: Case, instruments: tuple[str, ...], relied: dict[str, tuple[str, ...]]
) -> dict[str, tuple[str, ...]]:
    """What relies on an instrument relies on the certificate that names it."""
    found: dict[str, tuple[str, ...]] = {}
    for ref, one in case.evidence.items():
        if one.kind is EvidenceKind.CERTIFICATE:
            named = [name for name in _NAMED.findall(one.shows) if name in instruments]
            refs = [*relied.get(ref, ()), *(by for name in named for by in relied.get(name, ()))]
            if refs:
                found[ref] = tuple(dict.fromkeys(refs))
    return found


def _literature(case: Case) -> Iterator[Considered]:
    works: dict[str, list[str]] = {}
    says: dict[str, str] = {}
    for ref in sorted(case.explanations, key=sort_key):
        for work in case.explanations[ref].literature:
            works.setdefault(work.source, []).append(ref)
            says.setdefault(work.source, work.says)
    for source, refs in works.items():
        yield Considered(Matter.LITERATURE, "", source, tuple(dict.fromkeys(refs)), said=says[source])


def _standards(sets: Iterable[str], verdicts: Iterable[Verdict]) -> Iterator[Considered]:
    subjects: dict[str, set[str]] = {}
    for verdict in verdicts:
        if verdict.limit is not None:
            subjects.setdefault(f"{verdict.limit.document}, {verdict.limit.edition}", set()).add(verdict.subject)
    for title in dict.fromkeys((*sorted(subjects), *sets)):
        yield Considered(Matter.STANDARD, "", title, count=len(subjects.get(title, ())))
