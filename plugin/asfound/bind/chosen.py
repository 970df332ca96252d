"""Which state of a case is handed over: the working copy, or an edition with the files it was issued for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from msgspec import Struct

from asfound import assess
from asfound.assess import Repository
from asfound.assess.issue import editions_of
from asfound.assess.state import State, state_of
from asfound.compare import Issued
from asfound.model.dossier import Dossier


class NotThere(Exception):
    """Why a state of a case cannot be handed over; a clause."""


class Taken(Struct, frozen=True):
    """A state of a case, and where its files lie.

    folder   the case folder in the repository as it is
    dossier  the frozen one of an edition, else that of the working copy
    state    where the files lie it was made from
    edition  None for the working copy
    issued   editions up to it, oldest first; of the working copy every one
    """

    folder: Path
    dossier: Dossier
    state: State
    edition: Issued | None
    issued: tuple[Issued, ...]


@contextmanager
def opened(shared: Repository, folder: Path, number: int | None, draft: bool, on: dt.date) -> Iterator[Taken]:
    """The state that is asked for; its files are there until the block ends.

    The working copy where a draft is asked for, or where nothing was issued and no number named; else that edition, by
    default the newest. Raises NotThere.
    """
    issued = editions_of(shared, folder.relative_to(shared.root).as_posix())
    if draft or (number is None and not issued):
        dossier = assess.assess_case(shared.root, folder, on, shared).dossier
        if dossier is None:
            raise NotThere("its case.yml cannot be read (asfound check says why)")
        yield Taken(folder, dossier, State(shared.root, folder), None, issued)
        return
    chosen = next((one for one in issued if one.record.number == number), issued[-1] if number is None else None)
    if chosen is None:
        held = ", ".join(str(one.record.number) for one in issued) or "none"
        raise NotThere(f"there is no edition {number} that is as it was issued (there is: {held})")
    with state_of(shared, folder, chosen.record, chosen.dossier) as state:
        if state is None:
            raise NotThere(
                f"the files that edition {chosen.record.number} was issued for are neither in the folder, which went "
                "on since, nor in a commit of this clone"
            )
        before = tuple(one for one in issued if one.record.number <= chosen.record.number)
        yield Taken(folder, chosen.dossier, state, chosen, before)
