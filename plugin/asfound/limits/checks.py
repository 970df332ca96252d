"""Whether one limit is whole and fits the tests it belongs to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from asfound.limits.fault import BookFault, Path, listed, nearest, unit_meant
from asfound.limits.loosen import compare
from asfound.measure import units
from asfound.measure.units import Quantity
from asfound.model.base import Amount
from asfound.model.limits import Bound, Fixed, Greatest, LeakagePower, Limit, LimitSet, Percent, Sense, Sum, Test

YES_OR_NO = "yes or no"
SETTING = "setting"
"""The condition by whose name a bound can go."""
QUANTITIES = frozenset(quantity.value for quantity in Quantity)

# What each sense needs; whatever of these is not needed must not stand there.
_NEEDS: dict[Sense, tuple[str, ...]] = {
    Sense.AT_MOST: ("bound",),
    Sense.AT_LEAST: ("bound",),
    Sense.WITHIN: ("bound", "around"),
    Sense.BETWEEN: ("low", "high"),
    Sense.MONOTONIC: ("series_over",),
    Sense.ANSWER: ("answer",),
}
_SHAPE = ("bound", "around", "low", "high", "series_over", "answer")
# Words that stand where nothing is known.
_PLACEHOLDERS = frozenset({"-", "--", "–", "—", "?", "n/a", "na", "none", "unknown", "tbd", "todo", "x", "xx", "xxx"})
# A fault of these leaves nothing to compare with.
UNDECIDABLE = frozenset({"limit-shape-wrong", "limit-unit-unknown", "limit-quantity-differs", "limit-test-unknown"})

Tests = Mapping[str, Sequence[Test]]
"""Tests by name; a name may stand in protocols that do not know each other."""


class _Looked(Struct, frozen=True):
    """One limit under examination: where it stands, and the tests it belongs to."""

    file: str
    home: LimitSet
    name: str
    limit: Limit
    tests: Tests

    def fault(self, rule: str, *path: str | int, found: str, needed: str, mend: str = "") -> BookFault:
        return BookFault(self.file, ("limits", self.name, *path), rule, found, needed, mend)

    @property
    def own(self) -> tuple[Test, ...]:
        return tuple(test for name in self.limit.tests for test in self.tests.get(name, ()))


def check_limit(file: str, home: LimitSet, name: str, tests: Tests) -> tuple[BookFault, ...]:
    """Everything wrong with one limit of a set, by itself. Rules are those of `asfound.limits.entries`."""
    looked = _Looked(file, home, name, home.limits[name], tests)
    parts = (_authority, _of_tests, _shape, _amounts, _conditions)
    return tuple(fault for part in parts for fault in part(looked))


def _authority(at: _Looked) -> Iterator[BookFault]:
    if not at.limit.kind.needs_clause:
        return
    document, edition = at.home.authority(at.name)
    for field, text in (("document", document), ("edition", edition), ("clause", at.limit.clause)):
        if text is None or text.strip().lower() in _PLACEHOLDERS:
            path = ("limits", at.name, field) if field == "clause" or at.limit.document else (field,)
            yield BookFault(
                at.file,
                path,
                "limit-clause-missing",
                f'the limit "{at.name}" is of the kind "{at.limit.kind}" and names no {field}',
                "document, edition and clause are needed, so that the other side can look it up",
                "Write the clause, the table or the page; a figure without a document has another kind.",
            )


def _of_tests(at: _Looked) -> Iterator[BookFault]:
    for index, test in enumerate(at.limit.tests):
        if test not in at.tests:
            path: Path = ("test",) if index == 0 else ("also", index - 1)
            yield at.fault(
                "limit-test-unknown",
                *path,
                found=f'no protocol has a test "{test}"',
                needed="the name of a test is needed, as a protocol writes it",
                mend=nearest(test, at.tests) or "Look at the tests of the protocol, or add the test to one of yours.",
            )


def _shape(at: _Looked) -> Iterator[BookFault]:
    limit, needs = at.limit, _NEEDS[at.limit.sense]
    for field in _SHAPE:
        stands = getattr(limit, field) is not None
        if stands == (field in needs):
            continue
        found = f'the sense "{limit.sense}" has {"a" if stands else "no"} "{field.replace("_", " ")}"'
        yield at.fault(
            "limit-shape-wrong",
            *((field,) if stands else ()),
            found=found,
            needed=f"it needs {' and '.join(needs)}, and nothing else of this sort".replace("_", " "),
            mend="Take it out, or choose another sense." if stands else f"Add {field} to the limit.",
        )
    if limit.permitted is not None and limit.sense is not Sense.AT_MOST:
        yield at.fault(
            "limit-shape-wrong",
            "permitted",
            found=f'a band permitted with evidence stands beside the sense "{limit.sense}"',
            needed='such a band is known only for "at most"',
            mend="Write a limit of its own for the band.",
        )
    if limit.highest_of and limit.sense is not Sense.AT_MOST:
        yield at.fault(
            "limit-shape-wrong",
            "highest_of",
            found=f'the highest reading speaks for others beside the sense "{limit.sense}"',
            needed='only under "at most" do the others meet what the highest one meets',
            mend="Take highest_of out, so that every reading is judged.",
        )
    if limit.low is not None and limit.high is not None and compare(limit.low, limit.high) == 1:
        yield at.fault(
            "limit-shape-wrong",
            "low",
            found="the low bound lies above the high one",
            needed="the low bound is needed first",
            mend="Exchange the two.",
        )
    if any((test.answer == YES_OR_NO) != (limit.sense is Sense.ANSWER) for test in at.own):
        yield at.fault(
            "limit-shape-wrong",
            "sense",
            found=f'the sense is "{limit.sense}", and the test asks for another sort of answer',
            needed=f'"{Sense.ANSWER}" is needed for a yes or no, and a bound for a number',
            mend="Look at the answer that the protocol gives the test.",
        )


def _amounts(at: _Looked) -> Iterator[BookFault]:
    limit = at.limit
    if limit.quantity not in QUANTITIES and limit.quantity != YES_OR_NO:
        yield at.fault(
            "limit-quantity-differs",
            "quantity",
            found=f'the quantity "{limit.quantity}" is not in the list',
            needed="a quantity of the list of units is needed",
            mend=nearest(limit.quantity, QUANTITIES) or "Take the quantity that the protocol gives the test.",
        )
        return
    if limit.result is None:
        for test in at.own:
            if test.quantity != limit.quantity:
                yield at.fault(
                    "limit-quantity-differs",
                    "quantity",
                    found=f'the limit is one of {limit.quantity}, and the test "{test.title}" measures {test.quantity}',
                    needed="the quantity of the test is needed",
                    mend="Write the quantity as the protocol writes it.",
                )
    for field in ("bound", "low", "high"):
        bound = getattr(limit, field)
        if bound is not None:
            yield from _bound(at, (field,), bound)
    if limit.permitted is not None:
        yield from _amount(at, ("permitted", "up_to"), limit.permitted.up_to, limit.quantity)
    if limit.scale is not None and limit.quantity != Quantity.CURRENT:
        yield at.fault(
            "limit-quantity-differs",
            "scale",
            found=f"a reading of {limit.quantity} would be scaled to the nominal mains voltage",
            needed="only a current grows with the mains voltage in this way",
            mend="Take the scale out.",
        )


def _bound(at: _Looked, path: Path, bound: Bound) -> Iterator[BookFault]:
    match bound:
        case Fixed():
            yield from _amount(at, (*path, "value"), bound.value, at.limit.quantity)
            if at.limit.sense is Sense.WITHIN and bound.value.value < 0:
                yield at.fault(
                    "limit-shape-wrong",
                    *path,
                    "value",
                    found=f"the width to either side is {bound.value.text}",
                    needed="a width of zero or more is needed",
                    mend="Write the width without a sign.",
                )
        case LeakagePower():
            yield from _amount(at, (*path, "load"), bound.load, Quantity.RESISTANCE)
            yield from _share(at, path, bound)
            if bound.load.value <= 0:
                yield at.fault(
                    "limit-shape-wrong",
                    *path,
                    "load",
                    found=f"the load is {bound.load.text}",
                    needed="a load above zero is needed",
                    mend="Write the load as the document has it, such as 200 Ω.",
                )
            if at.limit.quantity != Quantity.CURRENT:
                yield at.fault(
                    "limit-quantity-differs",
                    *path,
                    found=f"a current from power bounds a reading of {at.limit.quantity}",
                    needed="it can bound only a current",
                    mend="Write another bound.",
                )
        case Percent():
            yield from _share(at, path, bound)
        case Greatest():
            for index, one in enumerate(bound.among):
                yield from _bound(at, (*path, "among", index), one)
        case Sum():
            for index, one in enumerate(bound.terms):
                yield from _bound(at, (*path, "terms", index), one)
    if (isinstance(bound, Greatest) and not bound.among) or (isinstance(bound, Sum) and not bound.terms):
        yield at.fault(
            "limit-shape-wrong",
            *path,
            found="nothing is listed",
            needed="at least one bound is needed",
            mend="List it.",
        )


def _share(at: _Looked, path: Path, bound: Percent | LeakagePower) -> Iterator[BookFault]:
    if bound.percent <= 0:
        yield at.fault(
            "limit-shape-wrong",
            *path,
            "percent",
            found=f"the share is {bound.percent} %",
            needed="a share above zero is needed",
            mend="Write the share without a sign.",
        )


def _amount(at: _Looked, path: Path, amount: Amount, quantity: str) -> Iterator[BookFault]:
    known = units.unit(amount.unit)
    if known is None:
        yield at.fault(
            "limit-unit-unknown",
            *path,
            found=f'the unit "{amount.unit}" is not in the list',
            needed=f"a unit of {quantity} is needed",
            mend=unit_meant(amount.unit, quantity),
        )
    elif known.quantity != quantity:
        yield at.fault(
            "limit-quantity-differs",
            *path,
            found=f'"{amount.text}" is an amount of {known.quantity}',
            needed=f"an amount of {quantity} is needed",
            mend="Look at the unit, and at the test the limit belongs to.",
        )


def _of_setting(limit: Limit) -> Iterator[Path]:
    """Where a limit goes by the setting."""
    if limit.around == SETTING:
        yield ("around",)
    todo: list[tuple[Path, Bound | None]] = [((field,), getattr(limit, field)) for field in ("bound", "low", "high")]
    while todo:
        path, bound = todo.pop(0)
        match bound:
            case Percent() if bound.of == SETTING:
                yield (*path, "of")
            case Greatest():
                todo += [((*path, "among", index), one) for index, one in enumerate(bound.among)]
            case Sum():
                todo += [((*path, "terms", index), one) for index, one in enumerate(bound.terms)]


def _conditions(at: _Looked) -> Iterator[BookFault]:
    limit, own = at.limit, at.own
    if not own:
        return
    names = sorted({name for test in own for name in test.conditions})
    wanted: list[tuple[Path, str]] = [(("highest_of", i), name) for i, name in enumerate(limit.highest_of)]
    if limit.series_over is not None:
        wanted.append((("series_over",), limit.series_over))
    if limit.exempt is not None:
        wanted.append((("exempt", "condition"), limit.exempt.condition))
    # Any other word names a characteristic of the device, which nobody can know beforehand; this one is a condition.
    wanted += [(path, SETTING) for path in _of_setting(limit)]
    for path, name in wanted:
        if name not in names:
            yield at.fault(
                "limit-condition-unknown",
                *path,
                found=f'"{name}" is no condition of the test "{limit.test}"',
                needed=f"{listed(names)} is needed" if names else "a test with conditions is needed",
                mend=nearest(name, names) or "Write the condition as the protocol writes it.",
            )
    for field in ("when", "only", "unless"):
        for name, words in getattr(limit, field).items():
            # A name that no test knows is a characteristic of the item, whose words are free.
            columns = [test.conditions[name] for test in own if name in test.conditions]
            allowed = {word for column in columns for word in column.values}
            unit = next((column.unit for column in columns if column.unit is not None), None)
            for index, word in enumerate(words):
                if allowed and word not in allowed:
                    yield at.fault(
                        "limit-condition-unknown",
                        *(field, name, index),
                        found=f'"{word}" is no word of the condition "{name}"',
                        needed=f"{listed(sorted(allowed))} is needed",
                        mend=nearest(word, allowed) or "Write the word as the protocol writes it.",
                    )
                elif unit is not None and not _fits(word, unit):
                    yield at.fault(
                        "limit-condition-unknown",
                        *(field, name, index),
                        found=f'"{word}" cannot be compared with the condition "{name}", which is measured in {unit}',
                        needed="a number and its unit are needed",
                        mend=f"Write it as in 200 {unit}.",
                    )


def _fits(word: str, unit: str) -> bool:
    try:
        amount = Amount.read(word)
    except ValueError:
        return False
    mine, theirs = units.unit(amount.unit), units.unit(unit)
    return mine is not None and theirs is not None and mine.quantity is theirs.quantity
