"""A share typed against the setting follows from the reading and the setting it was taken at.

Fails: "[R-flow-5] lies 21 % above the setting" where 112.3 mL/h were read at 100 mL/h.
Passes: "12 % above the setting"; "12 % of the bags", which is no share of the setting.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import in_unit, quantity
from asfound.rules.report._cited import say, sentences_of
from asfound.rules.report._typed import Shape, rounds_to, slip, typed_numbers

ENTRY = Entry(
    name="share-retyped",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A share typed against the setting follows from the reading and its setting.",
    reason="A percentage is the figure people remember, and the one nobody checks.",
    source="common practice, no source",
    status="common practice",
    mend="Print the reading by its id and name its setting; the share follows.",
    rows=("R95",),
)

_AGAINST_SETTING = re.compile(
    r"^\s*(?P<sense>more|less|above|below|over|under|higher|lower|too much|too little|too high|too low)\b(?: than)?"
    r"(?: (?:the|its|what|it))?(?: (?:rate|value|power|energy|was))? ?(?:setting|set)\b",
    re.IGNORECASE,
)
_DOWN = frozenset(("less", "below", "under", "lower", "too little", "too low"))


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a share that no cited reading bears out."""
    for text, sentence in sentences_of(facts):
        for typed in typed_numbers(sentence.text):
            against = _AGAINST_SETTING.match(typed.after)
            if typed.unit.symbol != "%" or typed.shape is not Shape.PLAIN or against is None:
                continue
            sense, value = against["sense"].lower(), typed.values[0]
            shares = [one for ref in sentence.refs for one in _share(facts, ref, -1 if sense in _DOWN else 1)]
            if not shares or any(rounds_to(share, value) for _, share in shares):
                continue
            ref, share = shares[0]
            figure = f"{share:.1f}".replace("-", "\u2212")
            by = "; the figures are the same but for a power of ten" if slip(share, value) else ""
            found = f"types {typed.shown} {sense} than set; of {ref} it is {figure} %{by}"
            yield say(
                facts, ENTRY, text, ref, found, "the share that follows from the reading and its setting is needed"
            )


def _share(facts: Facts, ref: str, sign: int) -> Iterator[tuple[str, Decimal]]:
    """By how many per cent a reading lies above its setting (below it, with `sign` -1)."""
    row = facts.case.reading.get(ref)
    if row is None or row.value.number is None or not row.value.is_number:
        return
    sheet = facts.case.sheets.get(row.sheet)
    set_to = row.conditions.get("setting") or (sheet.constants.get("setting", "") if sheet is not None else "")
    read = quantity(set_to, facts.case.readings[row.sheet].units.get("setting", ""))
    at = in_unit(read[0], read[1].symbol, row.unit) if read is not None else None
    if at:
        yield ref, (row.value.number - at) / at * 100 * sign
