"""Whether protocols fit together: names, includes, tests, topics, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from asfound.limits.checks import QUANTITIES, YES_OR_NO
from asfound.limits.fault import UNITS_AT, BookFault, Path, nearest, unit_meant
from asfound.measure import units
from asfound.model.columns import READINGS
from asfound.model.included import with_included
from asfound.model.limits import Caution, Protocol, Test

Files = Mapping[str, str]
"""File of each protocol, by the protocol's name."""

_WHERE = {
    "caution": (
        "Cautions come with the program, and the page Cautions of every site shows each by its name. What this kind of "
        "device asks for besides goes into the note of the protocol or of the test."
    ),
    "topic": (
        "Define it under topics, or take one of a protocol that this one includes; asfound explain --protocol NAME "
        "prints it."
    ),
    "test": (
        "Write it as it stands under tests, here or in a protocol that this one includes; asfound explain --protocol "
        "NAME prints it."
    ),
}
"""Where the names are found that a protocol may use."""


def closure(name: str, protocols: Mapping[str, Protocol]) -> tuple[str, ...]:
    """A protocol and all it includes, each once, in order. Names that do not exist are passed over."""
    return tuple(with_included((name,), protocols))


def check_protocol(
    file: str, protocol: Protocol, protocols: Mapping[str, Protocol], cautions: Mapping[str, Caution]
) -> tuple[BookFault, ...]:
    """Everything wrong with one protocol, among all others. Rules are those of `asfound.limits.entries`."""
    return (
        *_includes(file, protocol, protocols),
        *_tests_once(file, protocol, protocols),
        *_references(file, protocol, protocols, cautions),
        *(fault for name, test in protocol.tests.items() for fault in _units(file, name, test)),
    )


def _includes(file: str, protocol: Protocol, protocols: Mapping[str, Protocol]) -> Iterator[BookFault]:
    for index, name in enumerate(protocol.includes):
        if name not in protocols:
            yield BookFault(
                file, ("includes", index), "protocol-includes-unknown",
                f'no protocol is named "{name}"', "the name of a protocol is needed",
                nearest(name, protocols) or "Write its name as it stands after protocol in its file.",
            )  # fmt: skip
        elif protocol.protocol in closure(name, protocols):
            yield BookFault(
                file, ("includes", index), "protocol-includes-circle",
                f'"{name}" includes "{protocol.protocol}" again', "protocols built one on another are needed",
                "Take one of the includes out.",
            )  # fmt: skip


def _tests_once(file: str, protocol: Protocol, protocols: Mapping[str, Protocol]) -> Iterator[BookFault]:
    seen: dict[str, str] = {}
    for one in closure(protocol.protocol, protocols):
        for name in protocols[one].tests:
            first = seen.setdefault(name, one)
            if first == one:
                continue
            # Said where it can be mended: at the test if it is this protocol's own, else at the includes.
            path: Path = ("tests", name) if first == protocol.protocol else ("includes",)
            yield BookFault(
                file, path, "protocol-test-twice",
                f'the test "{name}" stands in "{first}" and in "{one}"', "one meaning for a name is needed",
                "Give one of the tests another name.",
            )  # fmt: skip


def _references(
    file: str, protocol: Protocol, protocols: Mapping[str, Protocol], cautions: Mapping[str, Caution]
) -> Iterator[BookFault]:
    reach = closure(protocol.protocol, protocols)
    tests = {name for one in reach for name in protocols[one].tests}
    topics = {name for one in reach for name in protocols[one].topics}

    def missing(path: Path, what: str, name: str, known: set[str]) -> Iterator[BookFault]:
        if name not in known:
            yield BookFault(
                file, path, "protocol-name-unknown",
                f'no {what} is named "{name}"', f"the name of a {what} is needed",
                nearest(name, known) or _WHERE.get(what, f"Write the {what} as it stands where it is defined."),
            )  # fmt: skip

    for index, name in enumerate(protocol.order):
        yield from missing(("order", index), "test", name, tests)
    for index, name in enumerate(protocol.cautions):
        yield from missing(("cautions", index), "caution", name, set(cautions))
    for name, test in protocol.tests.items():
        for index, topic in enumerate(test.reaches):
            yield from missing(("tests", name, "reaches", index), "topic", topic, topics)
        for index, caution in enumerate(test.cautions):
            yield from missing(("tests", name, "cautions", index), "caution", caution, set(cautions))
        for index, condition in enumerate(test.coverage):
            if condition in READINGS:
                yield BookFault(
                    file, ("tests", name, "coverage", index), "protocol-condition-reserved",
                    f'a condition is named "{condition}"', f"a name beside {', '.join(READINGS)} is needed",
                    "Give the condition another name.",
                )  # fmt: skip
            yield from missing(("tests", name, "coverage", index), "condition", condition, set(test.conditions))
        for condition, column in test.conditions.items():
            here = ("tests", name, "conditions", condition)
            for value in column.unless:
                yield from missing((*here, "unless", value), "value of this condition", value, set(column.values))
            for index, value in enumerate(column.by_name):
                yield from missing((*here, "by_name", index), "value of this condition", value, set(column.values))


def _units(file: str, name: str, test: Test) -> Iterator[BookFault]:
    def fault(path: Path, found: str, needed: str, mend: str) -> BookFault:
        return BookFault(file, ("tests", name, *path), "protocol-unit-unknown", found, needed, mend)

    yes_no = test.answer == YES_OR_NO
    if yes_no != (test.quantity == YES_OR_NO):
        yield fault(
            ("quantity",), f'the answer is a {test.answer}, and the quantity is "{test.quantity}"',
            f'the quantity "{YES_OR_NO}" belongs to the answer "{YES_OR_NO}"', "Change one of the two.",
        )  # fmt: skip
    elif not yes_no and test.quantity not in QUANTITIES:
        yield fault(
            ("quantity",), f'the quantity "{test.quantity}" is not in the list', "a quantity of the list is needed",
            nearest(test.quantity, QUANTITIES) or UNITS_AT,
        )  # fmt: skip
    for path, text in ((("unit",), test.unit), *((("units", i), text) for i, text in enumerate(test.units))):
        known = units.unit(text)
        if known is None:
            yield fault(
                path, f'the unit "{text}" is not in the list', "a unit of the list is needed",
                unit_meant(text, test.quantity),
            )  # fmt: skip
        elif not yes_no and test.quantity in QUANTITIES and known.quantity != test.quantity:
            yield fault(
                path, f'"{text}" is a unit of {known.quantity}', f"a unit of {test.quantity} is needed",
                "Look at the unit and at the quantity.",
            )  # fmt: skip
    for condition, column in test.conditions.items():
        if column.unit is not None and units.unit(column.unit) is None:
            yield fault(
                ("conditions", condition, "unit"), f'the unit "{column.unit}" is not in the list',
                "a unit of the list is needed", unit_meant(column.unit),
            )  # fmt: skip
