"""What was weighed: how each explanation stands, how strong the conclusion may be, and on which records that hangs.

Computed on the weighing floor from what a case states and what its readings came to; nothing here is typed by anybody.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from asfound.model.reasoning import ConfidenceLevel, Status


class Side(StrEnum):
    """On which side a piece of evidence stands."""

    FOR = "for"
    AGAINST = "against"
    CANNOT_SPEAK = "cannot speak"


class NeedOutcome(StrEnum):
    """What became of something that would have to be true."""

    SHOWN = "shown"
    SHOWN_FALSE = "shown false"
    NOT_SHOWN = "not shown"
    """Looked for by something able to see it, or disputed, and not settled."""
    NOT_TESTED = "not tested"


@dataclass(frozen=True, slots=True)
class Weight:
    """One piece of evidence held against one explanation.

    ref       the finding, reading, derived result, inspection row, photograph or statement
    meant     the side it was listed on
    need      index of the need it was listed under; None for evidence on the explanation as a whole
    by        what of it speaks: planned tests by name, other records by id
    deaf      planned tests it rests on that cannot reach the matter
    answered  for evidence against: whether the explanation's `answer` speaks to it
    """

    ref: str
    side: Side
    meant: Side
    need: int | None
    by: tuple[str, ...]
    deaf: tuple[str, ...]
    why: str
    answered: bool = False


@dataclass(frozen=True, slots=True)
class NeedState:
    """What became of one need. `by` are the records that settled it; tests are planned tests by name."""

    claim: str
    state: NeedOutcome
    by: tuple[str, ...]
    capable: tuple[str, ...]
    incapable: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Standing:
    """How one explanation stands.

    status   what the evidence earns
    claimed  what the author wrote
    held     the weaker of the two: an author may be more careful than the evidence, never bolder
    aside    whether it was set aside as not in play
    why      one sentence
    unable   planned tests it says reach it, and cannot
    """

    ref: str
    explains: str
    status: Status
    claimed: Status
    held: Status
    aside: bool
    weights: tuple[Weight, ...]
    needs: tuple[NeedState, ...]
    why: str
    unable: tuple[str, ...] = ()

    @property
    def stronger(self) -> bool:
        """Whether the author's word is stronger, in either direction, than what the evidence earns."""
        return self.claimed in _STRONG and self.claimed is not self.status and not (
            self.claimed is Status.WEAKENED and self.status is Status.RULED_OUT
        )  # fmt: skip


_STRONG = frozenset({Status.SUPPORTED, Status.WEAKENED, Status.RULED_OUT})


@dataclass(frozen=True, slots=True)
class Link:
    """One link of the chain the conclusion hangs on, and how strong a conclusion it bears.

    name         what kind of link it is, in kebab-case
    caps         the strongest level it bears
    refs         the records concerned, the most telling first
    text         what is so, in a sentence
    would_raise  what would have to be done for it to bear more
    """

    name: str
    caps: ConfidenceLevel
    refs: tuple[str, ...]
    text: str
    would_raise: str


@dataclass(frozen=True, slots=True)
class Ceiling:
    """The strongest level the evidence earns, and why it is no stronger.

    named        the explanations it is about; empty where none stands out
    links        what holds it down, the weakest first
    would_raise  what would lift every link that bears no more than this level
    would_lower  records without any one of which the level would be lower
    """

    level: ConfidenceLevel
    named: tuple[str, ...]
    links: tuple[Link, ...]
    would_raise: tuple[str, ...]
    would_lower: tuple[str, ...] = ()

    @property
    def weakest(self) -> Link | None:
        """The weakest link; None where nothing holds the level down."""
        return self.links[0] if self.links else None


@dataclass(frozen=True, slots=True)
class Fall:
    """A status or a level that a strike changes: `of` is an explanation's id, `mechanism` or `reason`."""

    of: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Strike:
    """What falls when records are taken away.

    refs      what was taken away: instruments, items, photographs, statements, sheets, readings, or a role's work
    findings  findings that no longer stand
    verdicts  readings and derived results whose verdicts fall, each once
    results   derived results that can no longer be computed, or come out otherwise
    """

    refs: tuple[str, ...]
    findings: tuple[str, ...] = ()
    verdicts: tuple[str, ...] = ()
    results: tuple[str, ...] = ()
    statuses: tuple[Fall, ...] = ()
    levels: tuple[Fall, ...] = ()

    @property
    def anything(self) -> bool:
        """Whether anything falls at all."""
        return bool(self.findings or self.verdicts or self.results or self.statuses or self.levels)


@dataclass(frozen=True, slots=True)
class Weighing:
    """A case, weighed.

    named     whether the author said which explanations the mechanism and the reason name
    strikes   what falls with each record by itself; only records that anything falls with, most first
    rests_most_on  the record, no thing examined and no person, on which most rests; empty where none lowers a level
    """

    standings: tuple[Standing, ...]
    mechanism: Ceiling
    reason: Ceiling
    named: tuple[str, ...] = ()
    strikes: tuple[Strike, ...] = ()
    rests_most_on: str = ""

    def standing(self, ref: str) -> Standing | None:
        """How an explanation stands; None for an id that is none."""
        return next((one for one in self.standings if one.ref == ref), None)

    def ceiling(self, part: str) -> Ceiling:
        """The ceiling of `mechanism` or of `reason`."""
        return self.reason if part == "reason" else self.mechanism


_RANK = {
    ConfidenceLevel.UNDETERMINED: 0,
    ConfidenceLevel.POSSIBLE: 1,
    ConfidenceLevel.PROBABLE: 2,
    ConfidenceLevel.ESTABLISHED: 3,
}


def rank(level: ConfidenceLevel) -> int:
    """The order of the levels, 0 for undetermined to 3 for established. A comparison, never shown as a score."""
    return _RANK[level]
