"""What is wrong with a piece of evidence that a conclusion hangs on: its thing, its custody, its instrument, its time.

Of several ways by which the same is shown, the best one counts: a second instrument that is in date mends one that is
not, and no piece of evidence, however poor, makes a good one worse.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from asfound.account import HoleKind
from asfound.model.limits import SourceStatus
from asfound.model.reasoning import ConfidenceLevel, Explanation
from asfound.model.testimony import Evidence
from asfound.model.things import ItemRole
from asfound.model.verdict import Outcome
from asfound.model.weighing import Link, rank
from asfound.model.work import Sheet, SheetMoment
from asfound.weigh.chain import link, order
from asfound.weigh.compared import disagreements
from asfound.weigh.ground import Ground
from asfound.weigh.instruments import of_instrument
from asfound.weigh.source import Kind, Source

_CONDITIONAL = frozenset({Outcome.CONDITIONAL_PASS, Outcome.CONDITIONAL_FAIL})
_JUDGED = frozenset({Outcome.PASS, Outcome.FAIL}) | _CONDITIONAL


def flaws(ground: Ground, one: Explanation, evidence: str, sources: Sequence[Source]) -> tuple[Link, ...]:
    """Everything that weakens one piece of evidence, by the parts of it that speak."""
    parts = _with_inputs(ground, sources)
    found: list[Link] = []
    for item in bodily(ground, one, evidence, parts):
        found += of_item(ground, item)
    for test in (part for part in parts if part.kind is Kind.TEST):
        found += _of_test(ground, one, evidence, test)
    models = [part for part in parts if part.kind is Kind.MODELLED]
    if models and not any(part.kind in {Kind.TEST, Kind.SEEN, Kind.PICTURED} and part in sources for part in parts):
        refs = tuple(part.refs[0] for part in models)
        text = f"{evidence} rests on a model ({', '.join(refs)}), and on no measurement of the same."
        found.append(link("only-modelled", (evidence, *refs), text))
    if parts and all(part.kind is Kind.TOLD for part in parts):
        refs = tuple(ref for part in parts for ref in part.refs)
        text = f"{evidence} rests on what was told ({', '.join(refs)}), and on nothing else."
        found.append(link("only-told", (evidence, *refs), text))
    found += _of_time(ground, evidence, parts)
    return tuple(dict.fromkeys(found))


def _with_inputs(ground: Ground, sources: Iterable[Source]) -> tuple[Source, ...]:
    """The parts of a piece of evidence, and what went into each model among them: its flaws are the model's too."""
    parts = tuple(sources)
    more = tuple(one for part in parts if part.kind is Kind.MODELLED for one in ground.inputs(part))
    return (*parts, *(one for one in more if one not in parts))


def best(ways: Iterable[tuple[Link, ...]]) -> tuple[Link, ...]:
    """The way with the least wrong: the one whose weakest link bears most, then the one with the fewest links."""
    return min(ways, key=_badness, default=())


def _badness(links: tuple[Link, ...]) -> tuple[int, int, tuple[int, ...]]:
    weakest = min((rank(one.caps) for one in links), default=9)
    return -weakest, len(links), tuple(order(one) for one in links)


# --- the thing


def bodily(ground: Ground, one: Explanation, evidence: str, parts: Iterable[Source]) -> tuple[str, ...]:
    """The things of the event whose own state the evidence speaks of, so that their custody matters.

    What was recorded, pictured or told before anyone had charge of them does not hang on it.
    """
    finding = ground.case.findings.get(evidence)
    found: dict[str, None] = dict.fromkeys(one.items)
    for part in parts:
        pictured = part.kind is Kind.PICTURED and not any(_as_found(ground, ref) for ref in part.refs)
        if part.kind in {Kind.TEST, Kind.SEEN} or pictured:
            found.update(dict.fromkeys(part.items if finding is None or part.kind is not Kind.PICTURED else ()))
            found.update(dict.fromkeys(finding.about if finding is not None else ()))
            for name in _sheets(ground, part):
                found.update(dict.fromkeys(ground.case.sheets[name].accessories))
    return tuple(ref for ref in found if ref in ground.case.items and ref not in ground.exemplars)


def _as_found(ground: Ground, ref: str) -> bool:
    evidence = ground.case.evidence.get(ref)
    return evidence is not None and evidence.as_found


def of_item(ground: Ground, ref: str) -> Iterator[Link]:
    """What is wrong with a thing as evidence: not impounded, or a hole in its custody."""
    item = ground.case.items[ref]
    if not item.impounded:
        if not item.in_use_at_event:
            return
        main = item.role is ItemRole.MAIN_DEVICE
        yield link("device-not-impounded" if main else "item-not-impounded", (ref,), f"{ref} was not impounded.")
        return
    account = ground.accounts.get(ref)
    if account is None:
        return
    if not account.lines:
        yield link("custody-unaccounted", (ref,), f"No line of custody is on record for {ref}.")
        return
    told = [hole.line.id for hole in account.holes if hole.kind is HoleKind.BEFORE_TOLD]
    broken = [hole.line.id for hole in account.holes if hole.kind is not HoleKind.BEFORE_TOLD]
    broken += [clash.line.id for clash in account.clashes] + [seal.line.id for seal in account.seals]
    if broken:
        text = f"For a while nobody can account for {ref}, or its seal is not the one that was put on."
        yield link("custody-unaccounted", (ref, *dict.fromkeys(broken)), text)
    elif told:
        text = f"For a while nobody had charge of {ref}; who found it, where and when, is on record."
        yield link("custody-accounted", (ref, *dict.fromkeys(told)), text)


def hindered(ground: Ground, one: Explanation, evidence: str, sources: Sequence[Source]) -> str:
    """Why a piece of evidence cannot rule anything out, as a clause; empty where it can.

    What is ruled out must have been looked for on things that were there and whole in custody, unadjusted, with an
    instrument that was in date.
    """
    parts = _with_inputs(ground, sources)
    if parts and all(part.kind is Kind.MODELLED for part in sources):
        return "it rests on a model alone"
    for item in bodily(ground, one, evidence, parts):
        for each in of_item(ground, item):
            state = "was not impounded" if each.name.endswith("impounded") else "was not in custody all the time"
            return f"{item} {state}"
    if parts and all(part.kind is Kind.TOLD for part in parts):
        return "it was only told"
    for test in (part for part in parts if part.kind is Kind.TEST):
        for each in _of_test(ground, one, evidence, test):
            if each.name.startswith("exemplar") and ground.case.sheets[each.refs[-1]].item == each.refs[0]:
                return f"{each.refs[0]} is an exemplar"
            if each.name in {"instrument-unfit", "instrument-indicative"}:
                return f"nobody vouches for {each.refs[0]} at that time"
            if each.name == "instruments-disagree" and each.caps is ConfidenceLevel.POSSIBLE:
                return f"another instrument put it on the other side of its limit ({each.refs[0]})"
            if each.name == "after-adjustment":
                return f"it was read after adjustment ({each.refs[0]})"
    return ""


# --- the test


def _sheets(ground: Ground, part: Source) -> tuple[str, ...]:
    names = (ground.sheet_of(ref) for ref in part.refs)
    return tuple(dict.fromkeys(name for name in names if name))


def _of_test(ground: Ground, one: Explanation, evidence: str, part: Source) -> tuple[Link, ...]:
    names = _sheets(ground, part)
    ways = (tuple(_of_sheet(ground, one, evidence, name, part)) for name in names)
    return best(ways)


def _of_sheet(ground: Ground, one: Explanation, evidence: str, name: str, part: Source) -> Iterator[Link]:
    sheet = ground.case.sheets[name]
    yield from _of_exemplar(ground, one, evidence, name, sheet)
    yield from of_instrument(ground, name, sheet)
    if sheet.moment is SheetMoment.AFTER_ADJUSTMENT:
        yield link("after-adjustment", (name, sheet.item), f"{name} was read after {sheet.item} had been adjusted.")
    yield from _of_limit(ground, name, part)
    yield from in_doubt(ground, [ref for ref in part.refs if ground.sheet_of(ref) == name])


def _of_exemplar(ground: Ground, one: Explanation, evidence: str, name: str, sheet: Sheet) -> Iterator[Link]:
    if sheet.item in ground.exemplars:
        finding = ground.case.findings.get(evidence)
        suspected = {*one.items, *(finding.about if finding is not None else ())}
        subject = ground.case.items[sheet.item].compares_with
        kind = "exemplar-instead" if subject is None or subject in suspected else "exemplar-fitted"
        yield link(kind, (sheet.item, name), f"It was shown on {sheet.item}, an exemplar, and not on the thing in use.")
        return
    fitted = tuple(ref for ref in sheet.accessories if ref in ground.exemplars)
    if fitted:
        said = " and ".join(fitted)
        are = "is an exemplar" if len(fitted) == 1 else "are exemplars"
        yield link("exemplar-fitted", (*fitted, name), f"In {name} {said} {are} and stood in for what was in use.")


def _of_limit(ground: Ground, name: str, part: Source) -> Iterator[Link]:
    """Limits nobody held against their document, where no confirmed one speaks of the same readings."""
    for ref in part.refs:
        if ground.sheet_of(ref) != name or ref == name:
            continue
        judged = [
            verdict.limit
            for verdict in ground.facts.verdicts_of.get(ref, ())
            if verdict.limit is not None and verdict.outcome in _JUDGED
        ]
        if judged and all(limit.status is not SourceStatus.CONFIRMED for limit in judged):
            text = f"The verdict on {ref} rests on a limit that nobody held against its document ({judged[0].id})."
            yield link("limit-unconfirmed", (ref,), text)
            return


def in_doubt(ground: Ground, refs: Sequence[str]) -> Iterator[Link]:
    """What leaves open what some readings and results say: another instrument, or their own doubt."""
    yield from disagreements(ground, refs)
    yield from of_verdicts(ground, refs)


def of_verdicts(ground: Ground, refs: Iterable[str]) -> Iterator[Link]:
    """Readings and results whose doubt reaches over every limit they are held against: their side is open."""
    for ref in refs:
        said = {one.outcome for one in ground.facts.verdicts_of.get(ref, ()) if one.outcome in _JUDGED}
        if said and said <= _CONDITIONAL:
            told = " and a ".join(sorted(map(str, said)))
            yield link("verdict-conditional", (ref,), f"{ref} is a {told}: its doubt reaches over the limit.")


# --- the time


def _of_time(ground: Ground, evidence: str, parts: tuple[Source, ...]) -> Iterator[Link]:
    """Pictures without a time that can be shown, where nothing else shows the same."""
    if not parts or any(part.kind is not Kind.PICTURED for part in parts):
        return
    refs = tuple(ref for part in parts for ref in part.refs)
    if all(not _timed(ground, ground.case.evidence[ref]) for ref in refs):
        text = "It is shown by pictures alone, and when they were taken cannot be shown."
        yield link("time-not-provable", (*refs, evidence), text)


def _timed(ground: Ground, evidence: Evidence) -> bool:
    clock = ground.case.clocks.get(evidence.clock or "")
    known = clock is not None and bool(clock.comparisons) and ground.alive(evidence.clock or "")
    return evidence.taken_at is not None and known
