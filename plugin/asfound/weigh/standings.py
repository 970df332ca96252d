"""How each explanation stands: what the evidence listed for and against it earns, whatever status was written.

- *ruled out*: something that would have to be true was shown false by what is able to see it, with the smallest
  departure it would have seen stated, on things that were impounded and whole in custody;
- *weakened*: something that would have to be true, or was to be expected, was not so;
- *supported*: all that would have to be true was shown, by evidence of its own. That others were removed is none;
- *undetermined*: evidence, and not enough; *not tested*: none that can speak.
"""

from __future__ import annotations

from collections.abc import Iterable

from asfound.model.reasoning import Explanation, Line, Need, Status
from asfound.model.weighing import NeedOutcome, NeedState, Side, Standing, Weight
from asfound.weigh.flaws import hindered
from asfound.weigh.ground import Ground, in_order, topics_of
from asfound.weigh.source import Kind, Source

CLINICAL = frozenset({Line.PATIENT, Line.NOT_DEVICE})
"""Lines on which only a clinician can speak, where nothing of the things speaks."""


def standing(ground: Ground, ref: str, one: Explanation, whole: Standing | None = None) -> Standing:
    """How one explanation stands. `whole` is how it stands with all records, where `ground` is a strike."""
    weights = tuple(_weights(ground, ref, one)) if whole is None else tuple(_left(ground, ref, one, whole.weights))
    needs = tuple(_need(ground, ref, one, index, need, weights) for index, need in enumerate(one.needs))
    status, why = _status(ground, ref, one, weights, needs)
    aside = one.not_in_play is not None
    topics = topics_of(one)
    planned = (name for name in one.reached_by if ground.facts.planned(name) is not None)
    unable = tuple(name for name in planned if not ground.capable(name, ref, topics))
    return Standing(
        ref, one.explains, status, one.status, held(status, one.status), aside, weights, needs, why, unable
    )  # fmt: skip


def held(status: Status, claimed: Status) -> Status:
    """The weaker of what the evidence earns and what the author wrote.

    >>> str(held(Status.RULED_OUT, Status.WEAKENED)), str(held(Status.NOT_TESTED, Status.SUPPORTED))
    ('weakened', 'not tested')
    """
    against = {Status.WEAKENED, Status.RULED_OUT}
    if status in against:
        if claimed in against:
            return Status.WEAKENED if Status.WEAKENED in {status, claimed} else Status.RULED_OUT
        return Status.UNDETERMINED
    if status is Status.SUPPORTED:
        return status if claimed is Status.SUPPORTED else Status.UNDETERMINED
    return status


# --- evidence


def _weights(ground: Ground, ref: str, one: Explanation) -> Iterable[Weight]:
    for index, need in enumerate(one.needs):
        for meant, listed in ((Side.FOR, need.shown_by), (Side.AGAINST, need.shown_false_by)):
            for each in dict.fromkeys(listed):
                yield _weight(ground, ref, each, meant, index, topics_of(one, need), False)
    every = topics_of(one)
    for meant, listed in ((Side.FOR, one.supports), (Side.AGAINST, one.contradicts)):
        for each in dict.fromkeys(listed):
            yield _weight(ground, ref, each, meant, None, every, meant is Side.AGAINST and one.answer is not None)


def _left(ground: Ground, ref: str, one: Explanation, whole: Iterable[Weight]) -> Iterable[Weight]:
    """The weights that a strike leaves: what evidence weighs follows from its sources, and few of them are touched."""
    for each in whole:
        if ground.untouched(each.ref):
            yield each
        else:
            topics = topics_of(one) if each.need is None else topics_of(one, one.needs[each.need])
            yield _weight(ground, ref, each.ref, each.meant, each.need, topics, each.answered)


def speaking(ground: Ground, ref: str, evidence: str, topics: Iterable[str]) -> tuple[Source, ...]:
    """The parts of a piece of evidence that can speak to an explanation."""
    wanted = tuple(topics)
    return tuple(source for source in ground.sources(evidence) if ground.hears(source, ref, wanted))


def _names(source: Source) -> tuple[str, ...]:
    """By what a part speaks: its test, the calculation, or the records themselves."""
    if source.test:
        return (source.test,)
    return source.refs[:1] if source.kind is Kind.MODELLED else source.refs


def _weight(
    ground: Ground, ref: str, evidence: str, meant: Side, need: int | None, topics: tuple[str, ...], answered: bool
) -> Weight:
    every = ground.sources(evidence)
    able = speaking(ground, ref, evidence, topics)
    by = tuple(dict.fromkeys(name for source in able for name in _names(source)))
    deaf = tuple(name for source in every if source not in able for name in _names(source))
    if able:
        side, why = meant, ""
        if deaf:
            why = f"it speaks by {_said(by)} only; {_said(deaf)} cannot reach this"
    elif not every:
        side, why = Side.CANNOT_SPEAK, "it rests on nothing that was measured, seen, recorded or told"
    elif topics:
        side, why = Side.CANNOT_SPEAK, f"{_said(deaf)} cannot reach {_said(topics)}"
    else:
        side = Side.CANNOT_SPEAK
        why = f"no topic says what would reach this, and the plan did not say that {_said(deaf)} separates it"
    return Weight(evidence, side, meant, need, by, deaf, why, answered)


def _said(names: Iterable[str]) -> str:
    parts = tuple(names)
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def _need(ground: Ground, ref: str, one: Explanation, index: int, need: Need, weights: tuple[Weight, ...]) -> NeedState:
    shown = [each.ref for each in weights if each.need == index and each.side is Side.FOR]
    false = [each.ref for each in weights if each.need == index and each.side is Side.AGAINST]
    topics = topics_of(one, need)
    named = dict.fromkeys(
        (*need.tested_by, *(name for each in weights if each.need == index for name in (*each.by, *each.deaf)))
    )
    tests = [name for name in named if ground.facts.planned(name) is not None]
    able = [name for name in tests if ground.capable(name, ref, topics)]
    unable = tuple(name for name in tests if name not in able)
    if shown and false:
        state, by = NeedOutcome.NOT_SHOWN, in_order((*shown, *false))
    elif shown or false:
        state = NeedOutcome.SHOWN if shown else NeedOutcome.SHOWN_FALSE
        by = in_order(shown or false)
    else:
        looked = any(ground.done(name) for name in able)
        state, by = (NeedOutcome.NOT_SHOWN if looked else NeedOutcome.NOT_TESTED), ()
    return NeedState(need.claim, state, by, tuple(able), unable)


# --- status


def _status(
    ground: Ground, ref: str, one: Explanation, weights: tuple[Weight, ...], needs: tuple[NeedState, ...]
) -> tuple[Status, str]:
    pro = [each for each in weights if each.side is Side.FOR]
    contra = [each for each in weights if each.side is Side.AGAINST and each.need is None and not each.answered]
    false = [index for index, need in enumerate(needs) if need.state is NeedOutcome.SHOWN_FALSE]
    if false:
        lacking = [_lacks(ground, ref, one, index, weights) for index in false]
        if "" in lacking:
            need = needs[false[lacking.index("")]]
            show = "shows" if len(need.by) == 1 else "show"
            why = f"It would have to be true that “{_claim(need)}”; {_said(need.by)} {show} that it is not."
            return Status.RULED_OUT, why
        need = needs[false[0]]
        return Status.WEAKENED, (
            f"It would have to be true that “{_claim(need)}”; {_speak(need.by)} against that. "
            f"It is not ruled out: {lacking[0]}."
        )
    if contra and not pro:
        return Status.WEAKENED, f"{_speak(in_order(each.ref for each in contra))} against what it would show."
    if contra:
        said = _speak(in_order(each.ref for each in contra))
        return Status.UNDETERMINED, f"{said} against it, and that is not answered."
    if needs and all(need.state is NeedOutcome.SHOWN for need in needs):
        return Status.SUPPORTED, "Everything that would have to be true was shown by evidence of its own."
    if pro or any(need.state is NeedOutcome.NOT_SHOWN for need in needs):
        return Status.UNDETERMINED, _short_of(needs)
    if one.status is Status.REFERRED and one.line in CLINICAL:
        return Status.REFERRED, "Nothing of the things examined speaks to it; it is for a clinician."
    if any(each.side is Side.AGAINST for each in weights):
        return Status.UNDETERMINED, "What speaks against it was answered, and nothing speaks for it."
    deaf = [each for each in weights if each.side is Side.CANNOT_SPEAK]
    if deaf:
        return Status.NOT_TESTED, f"What is listed cannot speak to it: {deaf[0].ref}, since {deaf[0].why}."
    return Status.NOT_TESTED, "Nothing that can speak to it is listed."


def _speak(refs: tuple[str, ...]) -> str:
    return f"{_said(refs)} {'speaks' if len(refs) == 1 else 'speak'}"


def _claim(need: NeedState) -> str:
    """A claim as part of a sentence."""
    return need.claim.rstrip(".")


def _short_of(needs: tuple[NeedState, ...]) -> str:
    if not needs:
        return "It says nothing that would have to be true, so nothing can show it."
    open_ = [need for need in needs if need.state is not NeedOutcome.SHOWN]
    said = "; ".join(f"“{_claim(need)}” is {need.state}" for need in open_)
    return f"Of what would have to be true, {said}."


def _lacks(ground: Ground, ref: str, one: Explanation, index: int, weights: tuple[Weight, ...]) -> str:
    """Why a need that was shown false does not rule the explanation out; empty where it does."""
    need = one.needs[index]
    if need.detects is None:
        return "the smallest departure that would have been seen is not stated"
    reasons = [
        hindered(ground, one, each.ref, speaking(ground, ref, each.ref, topics_of(one, need)))
        for each in weights
        if each.need == index and each.side is Side.AGAINST
    ]
    return "" if "" in reasons else reasons[0]
