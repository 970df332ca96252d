"""What a pack is made of, with the report for browsers and the report as PDF."""

from __future__ import annotations

from functools import partial

from asfound import assess, document, pack, pages
from asfound.assess import Repository
from asfound.bind.chosen import Taken
from asfound.bind.reports import readable, report_of
from asfound.document import Undocumentable
from asfound.pack import Packing


def packing_of(shared: Repository, taken: Taken, drafts: bool, printed: bool = True) -> Packing:
    """Everything a pack of that state is made of. Where no PDF can be set, the pack has none and says why.

    drafts   whether earlier drafts of opinion are disclosed
    printed  whether the report is set as PDF too
    """
    dossier, chosen = taken.dossier, taken.edition
    name = taken.folder.relative_to(shared.root).as_posix()
    past = shared.chronicle.past(dossier.id, name, assess.used_by(dossier.core.case, shared.bench))
    pictures = dict(pages.pictures_of(dossier, partial(readable, taken.state.home)))
    if chosen is None:
        report = pages.standalone(dossier, pictures)
        text = pack.dossier_bytes(dossier)
    else:
        report = pages.standalone(dossier, pictures, issued=taken.issued, edition=chosen)
        text = (taken.folder / "editions" / str(chosen.record.number) / "dossier.json").read_bytes()
    pdf: bytes | None = None
    set_by = "none was asked for"
    if printed:
        try:
            pdf, set_by = document.typeset(report_of(taken)), document.made_by()
        except Undocumentable as error:
            set_by = "; ".join(error.reasons)
    return Packing(
        taken.state.root, taken.state.home, dossier, text, chosen.record if chosen else None, past, report.encode(),
        drafts, pdf, set_by,
    )  # fmt: skip
