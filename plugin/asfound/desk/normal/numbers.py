"""One cell that should be a number, as spreadsheets of any country write it.

A comma followed by three digits may be the decimal sign or part groups of thousands, and so may a point: `1,234` and
`1.234`. Where the digits themselves do not settle it, nothing here does.
"""

from __future__ import annotations

import re

from msgspec import Struct

MINUS = "\u2212\u2012\u2013\ufe63\uff0d"
"""Dashes that programs put for a minus sign."""
GROUP_SPACES = "\u00a0\u202f\u2009\u2007"
"""Spaces that no keyboard types and that programs put between groups of digits."""

_HEAD = re.compile(rf"([<>] ?)?([+-]|[{MINUS}](?=[0-9]))?(.*)", re.DOTALL)
_PLAIN = re.compile(r"[0-9]+").fullmatch
_ONE = re.compile(r"([0-9]+)([.,])([0-9]+)").fullmatch
_OPEN_GROUP = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}").fullmatch
_BOTH = re.compile(r"([1-9][0-9]{0,2}(?:([.,])[0-9]{3})(?:\2[0-9]{3})*)((?!\2)[.,])([0-9]+)").fullmatch
_GROUPS = re.compile(r"[1-9][0-9]{0,2}(?:([.,])[0-9]{3})(?:\1[0-9]{3})+").fullmatch
_OTHER_GROUPS = re.compile(
    rf"[1-9][0-9]{{0,2}}(?:(['’{GROUP_SPACES}])[0-9]{{3}})(?:\1[0-9]{{3}})*(?:([.,])([0-9]+))?"
).fullmatch
_POWER = re.compile(r"([0-9](?:([.,])[0-9]+)?)([eE][+-]?[0-9]{1,3})").fullmatch


class Number(Struct, frozen=True):
    """What a cell is as a number.

    text     as a sheet of ours writes it; the cell unchanged where `open_` or nothing was to do
    reasons  what was changed, a kind and a clause each
    sign     the decimal sign the digits themselves prove: `,` or `.`; empty where they prove none
    open_    whether it can be read in two ways
    power    whether it stands in scientific notation
    """

    text: str
    reasons: tuple[tuple[str, str], ...] = ()
    sign: str = ""
    open_: bool = False
    power: bool = False


def number(cell: str, decimal: str = "") -> Number | None:
    """Read a cell (without spaces around it) as a number; None where it is none.

    `decimal` is the answer to which sign parts the decimals, `,` or `.`, and settles what the digits leave open.

    >>> number("92,4").text, number("1.234,5").text, number("1,234").open_, number("1,234", ",").text
    ('92.4', '1234.5', True, '1.234')
    """
    head = _HEAD.fullmatch(cell)
    assert head is not None
    bound, sign, core = head[1] or "", head[2] or "", head[3]
    read = _core(core, decimal)
    if read is None:
        return None
    reasons = read.reasons
    if sign and sign not in "+-":
        reasons = (("minus signs", f"a dash (U+{ord(sign):04X}) stands for the minus sign"), *reasons)
        sign = "-"
    return Number(f"{bound}{sign}{read.text}", reasons, read.sign, read.open_, read.power)


def _core(core: str, decimal: str) -> Number | None:
    if _PLAIN(core):
        return Number(core)
    if hit := _ONE(core):
        return _one(core, hit[1], hit[2], hit[3], decimal)
    if hit := _BOTH(core):
        whole = hit[1].replace(hit[2], "")
        return Number(f"{whole}.{hit[4]}", _grouped(hit[2]) + _comma(hit[3]), sign=hit[3])
    if hit := _GROUPS(core):
        return Number(core.replace(hit[1], ""), _grouped(hit[1]), sign="." if hit[1] == "," else ",")
    if hit := _OTHER_GROUPS(core):
        whole = core.partition(hit[2])[0] if hit[2] else core
        tail = f".{hit[3]}" if hit[2] else ""
        return Number(f"{whole.replace(hit[1], '')}{tail}", _grouped(hit[1]) + _comma(hit[2]), sign=hit[2] or "")
    if hit := _POWER(core):
        return Number(core.replace(",", "."), _comma(hit[2]), sign=hit[2] or "", power=True)
    return None


def _one(core: str, whole: str, mark: str, part: str, decimal: str) -> Number:
    if not _OPEN_GROUP(core):
        return Number(f"{whole}.{part}", _comma(mark), sign=mark)
    if not decimal:
        return Number(core, open_=True)
    if decimal == mark:
        return Number(f"{whole}.{part}", _comma(mark))
    return Number(f"{whole}{part}", _grouped(mark))


def _comma(mark: str | None) -> tuple[tuple[str, str], ...]:
    return (("decimal commas", "a comma parts the decimals"),) if mark == "," else ()


def _grouped(mark: str) -> tuple[tuple[str, str], ...]:
    name = {",": "commas", ".": "points"}.get(mark, "apostrophes" if mark in "'’" else "spaces of another kind")
    return (("groups of thousands", f"{name} part groups of digits"),)
