"""Cells that a spreadsheet would take for a formula."""

from __future__ import annotations

import re

from asfound.intake.csv_table import CsvTable
from asfound.intake.words import LISTED, counted, crop, refuse
from asfound.problems import Problem

# CWE-1236 and OWASP ASVS 1.2.10: what a spreadsheet takes for a formula. Signed numbers and notes that begin with a
# dash are no formulas; a sign before a name with a bracket, or with a call of another program (`|…!`), is one.
_FORMULA = re.compile(r"[=@\t]|\+[^\W\d_]|[+-][\w.]*\(|[+-][^|]*\|.*!", re.DOTALL)
_PLUS_NAME = re.compile(r"\+[^\W\d_]")
_CALL = re.compile(r"\((?<=[\w.+-]\()")
_FORMULA_STARTS = frozenset("=@\t+-")


def may_hold_formula(text: str) -> bool:
    """Whether any cell of a table can be a formula, without looking at the cells; never False where one is."""
    for sign in "=@\t":
        if sign in text and (text.startswith(sign) or any(before + sign in text for before in (",", "\n", '"'))):
            return True
    if "+" in text and _PLUS_NAME.search(text):
        return True
    if "+" not in text and "-" not in text:
        return False
    return _CALL.search(text) is not None or ("|" in text and "!" in text)


def formulas(table: CsvTable, records: list[list[str]]) -> list[Problem]:
    """One problem a cell that looks like a formula, the first twenty in full."""
    total: list[tuple[int, int]] = []
    for number, row in enumerate(records):
        for cell, text in enumerate(row):
            if text[:1] in _FORMULA_STARTS and _FORMULA.match(text):
                total.append((number, cell))
    listed = []
    for number, cell in total[:LISTED]:
        what = f"“{crop(records[number][cell])}” looks like a formula"
        listed.append(refuse("csv-formula", table.path, table.cell_place(number, cell), what, "a value is needed"))
    return counted(listed, len(total))
