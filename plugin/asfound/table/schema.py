"""Which tables there are and what their columns hold. Columns are added at the end and never change what they mean."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct

FORMAT = 1
"""Raised where a column is renamed, removed or means something else; a column more raises nothing."""


class Kind(StrEnum):
    """What a column holds. Each may be null, where the record says nothing."""

    TEXT = "text"
    LIST = "list of text"
    WHOLE = "whole number"
    FLOAT = "number (double)"
    YES = "yes or no"
    DATE = "date"
    TIME = "time in UTC, microseconds"
    PAIRS = "map of text to text"


class Column(Struct, frozen=True):
    """One column."""

    name: str
    kind: Kind
    meaning: str


class Table(Struct, frozen=True):
    """One table; its rows stand in the order of the cases, then of their ids as they stand in the dossier."""

    name: str
    meaning: str
    columns: tuple[Column, ...]


def _table(name: str, meaning: str, *columns: tuple[str, Kind, str]) -> Table:
    case = Column("case", Kind.TEXT, "identity of the case")
    return Table(name, meaning, (case, *(Column(*one) for one in columns)))


T, LIST, N, F, YES, DATE, TIME, PAIRS = Kind
_EXACT = "the exact decimal, as text"

TABLES: tuple[Table, ...] = (
    _table(
        "cases",
        "One row a case.",
        ("folder", T, "where it lies, from the root of the repository"),
        ("title", T, "its title"),
        ("stage", T, "open, in review, …"),
        ("device_kind", T, "which kind of device is examined"),
        ("event_kind", T, "shock, burn, …"),
        ("told_at", TIME, "when the event was told"),
        ("harmed", T, "who was harmed"),
        ("assessed_on", DATE, "the date of assessment"),
        ("mechanism_claimed", T, "level the author claims for how it happened"),
        ("mechanism_earned", T, "the strongest level the evidence bears"),
        ("mechanism_weakest_link", T, "what holds it down most"),
        ("reason_claimed", T, "the same of why it came to be so"),
        ("reason_earned", T, "the strongest level the evidence bears"),
        ("reason_weakest_link", T, "what holds it down most"),
        ("rejects", N, "how many problems refuse the case"),
        ("warnings", N, "how many gaps the report prints"),
        ("case_digest", T, "canonical digest of the case, version 1"),
        ("limits_digest", T, "digest of the limits it was held against"),
        ("made_with", T, "version of asfound"),
    ),
    _table(
        "items",
        "One row a thing that was looked at or missed.",
        ("item", T, "its id"),
        ("what", T, "what it is"),
        ("role", T, "its part in the event"),
        ("in_use_at_event", YES, "whether it was in use"),
        ("impounded", YES, "whether it was impounded"),
        ("maker", T, "maker, or why that is not known"),
        ("model", T, "model"),
        ("serial", T, "serial number"),
        ("lot", T, "lot"),
        ("software", T, "version of its software"),
    ),
    _table(
        "instruments",
        "One row an instrument that took readings in a case.",
        ("instrument", T, "its id"),
        ("what", T, "what it is"),
        ("serial", T, "serial number"),
        ("certificate", T, "the newest certificate"),
        ("calibrated_on", DATE, "its date"),
        ("due", DATE, "when the next was due"),
        ("as_found", T, "in tolerance or not, when it came to the laboratory"),
    ),
    _table(
        "readings",
        "One row a reading.",
        ("reading", T, "its id"),
        ("sheet", T, "its sheet"),
        ("row", T, "its row, as typed"),
        ("test", T, "the planned test"),
        ("item", T, "the thing measured"),
        ("instrument", T, "the instrument"),
        ("by", T, "by whom, as a role"),
        ("typed", T, "the value as typed"),
        ("kind", T, "number, below, yes, no output, …"),
        ("exact", T, _EXACT),
        ("value", F, "the same as the nearest double"),
        ("of", N, "of a count: out of how many"),
        ("unit", T, "as typed"),
        ("conditions", PAIRS, "what varies from row to row"),
        ("at", TIME, "when it was read"),
        ("void", T, "why it does not count; null while it does"),
        ("repeat_of", T, "the reading it repeats"),
        ("file", T, "the file, from the root"),
        ("line", N, "its line"),
    ),
    _table(
        "verdicts",
        "One row a reading (or the highest of a group) held against one limit.",
        ("number", N, "its place among the verdicts of the case, from 1"),
        ("reading", T, "the reading judged"),
        ("members", LIST, "the readings it speaks of"),
        ("test", T, "the test"),
        ("item", T, "the thing"),
        ("outcome", T, "pass, conditional pass, conditional fail, fail, no requirement, not assessable, …"),
        ("exact", T, f"what was compared: {_EXACT}"),
        ("value", F, "the same as the nearest double"),
        ("unit", T, "of value, doubt, bounds and margin"),
        ("doubt", F, "expanded doubt"),
        ("k", F, "its coverage factor"),
        ("lower", F, "lower bound"),
        ("lower_exact", T, _EXACT),
        ("upper", F, "upper bound"),
        ("upper_exact", T, _EXACT),
        ("strict", YES, "whether the bound itself is outside"),
        ("margin", F, "distance to the nearer bound, positive inside"),
        ("margin_exact", T, _EXACT),
        ("chance", F, "that the true value meets the limit (JCGM 106:2012)"),
        ("rule", T, "the decision rule"),
        ("why", T, "the reason, where there is no comparison"),
        ("limit", T, "the limit, as set/name"),
        ("limit_kind", T, "on what authority it speaks"),
        ("document", T, "its document"),
        ("edition", T, "edition"),
        ("clause", T, "clause"),
        ("source_status", T, "how well its source was read: confirmed, secondary, from memory"),
    ),
    _table(
        "results",
        "One row a result derived from readings.",
        ("result", T, "its id"),
        ("kind", T, "what it is"),
        ("title", T, "its title"),
        ("sheet", T, "its sheet"),
        ("exact", T, _EXACT),
        ("value", F, "the nearest double"),
        ("unit", T, "of value and doubt"),
        ("doubt", F, "expanded doubt"),
        ("outcome", T, "the verdict on it, where a limit speaks"),
        ("of", LIST, "the readings and results it comes from"),
        ("text", T, "one sentence that says it"),
        ("k", F, "coverage factor of the doubt"),
        ("dof", F, "effective degrees of freedom behind the doubt; null where nothing limits them"),
    ),
    _table(
        "findings",
        "One row a finding.",
        ("finding", T, "its id"),
        ("text", T, "what was found, without marks of citation"),
        ("about", LIST, "the things it is about"),
        ("rests_on", LIST, "the records it rests on"),
    ),
    _table(
        "explanations",
        "One row an explanation that was weighed or set aside.",
        ("explanation", T, "its id"),
        ("text", T, "the explanation"),
        ("line", T, "where it looks for the cause"),
        ("explains", T, "mechanism or reason"),
        ("status", T, "what the evidence earns"),
        ("claimed", T, "what the author wrote"),
        ("held", T, "the weaker of the two"),
        ("aside", YES, "whether it was set aside"),
        ("why", T, "one sentence"),
        ("supports", LIST, "findings and results for it"),
        ("contradicts", LIST, "those against it"),
    ),
    _table(
        "problems",
        "One row a problem that the check tells.",
        ("rule", T, "the rule that speaks"),
        ("level", T, "reject, warn, still needed, note"),
        ("file", T, "the file, from the root"),
        ("line", N, "line, 0 where it is the whole file"),
        ("column", N, "column"),
        ("subject", T, "the record concerned"),
        ("found", T, "what was found"),
        ("needed", T, "what was needed"),
        ("lifted", T, "the exception that lifts it"),
    ),
)
"""Every table. The facility's own duties are in none: they leave the house with no report, and with no table."""


def schema_text() -> str:
    """The tables and their columns, as Markdown."""
    lines = [f"Tables of `asfound table`, format {FORMAT}. Any column may be null, where the record says nothing."]
    for table in TABLES:
        lines += [
            "",
            f"## {table.name}.parquet",
            "",
            table.meaning,
            "",
            "| column | holds | meaning |",
            "|---|---|---|",
        ]
        lines += [f"| `{one.name}` | {one.kind} | {one.meaning} |" for one in table.columns]
    return "\n".join(lines) + "\n"
