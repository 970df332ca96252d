"""The strongest level the evidence earns, for the mechanism and for the reason, link by link.

Every cap is a link with the records concerned and a sentence; the level is what the weakest link bears. An author may
hold less, never more.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from asfound.model.base import told
from asfound.model.ids import sort_key
from asfound.model.prose import read_prose
from asfound.model.reasoning import ConfidenceLevel, Opinion, Status
from asfound.model.things import ItemRole
from asfound.model.weighing import Ceiling, Link, NeedOutcome, Side, Standing, Weight, rank
from asfound.model.work import SheetMoment
from asfound.weigh.chain import link, order
from asfound.weigh.flaws import best, flaws, in_doubt
from asfound.weigh.ground import Ground, in_order, topics_of
from asfound.weigh.intermittent import provoked
from asfound.weigh.source import Kind
from asfound.weigh.standings import speaking

_DOWN = frozenset({Status.WEAKENED, Status.RULED_OUT})


def ceiling(ground: Ground, part: str, standings: Mapping[str, Standing], mechanism: Ceiling | None = None) -> Ceiling:
    """The ceiling of `mechanism` or, where that of the mechanism is handed in, of `reason`."""
    named = named_by(ground, part, standings)
    links: list[Link] = []
    if not named:
        links += _nothing_named(part, standings)
    for ref in named:
        links += _of_named(ground, standings[ref])
    if named:
        links += _of_rivals(ground, part, named, standings)
        links += _of_case(ground, part, named, standings)
    if mechanism is not None and named and rank(mechanism.level) < rank(ConfidenceLevel.ESTABLISHED):
        said = mechanism.weakest.refs if mechanism.weakest else ()
        text = f"How it happened is no more than {mechanism.level}, and why it came to be so hangs on that."
        links.append(link("mechanism-no-stronger", said, text, mechanism.level))
    links = sorted(dict.fromkeys(links), key=_key)
    level = min((one.caps for one in links), key=rank, default=ConfidenceLevel.ESTABLISHED)
    raise_ = tuple(dict.fromkeys(one.would_raise for one in links if one.caps is level))
    return Ceiling(level, named, tuple(links), raise_)


def _key(one: Link) -> tuple[int, int, list[object], str]:
    return rank(one.caps), order(one), [sort_key(ref) for ref in one.refs], one.text


def named_by(ground: Ground, part: str, standings: Mapping[str, Standing]) -> tuple[str, ...]:
    """The explanations a part of the conclusion names; where it names none, the only one the author holds supported.

    For the reason nothing is taken for granted: an explanation that nobody named there is not its reason.
    """
    opinion = opinion_of(ground, part)
    if opinion is not None and opinion.explanations:
        return in_order(ref for ref in opinion.explanations if ref in standings)
    if part == "reason":
        return ()
    only = [ref for ref, one in standings.items() if one.explains == part and one.claimed is Status.SUPPORTED]
    return (only[0],) if len(only) == 1 else ()


def opinion_of(ground: Ground, part: str) -> Opinion | None:
    """What the author concluded of the mechanism or of the reason."""
    made = ground.case.conclusion
    if made is None:
        return None
    return made.reason if part == "reason" else made.mechanism


# --- the explanations named


def _nothing_named(part: str, standings: Mapping[str, Standing]) -> Iterator[Link]:
    same = [one for one in standings.values() if one.explains == part and not one.aside]
    alive = in_order(one.ref for one in same if _threat(one) >= 1)
    if not alive:
        how = "how it happened" if part == "mechanism" else "why it came to be so"
        yield link("no-explanation", (), f"No explanation of {how} is on record that still stands.")
    elif part == "reason":
        yield link("none-stands-out", alive, f"The conclusion names no reason; {_said(alive)} {_stand(alive)} open.")
    else:
        strong = in_order(one.ref for one in same if _threat(one) == 3)
        if len(strong) > 1:
            text = f"{_said(strong)} are all supported, and the conclusion does not say which it names."
            yield link("none-stands-out", strong, text)
        else:
            text = f"No explanation is supported; {_said(alive)} {_stand(alive)} open and nothing parts them."
            yield link("none-stands-out", alive, text)


def _stand(refs: tuple[str, ...]) -> str:
    return "stands" if len(refs) == 1 else "stand"


def _of_named(ground: Ground, one: Standing) -> Iterator[Link]:
    ref = one.ref
    if one.held in _DOWN:
        yield link("named-has-fallen", (ref,), f"{ref} is {one.held}. {one.why}")
        return
    if _threat(one) < 2:
        yield link("named-has-nothing", (ref,), f"{ref} is {one.held}: nothing speaks for it.")
        return
    against = in_order(
        each.ref for each in one.weights if each.side is Side.AGAINST and each.need is None and not each.answered
    )
    if against:
        speak = "speaks" if len(against) == 1 else "speak"
        yield link("contradiction-unanswered", (ref, *against), f"{_said(against)} {speak} against {ref}, unanswered.")
    if not one.needs:
        yield link("need-not-shown", (ref,), f"{ref} says nothing that would have to be true.")
    elif one.claimed is not Status.SUPPORTED and one.status is Status.SUPPORTED:
        yield link("need-not-shown", (ref,), f"The author holds {ref} as {one.claimed}, not as supported.")
    for index, need in enumerate(one.needs):
        claim = need.claim.rstrip(".")
        said = f"For {ref} it would have to be true that “{claim}”"
        if need.state is NeedOutcome.SHOWN:
            yield from _way(ground, ref, index, one.weights)
        elif need.state is NeedOutcome.NOT_TESTED and need.incapable:
            tests = tuple(f"P-{name}" for name in need.incapable)
            reach = "cannot" if len(tests) == 1 else "can none of them"
            yield link("need-out-of-reach", (ref, *tests), f"{said}; {_said(tests)} {reach} reach that.")
        elif need.state is NeedOutcome.NOT_TESTED:
            yield link("need-untested", (ref,), f"{said}; that was not tested.")
        elif need.by:
            yield link("need-in-dispute", (ref, *need.by), f"{said}; {_said(need.by)} speak on both sides.")
        else:
            yield link("need-not-shown", (ref,), f"{said}; it was looked for and is not shown.")


def _way(ground: Ground, ref: str, index: int, weights: Iterable[Weight]) -> tuple[Link, ...]:
    """What is wrong with the best way by which a need was shown."""
    one = ground.case.explanations[ref]
    topics = topics_of(one, one.needs[index])

    def of(evidence: str) -> tuple[Link, ...]:
        return flaws(ground, one, evidence, speaking(ground, ref, evidence, topics))

    return best(
        ground.kept((ref, index, each.ref), of) for each in weights if each.need == index and each.side is Side.FOR
    )


# --- its rivals


def _threat(one: Standing) -> int:
    """How much of a rival an explanation is: 3 supported, 2 something speaks for it, 1 open, 0 down or not ours."""
    if one.status is Status.SUPPORTED and one.claimed is Status.SUPPORTED:
        return 3
    if one.held in _DOWN or one.held is Status.REFERRED:
        return 0
    return 2 if any(each.side is Side.FOR for each in one.weights) else 1


def _as_rival(one: Standing) -> int:
    # What a careful author holds back from a rival does not make the rival weaker.
    return 3 if one.status is Status.SUPPORTED else _threat(one)


def _of_rivals(ground: Ground, part: str, named: tuple[str, ...], standings: Mapping[str, Standing]) -> Iterator[Link]:
    rivals = [one for ref, one in standings.items() if one.explains == part and ref not in named]
    if all(one.aside and _as_rival(one) < 2 for one in rivals):
        yield link("no-rival", named, f"{_said(named)} has no rival that was weighed.")
        return
    least = min(_threat(standings[ref]) for ref in named)
    for one in rivals:
        ref, threat = one.ref, _as_rival(one)
        if one.aside and threat < 2:
            why = ground.case.explanations[ref].not_in_play
            if why is not None and not read_prose(told(why)).refs:
                text = f"{ref} was set aside as not in play, and no record is cited for that."
                yield link("set-aside-on-words", (ref,), text)
        elif threat == 0:
            yield from _down(ground, one)
            yield from _down_on_the_line(ground, one)
        elif threat >= 2 and threat >= least:
            held = "is supported as well" if threat == 3 else "is as well supported as what is named"
            yield link("rival-at-same-level", (ref, *named), f"{ref} {held}, and the conclusion does not name it.")
        elif _separated(ground, named, standings, ref):
            tested = "was not tested" if one.status is Status.NOT_TESTED else "still stands"
            text = f"{ref} {tested}; what shows {_said(named)} parts the two, and does not rule it out."
            yield link("rival-standing", (ref,), text)
        elif one.status is Status.NOT_TESTED:
            yield link("rival-not-tested", (ref,), f"{ref} was not tested.")
        else:
            yield link(
                "rival-not-separated", (ref, *named), f"{ref} still stands, and nothing parts it from what is named."
            )


def _down(ground: Ground, one: Standing) -> Iterator[Link]:
    """A rival that gave way, but not to a test."""
    if one.held is Status.REFERRED or one.held is Status.RULED_OUT:
        return
    if not _tests_against(ground, one):
        text = f"{one.ref} is weakened by what was seen or told, and by no test able to reach it."
        yield link("rival-only-observed", (one.ref,), text)


def _tests_against(ground: Ground, one: Standing) -> dict[str, tuple[str, ...]]:
    """What speaks against an explanation, unanswered, by a planned test → those tests."""
    found = {
        each.ref: tuple(name for name in each.by if ground.facts.planned(name) is not None)
        for each in one.weights
        if each.side is Side.AGAINST and not each.answered
    }
    return {ref: names for ref, names in found.items() if names}


def _down_on_the_line(ground: Ground, one: Standing) -> tuple[Link, ...]:
    """What leaves open whether a rival gave way: verdicts on what tests show against it, or another instrument.

    The best of it counts.
    """
    ways = []
    for ref, names in _tests_against(ground, one).items():
        cited = (source.refs for source in ground.sources(ref) if source.kind is Kind.TEST and source.test in names)
        ways.append(tuple(in_doubt(ground, [each for refs in cited for each in refs])))
    return best(ways)


def _separated(ground: Ground, named: tuple[str, ...], standings: Mapping[str, Standing], rival: str) -> bool:
    """Whether each explanation named was shown by a test that the plan chose to part it from the rival."""
    for ref in named:
        tests = {
            name
            for each in standings[ref].weights
            if each.side is Side.FOR and each.need is not None
            for name in each.by
        }
        if not any((chosen := ground.facts.planned(name)) is not None and rival in chosen.separates for name in tests):
            return False
    return True


# --- the case as a whole


def _of_case(ground: Ground, part: str, named: tuple[str, ...], standings: Mapping[str, Standing]) -> Iterator[Link]:
    yield from _exceptions(ground, named, standings)
    yield from in_doubt(ground, list(_rests_on(ground, part)))
    if part == "mechanism":
        yield from _settings(ground)
        if not _reproduced(ground, named, standings):
            said = f"Nothing that shows {_said(named)} was measured on the things themselves"
            yield link("not-reproduced", named, f"{said}, set and fitted as at the event.")
        yield from _intermittent(ground)
    yield from _people(ground)


def _rests_on(ground: Ground, part: str) -> Iterator[str]:
    """The readings and results that a part of the conclusion rests on by its own word."""
    made, opinion = ground.case.conclusion, opinion_of(ground, part)
    if made is None or opinion is None:
        return
    carried = made.carried_by if part == "mechanism" else ()
    for ref in dict.fromkeys((*opinion.rests_on, *(ref for one in carried for ref in one.rests_on))):
        for source in ground.sources(ref):
            yield from source.refs


def _exceptions(ground: Ground, named: tuple[str, ...], standings: Mapping[str, Standing]) -> Iterator[Link]:
    every = ground.case.exceptions
    if not every:
        return
    chain = _chain(ground, named, standings)
    on = [ref for ref, one in every.items() if one.subject is not None and one.subject in chain]
    off = in_order(ref for ref in every if ref not in on)
    for ref in in_order(on):
        subject = every[ref].subject
        text = f"{ref} lifts the rule {every[ref].rule} for {subject}, on which the conclusion hangs."
        yield link("exception-on-the-way", (ref, str(subject)), text)
    if len(off) > 1:
        yield link("exceptions", off, f"{_said(off)} lift rules elsewhere in the case.")
    elif off:
        yield link("exception", off, f"{off[0]} lifts the rule {every[off[0]].rule} elsewhere in the case.")


def _chain(ground: Ground, named: tuple[str, ...], standings: Mapping[str, Standing]) -> set[str]:
    """Every record that what is named hangs on: its evidence, the sheets, items and instruments behind it."""
    found: set[str] = set(named)
    for ref in named:
        for each in standings[ref].weights:
            if each.side is not Side.FOR:
                continue
            found.add(each.ref)
            finding = ground.case.findings.get(each.ref)
            found.update(finding.about if finding is not None else ())
            for source in ground.sources(each.ref):
                found.update(source.refs)
                found.update(source.items)
                for name in (ground.sheet_of(one) for one in source.refs):
                    if name:
                        sheet = ground.case.sheets[name]
                        found.update((name, sheet.instrument, f"P-{source.test}", *sheet.accessories))
    found.update(line.id for line in ground.case.custody if found.intersection(line.items))
    return found


def _settings(ground: Ground) -> Iterator[Link]:
    scene = ground.case.scene
    known = {one.item for ref, one in scene.settings.items() if ground.alive(ref)} if scene is not None else set()
    for ref, item in sorted(ground.case.items.items(), key=lambda pair: sort_key(pair[0])):
        if item.role is ItemRole.MAIN_DEVICE and item.has_settings and ref not in known:
            yield link("as-found-unknown", (ref,), f"How {ref} was set when it was found is not on record.")


def _reproduced(ground: Ground, named: tuple[str, ...], standings: Mapping[str, Standing]) -> bool:
    """Whether something that shows each explanation was measured on the subject, set and fitted as at the event."""
    return all(
        any(
            _as_at_event(ground, name)
            for each in standings[ref].weights
            if each.side is Side.FOR and each.need is not None
            for source in ground.sources(each.ref)
            if source.kind is Kind.TEST and source.test in each.by
            for name in (ground.sheet_of(one) for one in source.refs)
            if name
        )
        for ref in named
    )


def _as_at_event(ground: Ground, name: str) -> bool:
    sheet = ground.case.sheets[name]
    return (
        sheet.as_found_settings
        and sheet.moment is not SheetMoment.AFTER_ADJUSTMENT
        and not ground.exemplars.intersection((sheet.item, *sheet.accessories))
        and ground.answered(name)
    )


def _intermittent(ground: Ground) -> Iterator[Link]:
    teller = ground.told_intermittent
    if teller and not provoked(ground.case, ground.rows):
        who = teller[0].upper() + teller[1:]
        text = f"{who} tells of something that comes and goes, and nothing was done to provoke it."
        yield link("intermittent-not-provoked", (teller,) if teller[:2] == "W-" else (), text)


def _people(ground: Ground) -> Iterator[Link]:
    of = ground.independence
    if not of.declared:
        yield link("not-independent", (), "The examiner has declared no interest, nor the lack of one.")
    elif not of.independent:
        refs = tuple(dict.fromkeys(tie.where[0] for tie in of.ties if "." not in tie.where[0]))
        yield link("not-independent", refs, f"The examiner {_said(tuple(tie.found for tie in of.ties))}.")
    if not of.reviewed:
        yield link("not-reviewed", (), "Nobody but the examiner has reviewed the case.")


def _said(names: Iterable[str]) -> str:
    parts = tuple(names)
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
