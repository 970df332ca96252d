"""The repository around a case: its root, the organisation's files, the book of limits and protocols."""

from __future__ import annotations

import os
from collections.abc import Mapping
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct, field

from asfound import intake, limits, seal
from asfound.assess.chronicle import Chronicle
from asfound.assess.faults import book_problems
from asfound.assess.tags import TagBook, read_tags
from asfound.intake import BenchReading
from asfound.model.dossier import Dossier
from asfound.model.layout import BENCH
from asfound.model.limits import Book
from asfound.model.reporting import Reporting
from asfound.problems import Problem
from asfound.seal import Signers

if TYPE_CHECKING:
    from asfound.compare import Difference

SIGNERS = f"{BENCH}/allowed_signers"


class Frozen(Struct, frozen=True):
    """The dossier of an edition, and what today's rules say otherwise of it."""

    dossier: Dossier
    otherwise: tuple[Difference, ...]


class Repository(Struct, frozen=True, dict=True):
    """What all cases of a repository share. `problems` are those of the organisation's own files.

    signers    who may sign; not kept where the repository does not say
    reporting  the duties to report that a case is asked about
    known      digests of files of the one case at hand, by path, where somebody has just taken them
    """

    root: Path
    bench: BenchReading
    book: Book
    problems: tuple[Problem, ...]
    signers: Signers = field(default_factory=Signers)
    reporting: Reporting = field(default_factory=Reporting)
    known: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def tags(self) -> TagBook:
        """What git tells of editions; asked once."""
        return read_tags(self.root)

    @cached_property
    def frozen(self) -> dict[str, Frozen]:
        """Dossiers of editions that were read already, by the digest of their bytes."""
        return {}

    @cached_property
    def chronicle(self) -> Chronicle:
        """What git tells of the cases; read once, when it is first asked."""
        return Chronicle(self.root, self.bench.roles)


def open_repository(root: Path) -> Repository:
    """Read what all cases share. Never raises on what people wrote."""
    root = root.resolve()
    bench = intake.read_bench(root)
    packaged = limits.packaged()
    book, faults = limits.build_book(
        packaged.sets, packaged.protocols, bench.limit_sets, bench.protocols,
        cautions=packaged.cautions, words=packaged.words, own_words=bench.words,
        starters={**packaged.starters, **bench.starters},
    )  # fmt: skip
    reporting, wrong = limits.build_reporting(packaged.reporting, bench.reporting, packaged.codes)
    signers, unread = _signers(root)
    problems = (*bench.problems, *book_problems((*faults, *wrong), bench), *unread, *signers.problems)
    return Repository(root, bench, book, problems, signers, reporting)


def _signers(root: Path) -> tuple[Signers, tuple[Problem, ...]]:
    if not os.path.lexists(root / SIGNERS):
        return Signers(), ()
    taken = intake.read_bytes(root, SIGNERS)
    # A file that stands there and cannot be read lets nobody sign, and says so.
    return (Signers(kept=True), taken.problems) if taken.data is None else (seal.read_signers(taken.data), ())
