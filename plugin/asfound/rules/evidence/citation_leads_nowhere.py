"""Every citation leads to a record, of a kind that can be cited there.

Asked of every field that holds ids and of every `[F-1]` and `[=R-flow-4]` in every text, found from the records
themselves. Where a finding rests on an explanation, or a value is printed of something that has none, the citation
is refused although the record exists. Instruments and planned tests of sheets are asked for by rules of their own.

Fails: `rests_on: [R-flow-40]`, of a sheet with six rows; a finding that `rests_on: [X-1]`.
Passes: every id stands in the case, and facts rest on facts.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from difflib import get_close_matches

from asfound.model.facts import Facts
from asfound.model.ids import KINDS, kind_of
from asfound.model.prose import read_prose
from asfound.model.walk import Spot, SpotKind, walk_case
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids

ENTRY = Entry(
    name="citation-leads-nowhere",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Every citation leads to a record, of a kind that can be cited there.",
    reason="A sentence whose support cannot be found has none.",
    source="common practice, no source",
    status="common practice",
    mend="Correct the id, or add the record it names.",
    rows=("R96",),
)

FACTS = frozenset("ABCEGHIKLNRSTUVWYZ")
"""Kinds that are facts: what was seen, measured, found, told, done."""
_FINDINGS = FACTS | {"F"}
_OPINIONS = FACTS | {"F", "X"}
_ANY = frozenset(KINDS)

ALLOWED: Mapping[tuple[str, str], frozenset[str]] = {
    ("*", "items"): frozenset("I"),
    ("*", "item"): frozenset("I"),
    ("*", "about"): frozenset("I"),
    ("*", "part_of"): frozenset("I"),
    ("*", "accessories"): frozenset("I"),
    ("*", "compares_with"): frozenset("I"),
    ("*", "evidence"): frozenset("E"),
    ("*", "derived_from"): frozenset("E"),
    ("*", "clock"): frozenset("K"),
    ("*", "repeats_of"): frozenset("S"),
    ("*", "repeat_of"): frozenset("R"),
    ("*", "separates"): frozenset("X"),
    ("*", "alternatives"): frozenset("X"),
    ("*", "explanations"): frozenset("X"),
    ("*", "arithmetic"): _FINDINGS,
    ("*", "consents"): frozenset("EN"),
    ("*", "consents_to"): frozenset("BIPS"),
    ("*", "order"): frozenset("EN"),
    ("*", "procedure"): frozenset("E"),
    ("*", "video"): frozenset("E"),
    ("*", "asked"): frozenset("N"),
    ("*", "releases"): frozenset("EN"),
    ("*", "source"): FACTS,
    ("Stated", "from_"): FACTS,
    ("Finding", "rests_on"): FACTS,
    ("Gate", "rests_on"): _FINDINGS,
    ("Carried", "rests_on"): _FINDINGS,
    ("*", "supports"): _FINDINGS,
    ("*", "contradicts"): _FINDINGS,
    ("*", "shown_by"): _FINDINGS,
    ("*", "shown_false_by"): _FINDINGS,
    ("*", "rests_on"): _OPINIONS,
    ("*", "subject"): _ANY,
    ("*", "concerns"): _ANY,
}
"""Letters a field may cite, by record and field; `*` for any record."""


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a citation that leads nowhere or to the wrong kind; one for all where none of the kind exists."""
    case = facts.case
    present = {ref[0] for ref in (*case.records, *case.broken, *facts.instruments)} | {"Y"}
    lost: dict[str, list[str]] = {}
    for problem, ref in _each(facts):
        if ref and ref[0] not in present and ref[0] in KINDS:
            lost.setdefault(ref[0], []).append(ref)
        else:
            yield problem
    for letter, refs in lost.items():
        what, file = KINDS[letter]
        yield facts.problem(
            ENTRY,
            file.removesuffix("/"),
            found=f"{len(refs)} citation{'s name' if len(refs) > 1 else ' names'} {ids(refs, 4)}, and no {what} exists",
            needed="the file with these records is needed",
            mend=f"Put {file} back, or write it." if len(refs) > 1 else "",
        )


def _each(facts: Facts) -> Iterator[tuple[Problem, str]]:
    """Each problem, with the id that leads nowhere where it is of that sort."""
    for spot in walk_case(facts.case):
        if spot.kind is SpotKind.REF:
            lost = not facts.exists(spot.value)
            yield from ((problem, spot.value if lost else "") for problem in _field(facts, spot))
        elif spot.kind is SpotKind.TEST and spot.model != "Sheet":
            yield from ((problem, "") for problem in _test(facts, spot))
        elif spot.kind is SpotKind.PROSE:
            yield from _text(facts, spot)


def _field(facts: Facts, spot: Spot) -> Iterator[Problem]:
    if (spot.model, spot.field) == ("Sheet", "instrument"):
        return
    ref = spot.value
    if not facts.exists(ref):
        yield _nowhere(facts, spot, ref)
        return
    allowed = ALLOWED.get((spot.model, spot.field), ALLOWED.get(("*", spot.field), _ANY))
    if ref[0] not in allowed:
        yield facts.problem(
            ENTRY,
            spot.where,
            *spot.path,
            about=spot.value,
            found=f'"{spot.field}" names {ref}, {_a(kind_of(ref))}',
            needed=f"{_kinds(allowed)} is needed here",
            mend="Cite the record that shows it; opinions rest on facts, not facts on opinions.",
        )


def _test(facts: Facts, spot: Spot) -> Iterator[Problem]:
    plan = facts.case.plan
    if plan is not None and spot.value in plan.tests:
        return
    if f"P-{spot.value}" in facts.case.broken or facts.case.unread(f"P-{spot.value}"):
        return
    near = get_close_matches(spot.value, plan.tests if plan is not None else (), 1)
    yield facts.problem(
        ENTRY,
        spot.where,
        *spot.path,
        about=spot.value,
        found=f'"{spot.value}" is no planned test' + (f"; there is {near[0]}" if near else ""),
        needed="the name of a test in plan.yml is needed",
        mend="Correct the name, or add the test to plan.yml with why it was added.",
    )


def _text(facts: Facts, spot: Spot) -> Iterator[tuple[Problem, str]]:
    text = read_prose(spot.value)
    printed = {node.text for node in text.walk() if node.kind == "value"}
    for ref in text.refs:
        if not facts.exists(ref):
            yield _nowhere(facts, spot, ref), ref
        elif ref in printed and ref[0] not in "RY":
            problem = facts.problem(
                ENTRY,
                spot.where,
                *spot.path,
                about=ref,
                found=f"the text prints the value of {ref}, {_a(kind_of(ref))}, which has none",
                needed="a reading or a derived result is needed after =",
                mend=f"Write [{ref}] to link it, or name the reading whose value is meant.",
            )
            yield problem, ""


def _nowhere(facts: Facts, spot: Spot, ref: str) -> Problem:
    known = [*facts.case.records, *facts.instruments, *facts.result]
    near = get_close_matches(ref, [one for one in known if one[0] == ref[0]], 1)
    what, file = KINDS.get(ref[0], ("record", ""))
    return facts.problem(
        ENTRY,
        spot.where,
        *spot.path,
        about=ref,
        found=f"{ref} leads nowhere" + (f"; there is {near[0]}" if near else ""),
        needed=f"{_a(what)} that exists is needed" + (f" ({file})" if file else ""),
    )


def _a(kind: str) -> str:
    kind = {"evidence": "piece of evidence", "service history": "line of the service history"}.get(kind, kind)
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"


def _kinds(allowed: frozenset[str]) -> str:
    if allowed >= FACTS:
        return "something seen, measured, told or done" + (", or a finding" if "F" in allowed else "")
    return " or ".join(_a(KINDS[letter][0]) for letter in sorted(allowed))
