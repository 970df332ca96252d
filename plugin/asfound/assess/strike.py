"""What falls when records of an assessed case are taken away."""

from __future__ import annotations

from collections.abc import Iterable

from asfound import weigh
from asfound.assess.repository import Repository
from asfound.model.case import Places
from asfound.model.dossier import Dossier
from asfound.model.facts import Facts
from asfound.model.weighing import Strike


def strike(dossier: Dossier, shared: Repository, refs: Iterable[str]) -> Strike:
    """Verdicts, statuses and levels without some records, as `asfound.weigh.without` says.

    Raises KeyError with the first id that names nothing in the case.
    """
    core = dossier.core
    facts = Facts(
        core.case, Places({}, {}, {}), shared.book, shared.bench.instruments, core.organisation, core.on,
        verdicts=core.verdicts, results=core.results, coverage=core.coverage, worked=core.worked,
    )  # fmt: skip
    struck = tuple(refs)
    for ref in struck:
        if not weigh.known(facts, ref):
            raise KeyError(ref)
    return weigh.without(facts, struck)
