"""The whole record: which parts it has, and in which order.

The order is that of a report an expert hands over: what it says, who says it and by whose leave, what was told, what is
there and who had it, how it was worked on, with what, what came out, what is thought of it, what would change that, and
at the end everything considered, what became of the things, and who signs.
"""

from __future__ import annotations

from markupsafe import Markup
from msgspec import Struct

from asfound.pages.view import CaseView


class RecordPart(Struct, frozen=True):
    """A numbered part of the record.

    anchor     its id on the page
    title      its heading
    templates  what it holds, one after another
    nested     whether its templates bring headings of their own that stand below the part's
    when       name of what must not be empty of the view for the part to be there; empty: it always is
    """

    anchor: str
    title: str
    templates: tuple[str, ...]
    nested: bool = True
    when: str = ""


PARTS = (
    RecordPart("summary", "Summary", ("summary",)),
    RecordPart("identity", "What identifies this report", ("_identity", "_report_parts"), False),
    RecordPart("ground", "Authority, scope and limits", ("_authority", "_limits_of_work"), False),
    RecordPart("independence", "Independence", ("_independence",), False),
    RecordPart("reported", "The event as reported", ("_event", "accounts")),
    RecordPart("items", "Items and custody", ("items",)),
    RecordPart("scene", "As found: scene, room, history", ("_found", "_room")),
    RecordPart("inspection", "Inspection", ("inspection",)),
    RecordPart("work", "Method and sequence", ("_method", "_notices")),
    RecordPart("bench", "Instruments and limits", ("_bench",)),
    RecordPart("measurements", "Results", ("_measured",)),
    RecordPart("calculations", "Calculations", ("calculations",), when="worked"),
    RecordPart("timeline", "Clocks and timeline", ("timeline",)),
    RecordPart("findings", "Findings", ("_facts",), False),
    RecordPart("explanations", "Explanations weighed", ("_explanations",), False),
    RecordPart("opinion", "Opinion", ("_opinion",), False, when="concluded"),
    RecordPart("without", "What falls without what", ("without",)),
    RecordPart("next", "Next steps", ("_next",), False, when="next_steps"),
    RecordPart("annex", "What a report of the event asks for", ("_annex",), False),
    RecordPart("evidence", "Evidence, and everything considered", ("evidence", "_considered")),
    RecordPart("problems", "Problems and exceptions", ("problems",)),
    RecordPart("kept", "What becomes of the items", ("_kept",), False),
    RecordPart("words", "Words with a fixed meaning", ("_words",), False),
    RecordPart("close", "Changes and signatures", ("_close",)),
)
"""Every part there can be, in order."""


def parts_of(view: CaseView) -> tuple[RecordPart, ...]:
    """The parts of one record."""
    return tuple(one for one in PARTS if not one.when or getattr(view, one.when))


def contents(view: CaseView) -> Markup:
    """The numbered list of parts at the head of a record."""
    entries = Markup("").join(
        Markup('<li><a href="#{}">{}</a></li>').format(one.anchor, one.title) for one in parts_of(view)
    )
    return Markup('<nav class="af-contents" aria-label="Contents of the record"><ol>{}</ol></nav>').format(entries)
