"""Functions that sheets were read with and that bring no accuracy into a doubt: nobody stated one, or it is nought."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from asfound.measure.units import Quantity
from asfound.model.bench import Accuracy, Function
from asfound.model.facts import Facts
from asfound.problems import Entry, Level, Problem
from asfound.rules._work import of_mark


class Bare(Struct, frozen=True):
    """The first range of such a function.

    nought   whether its resolution is nought too, so that its readings would have a doubt of 0
    claimed  whether the nought is written there, instead of nothing
    """

    ref: str
    function: str
    number: int
    spoken: str
    nought: bool
    claimed: bool

    @property
    def doubt(self) -> str:
        """What is left as the doubt of its readings."""
        return "a doubt of 0" if self.nought else "the doubt of their last digit alone"

    def told(self, facts: Facts, entry: Entry, found: str, needed: str) -> Problem:
        """The problem at the accuracy of the range; a note where the last digit makes a doubt."""
        level = None if self.nought else Level.NOTE
        at = (self.ref, "functions", self.function, "ranges", self.number, "accuracy")
        return facts.problem(entry, *at, found=found, needed=needed, level=level)


def bare(facts: Facts) -> Iterator[Bare]:
    """One a function, in the order of the ids. Ranges of which a doubt would be 0 come before others.

    What is read off a mark asks nothing of a register. What a device has recorded is known to its last digit, whatever
    is stated of whoever reads it; so a range that has one speaks of nothing that is lacking there.
    """
    used: dict[tuple[str, str], bool] = {}
    for sheet in facts.case.sheets.values():
        test = facts.protocol_test(sheet.test)
        if not of_mark(test):
            at = (str(sheet.instrument), str(sheet.function))
            used[at] = used.get(at, True) and test is not None and test.read_from is not None
    for (ref, name), of_record in sorted(used.items()):
        instrument = facts.instruments.get(ref)
        function = None if instrument is None else instrument.functions.get(name)
        if function is None or function.quantity == Quantity.COUNT or _certified(function):
            continue
        there = [number for number, one in enumerate(function.ranges) if not _states(one.accuracy)]
        nought = [number for number in there if not function.ranges[number].resolution.value]
        if nought or (there and not of_record):
            first = (nought or there)[0]
            one = function.ranges[first]
            spoken, claimed = f"{one.from_.text} to {one.to.text}", _claims_nought(one.accuracy)
            yield Bare(ref, name, first, spoken, bool(nought), claimed)


def _certified(function: Function) -> bool:
    return function.certificate_doubt is not None and bool(function.certificate_doubt.value)


def _states(accuracy: Accuracy) -> bool:
    return bool(accuracy.percent or accuracy.digits or (accuracy.plus is not None and accuracy.plus.value))


def _claims_nought(accuracy: Accuracy) -> bool:
    return accuracy.plus is not None or bool(accuracy.model_fields_set & {"percent", "digits"})
