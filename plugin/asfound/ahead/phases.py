"""The order of the work: what has to be done before what, and where in it each rule and each gate belongs."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from asfound.model.work import GateKind


class Phase(StrEnum):
    """Stretches of the work, in their order: nobody gets hurt, nothing gets lost, then the rest."""

    SAFE = "Make safe"
    FILES = "Files that cannot be read"
    KEEP = "Keep what there is"
    TELL = "People and parties"
    GATES = "Gates and the order of work"
    TESTS = "Tests and readings"
    FINDINGS = "Findings and conclusion"
    DUTIES = "Reports that are owed"
    SIGN = "Signatures"
    ISSUE = "Issue"


OF_TOPIC: Mapping[str, Phase] = {
    "scene": Phase.KEEP,
    "custody": Phase.KEEP,
    "people": Phase.TELL,
    "parties": Phase.TELL,
    "order": Phase.GATES,
    "plan": Phase.TESTS,
    "bench": Phase.TESTS,
    "numbers": Phase.TESTS,
    "limits_of": Phase.TESTS,
    "evidence": Phase.FINDINGS,
    "timeline": Phase.FINDINGS,
    "reasoning": Phase.FINDINGS,
    "weighing": Phase.FINDINGS,
    "workings": Phase.FINDINGS,
    "report": Phase.FINDINGS,
    "duties": Phase.DUTIES,
    "approval": Phase.SIGN,
    "editions": Phase.ISSUE,
}
"""Where what a rule says belongs, by the topic the rule stands under."""

OF_RULE: Mapping[str, Phase] = {
    # What can be had only while nothing was moved or used again; of the topic's other rules nothing is in such haste.
    "views-missing": Phase.KEEP,
    "socket-missing": Phase.KEEP,
}
"""Where what single rules say belongs, other than what their topic says."""

OF_GATE: Mapping[GateKind, Phase] = {
    GateKind.MADE_SAFE: Phase.SAFE,
    GateKind.SCENE_FROZEN: Phase.KEEP,
    GateKind.AS_FOUND_RECORDED: Phase.KEEP,
    GateKind.VOLATILE_DATA_DECIDED: Phase.KEEP,
    GateKind.IMPOUNDED: Phase.KEEP,
    GateKind.SEALED: Phase.KEEP,
    GateKind.INTEREST_DECLARED: Phase.TELL,
    GateKind.PARTIES_TOLD: Phase.TELL,
    GateKind.RECEIVED: Phase.GATES,
    GateKind.INSPECTED: Phase.GATES,
    GateKind.PLAN_SEALED: Phase.GATES,
    GateKind.PASSIVE_TESTS_DONE: Phase.GATES,
    GateKind.SAFE_TO_CONNECT: Phase.GATES,
    GateKind.LOGS_READ: Phase.GATES,
    GateKind.FUNCTION_TESTED: Phase.TESTS,
    GateKind.STATEMENTS_OPENED: Phase.FINDINGS,
    GateKind.WEIGHED: Phase.FINDINGS,
    GateKind.RECHECKED: Phase.FINDINGS,
}
"""The gates in the order they are usually passed, logs before tests that could overwrite them. The survey of the room
has no place in the row: it may be done at any time before the room is used again."""


def phase_of(topic: str, rule: str = "") -> Phase:
    """Where what a rule under a topic says belongs; what readers of files say has no topic and comes early."""
    return OF_RULE.get(rule) or OF_TOPIC.get(topic, Phase.FILES)
