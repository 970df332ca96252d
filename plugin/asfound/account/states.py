"""In which state a thing was at a moment: as at the scene, as received, or after a step that altered it."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct

from asfound.account.lines import arrives
from asfound.account.stretches import Account
from asfound.model.base import Moment
from asfound.model.case import Case
from asfound.model.things import CustodyKind, ItemRole
from asfound.model.work import Tier


class State(StrEnum):
    """The states that a reading may speak of."""

    AT_SCENE = "at the scene, not yet moved"
    IN_CUSTODY = "in custody, not yet received for examination"
    AS_RECEIVED = "as received"
    ALTERED = "after a step that altered it"


class Standing(Struct, frozen=True):
    """What part a thing plays as evidence, and the moments at which its state changed; None where not on record.

    subject      whether it is a thing of the event rather than one to compare with
    moved_at     first taken from the scene
    received_at  first received by the examiner
    altered_at   first step that changed or destroyed something of it, and `altered_by`, the step
    """

    item: str
    subject: bool
    in_use: bool
    impounded: bool
    moved_at: Moment | None = None
    received_at: Moment | None = None
    altered_at: Moment | None = None
    altered_by: str = ""


def standing(case: Case, account: Account) -> Standing:
    """The part an item plays. An id that no item bears counts as neither in use nor impounded."""
    ref = account.item
    item = case.items.get(ref)
    taken = next((line for line in account.lines if line.kind is not CustodyKind.BEFORE_CUSTODY), None)
    scene = case.scene.first_move_at if case.scene is not None and item is not None and item.in_use_at_event else None
    moved = [one for one in (arrives(taken) if taken else None, scene) if one is not None]
    receipt = account.receipt(case.head.examiner)
    steps = sorted(
        (
            (step.at.at, name, step.at)
            for name, step in case.gates.steps.items()
            if ref in step.items and step.tier in {Tier.CHANGES, Tier.DESTROYS}
        ),
        key=lambda one: one[:2],
    )
    return Standing(
        ref,
        item is not None and item.role is not ItemRole.EXEMPLAR,
        item is not None and item.in_use_at_event,
        item is not None and item.impounded,
        min(moved, key=lambda one: one.at, default=None),
        arrives(receipt) if receipt is not None else None,
        steps[0][2] if steps else None,
        steps[0][1] if steps else "",
    )


def state_at(of: Standing, moment: Moment) -> State:
    """The state a thing was in. A step counts from its own moment on."""
    if of.altered_at is not None and of.altered_at <= moment:
        return State.ALTERED
    if of.received_at is not None and of.received_at <= moment:
        return State.AS_RECEIVED
    if of.moved_at is not None and of.moved_at <= moment:
        return State.IN_CUSTODY
    return State.AT_SCENE
