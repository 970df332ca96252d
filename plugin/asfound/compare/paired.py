"""What is told as one that came and one that went, and is the same under another name or with another figure."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from asfound.compare.fields import fields_of
from asfound.problems import Problem

_FIGURE = re.compile(r"[0-9]+")


def renamed(gone: Mapping[str, Any], come: Mapping[str, Any]) -> dict[str, str]:
    """Id before → id after, of records that say the same field by field, where one alone of their kind does so."""
    before, after = _told(gone), _told(come)
    return {
        refs[0]: after[told][0]
        for told, refs in before.items()
        if len(refs) == 1 and len(after.get(told, ())) == 1 and told[1]
    }


def _told(records: Mapping[str, Any]) -> dict[tuple[str, tuple[tuple[str, str], ...]], list[str]]:
    found: dict[tuple[str, tuple[tuple[str, str], ...]], list[str]] = {}
    for ref, one in records.items():
        if ref[1:2] == "-":
            found.setdefault((ref[0], tuple(fields_of(one).items())), []).append(ref)
    return found


def paired(gone: Iterable[Problem], come: Iterable[Problem]) -> Iterator[tuple[Problem | None, Problem | None]]:
    """Problems that went and that came, those together that differ in their figures or in one place's words alone."""
    left, right = list(gone), list(come)
    for key in (_by_figures, _by_place):
        before, after = _grouped(left, key), _grouped(right, key)
        for name, olds in before.items():
            news = after.get(name, [])
            if len(olds) == len(news) == 1:
                yield olds[0], news[0]
                left.remove(olds[0])
                right.remove(news[0])
    yield from ((one, None) for one in left)
    yield from ((None, one) for one in right)


def _by_figures(one: Problem) -> tuple[str, ...]:
    return one.rule, one.subject, one.span.path, _FIGURE.sub("0", one.found)


def _by_place(one: Problem) -> tuple[str, ...]:
    """Of a rule that speaks once of a record, or of a file that is one; of others nobody knows which is which."""
    if one.subject or not one.span.path.endswith((".yml", ".csv")):
        return one.rule, one.subject, one.span.path
    return "", "", "", one.rule, one.found


def _grouped(problems: list[Problem], key: Any) -> dict[tuple[str, ...], list[Problem]]:
    found: dict[tuple[str, ...], list[Problem]] = {}
    for one in problems:
        found.setdefault(key(one), []).append(one)
    return found
