"""All cases of a repository: what is known already is taken, the rest is worked out, here or by others."""

from __future__ import annotations

import datetime as dt
import gc
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct, field, structs

from asfound import intake
from asfound.assess.carried import Asking, Beside, Came, OtherProgram, Unit, carry_on, lent, pack, unpack
from asfound.assess.crew import carried_out, crew, crowded
from asfound.assess.keys import ASSESSMENT, LEAD, Keys, bench_digest
from asfound.assess.outside import Outside, look_outside, outside_bytes, outside_digest, settled
from asfound.assess.repository import Repository, open_repository
from asfound.assess.run import Assessment, assessed, in_order, unique
from asfound.intake import CaseReading
from asfound.model.layout import BENCH
from asfound.model.pause import without_collecting
from asfound.store import Store, TreeFile, program_digest, take_tree, unchanged

if TYPE_CHECKING:
    from concurrent.futures import Executor

LARGEST = 128 * 1_048_576
"""Bytes of a case up to which it is sent to another machine; a larger one is assessed where it lies."""


class Remembered(Struct):
    """What one run leaves to the next: assessments by key, and by its key what was known from outside, as a digest."""

    assessments: dict[str, Assessment] = field(default_factory=dict)
    leads: dict[str, str] = field(default_factory=dict)


class Means(Struct):
    """By which means cases are assessed. None of them changes what comes of it.

    store       what was worked out before, on disk; None asks and keeps nothing
    jobs        how many processes work at once; 0 for as many as this process has processors
    scheduler   address of a Dask scheduler whose workers do the work; empty for none
    remembered  what the run before left, for a process that lives on; None remembers nothing
    beside      what is to be done with each assessment by a process of our own that carries it out
    done        what came of that, by case folder; only of cases that were carried out so
    passing     whether this process ends soon after: then what was read stays as long as it does, and the collector of
                cycles need not look through it again and again
    """

    store: Store | None = None
    jobs: int = 1
    scheduler: str = ""
    remembered: Remembered | None = None
    beside: Beside | None = None
    done: dict[str, Any] = field(default_factory=dict)
    passing: bool = False


class Faulted(Exception):
    """The program met faults of its own. `found` are the cases that could be assessed, `faults` the others."""

    def __init__(self, found: tuple[Assessment, ...], faults: tuple[tuple[str, Exception], ...]) -> None:
        self.found, self.faults = found, faults
        super().__init__("; ".join(f"{folder}: {type(error).__name__}: {error}" for folder, error in faults))


class _Piece(Struct):
    """A case on its way. `key` is empty where what comes of it is not to be kept; `came` is set where a process of ours
    looked for itself what is known of it."""

    folder: str
    tree: str = ""
    lead: str = ""
    key: str = ""
    reading: CaseReading | None = None
    outside: Outside = field(default_factory=Outside)
    came: Came | None = None


def assess_cases(
    root: Path, folders: Iterable[Path], on: dt.date, history: bool = False, means: Means | None = None
) -> tuple[Assessment, ...]:
    """Assess many cases of one repository, and see that no two bear one identity.

    In the order in which they are named, whoever works them out. Raises Faulted where the program met a fault of its
    own in some of them, NoScheduler where a scheduler does not answer, OtherProgram where its workers are others.
    """
    means = means or Means()
    keeps = means.store is not None or means.remembered is not None
    if keeps and not unchanged():
        # The files of the program changed while it runs: what a mixture of old and new says is not kept.
        means, keeps = structs.replace(means, store=None, remembered=None), False
    bench_before = bench_digest(root.resolve()) if keeps else ""
    shared = open_repository(root)
    many = _Many(shared, means, on, history, Keys(shared, bench_before, on, history) if keeps else None)
    found, faults = many.assess([folder.resolve().relative_to(shared.root).as_posix() for folder in folders])
    if means.passing:
        gc.freeze()
    bench = (*shared.problems, *shared.signers.expired(on))
    if bench:
        found.insert(0, Assessment(".asfound", None, in_order(bench)))
    told = tuple(unique(found))
    for before, after in zip(found, told, strict=True):
        if before is not after:
            # It was done with an assessment that did not know of the other case.
            means.done.pop(before.folder, None)
    if faults:
        raise Faulted(told, faults)
    return told


class _Many:
    """One run."""

    def __init__(self, shared: Repository, means: Means, on: dt.date, history: bool, keys: Keys | None) -> None:
        self._shared, self._means, self._on, self._history, self._keys = shared, means, on, history, keys
        self._store = means.store
        self._before = means.remembered or Remembered()
        self._now = Remembered()

    def assess(self, folders: list[str]) -> tuple[list[Assessment], tuple[tuple[str, Exception], ...]]:
        """The cases that could be assessed, in order, and the faults met in others."""
        done: dict[str, Assessment] = {}
        faults: dict[str, Exception] = {}
        waiting = [_Piece(folder) for folder in folders]
        for seen in (self._led_to, self._known):
            asked, waiting = waiting, []
            for piece, known in carried_out(None, seen, asked):
                if isinstance(known, Exception):
                    faults[piece.folder] = known
                elif known is None:
                    waiting.append(piece)
                else:
                    done[piece.folder] = known
            if self._elsewhere(len(waiting)):
                break
        for piece, found in self._work_out(waiting):
            if isinstance(found, OtherProgram):
                raise found
            if isinstance(found, Exception):
                faults[piece.folder] = found
            else:
                done[piece.folder] = self._keep(piece, found)
        if self._means.remembered is not None:
            # What was not asked for this time is of a state that is gone.
            self._means.remembered.assessments = self._now.assessments
            self._means.remembered.leads = self._now.leads
        if self._store is not None:
            self._store.trim()
        return [done[folder] for folder in folders if folder in done], tuple(
            (folder, faults[folder]) for folder in folders if folder in faults
        )

    def _elsewhere(self, pieces: int) -> bool:
        """Whether so many cases are for processes of ours, which can look for themselves what is known of them.

        Not where this process remembers what was before: no other sees that.
        """
        local = not self._means.scheduler and self._means.remembered is None
        return local and crowded(pieces, self._means.jobs)

    def _led_to(self, piece: _Piece) -> Assessment | None:
        """The assessment, where it was worked out before and nothing changed since that it hangs on."""
        if self._keys is None:
            return None
        piece.tree = self._keys.tree(piece.folder)
        outside = self._led(piece)
        return self._found(piece, outside) if outside else None

    def _known(self, piece: _Piece) -> Assessment | None:
        """The assessment, where it was worked out before from the very same, though other things changed since."""
        if self._keys is None or piece.key:
            return None
        self._read(piece)
        found = self._found(piece, outside_digest(piece.outside))
        if found is not None and self._keys.still(piece.folder, piece.tree):
            self._lead(piece)
        return found

    def _found(self, piece: _Piece, outside: str) -> Assessment | None:
        """What is kept under the key of a piece; notes the key."""
        assert self._keys is not None
        piece.key = self._keys.assessment(piece.folder, piece.tree, outside)
        found = self._before.assessments.get(piece.key) or self._stored(piece.key)
        if found is not None:
            if not found.lies[1]:
                found = replace(found, key=piece.key, lies=(self._keys.bench, piece.tree))
            self._now.assessments[piece.key] = found
        return found

    def _led(self, piece: _Piece) -> str:
        """The digest of what was known from outside when all that it hangs on was the same; empty where none was."""
        assert self._keys is not None
        if not self._keys.state:
            return ""
        piece.lead = self._keys.lead(piece.folder, piece.tree)
        known = self._before.leads.get(piece.lead, "")
        if not known and self._store is not None:
            known = (self._store.get(LEAD, piece.lead) or b"").decode("ascii", "replace")
        if known:
            self._now.leads[piece.lead] = known
        return known

    def _lead(self, piece: _Piece) -> None:
        """Note what was known from outside, to be led by next time. Only where the files are still those that were."""
        if self._wants_lead(piece) and settled(piece.outside, self._shared):
            self._note_lead(piece, outside_digest(piece.outside))

    def _wants_lead(self, piece: _Piece) -> bool:
        return bool(piece.lead) and piece.lead not in self._now.leads

    def _note_lead(self, piece: _Piece, outside: str) -> None:
        self._now.leads[piece.lead] = outside
        if self._store is not None:
            self._store.put(LEAD, piece.lead, outside.encode("ascii"))

    def _stored(self, name: str) -> Assessment | None:
        data = self._store.get(ASSESSMENT, name) if self._store is not None else None
        try:
            return None if data is None else unpack(data)
        except ValueError:
            return None

    def _read(self, piece: _Piece) -> CaseReading:
        if piece.reading is None:
            place = self._shared.root / piece.folder
            piece.reading = intake.read_case(self._shared.root, place, self._shared.bench, self._shared.known)
            if piece.reading.case is not None:
                piece.outside = look_outside(self._shared, piece.reading.case, self._on, self._history)
        return piece.reading

    def _work_out(self, pieces: list[_Piece]) -> Iterator[tuple[_Piece, Assessment | Exception]]:
        with crew(len(pieces), self._means.jobs, self._means.scheduler) as executor:
            if executor is None:
                yield from carried_out(None, self._assess_here, pieces)
                return
            if self._elsewhere(len(pieces)):
                yield from self._here(executor, pieces)
                return
            bench = self._bench() if self._means.scheduler else None
            here: list[_Piece] = []
            sent: dict[str, _Piece] = {}

            def units() -> Iterator[Unit]:
                for piece in pieces:
                    unit = self._unit(piece, bench)
                    if unit is None:
                        here.append(piece)
                    else:
                        sent[unit.folder] = piece
                        yield unit

            for unit, came in carried_out(executor, carry_on, units()):
                if isinstance(came, Exception):
                    yield sent[unit.folder], came
                    continue
                if came.beside is not None:
                    self._means.done[unit.folder] = came.beside
                yield sent[unit.folder], unpack(came.data)
            yield from carried_out(None, self._assess_here, here)

    def _here(self, executor: Executor, pieces: list[_Piece]) -> Iterator[tuple[_Piece, Assessment | Exception]]:
        """By processes of ours, which see what this one sees and look for themselves."""
        program, bench = program_digest(), "" if self._keys is None else self._keys.bench
        by_folder = {piece.folder: piece for piece in pieces}
        units = [
            Unit(
                piece.folder, self._on, b"", program, str(self._shared.root), beside=self._means.beside,
                asking=Asking(self._history, self._store, bench, piece.tree),
            )
            for piece in pieces
        ]  # fmt: skip
        # Reading what the others hand over leaves no cycles, and all of it stays.
        with lent(self._shared), without_collecting():
            for unit, came in carried_out(executor, carry_on, units):
                piece = by_folder[unit.folder]
                if isinstance(came, Exception):
                    yield piece, came
                    continue
                if came.beside is not None:
                    self._means.done[unit.folder] = came.beside
                if self._keys is not None:
                    piece.key = self._keys.assessment(piece.folder, piece.tree, came.outside)
                    piece.came = came
                yield piece, unpack(came.data)

    def _assess_here(self, piece: _Piece) -> Assessment:
        return assessed(self._shared, self._read(piece), self._on, piece.outside)

    def _bench(self) -> tuple[TreeFile, ...] | None:
        return take_tree(self._shared.root, BENCH, LARGEST) if (self._shared.root / BENCH).exists() else None

    def _unit(self, piece: _Piece, bench: tuple[TreeFile, ...] | None) -> Unit | None:
        """The piece as a worker takes it; None for one that can only be assessed where it lies."""
        try:
            self._read(piece)
        except Exception:
            return None
        unit = Unit(piece.folder, self._on, outside_bytes(piece.outside), program_digest(), str(self._shared.root))
        # What was read is read again by whoever carries it out; the memory is not held so long.
        piece.reading = None
        if not self._means.scheduler:
            return structs.replace(unit, beside=self._means.beside)
        case = take_tree(self._shared.root, piece.folder, LARGEST)
        if case is None or (bench is None and (self._shared.root / BENCH).exists()):
            return None
        return structs.replace(unit, root="", case=case, bench=bench)

    def _keep(self, piece: _Piece, found: Assessment) -> Assessment:
        """Keep what was worked out under its key, unless a file changed meanwhile."""
        if self._keys is None or not piece.key or not self._keys.still(piece.folder, piece.tree):
            return found
        lies = (self._keys.bench, piece.tree)
        found = self._now.assessments[piece.key] = replace(found, key=piece.key, lies=lies)
        came = piece.came
        if self._store is not None and not (came and came.kept):
            self._store.put(ASSESSMENT, piece.key, came.data if came else pack(found))
        if came is None:
            self._lead(piece)
        elif came.settled and self._wants_lead(piece):
            self._note_lead(piece, came.outside)
        return found
