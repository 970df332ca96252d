"""From a protocol and what is on record of the device to planned tests.

Values of conditions are taken from where they stand: the words a protocol allows, lists the item names among its
characteristics (`ports: 1, 2`), conditions at which its maker states values, settings as found. None is made up: where
nothing is on record, the condition is left out and said to be.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

from msgspec import Struct, field

from asfound.desk.yaml_text import Plain
from asfound.measure.units import unit
from asfound.model.base import NotKnown
from asfound.model.case import Case
from asfound.model.included import with_included
from asfound.model.limits import Book, ConditionColumn, LimitKind, Test
from asfound.model.things import Item, ItemRole
from asfound.model.work import Tier
from asfound.verdicts.context import same

_WITHOUT_CONSENT = frozenset({Tier.NONE, Tier.REVERSIBLE})
_NOT_APPLICABLE = "not applicable"
"""The word of a condition that a thing does not have; proposed only where nothing else is left."""
ABSENT = ("none",)
"""All the words that are known of what a device has or has not."""


class Proposed(Struct, frozen=True):
    """Planned tests as they are written, with the comments above each and what has to be said of them.

    altering  tests of the protocols that were left out since they change or destroy something
    unfit     tests that were left out → what the item says of itself that rules them out, as `class II`
    beyond    type tests that were left out since neither the protocol's order nor a limit set of the plan names them
    open      test → conditions the protocol wants covered and for which no value is on record
    unsaid    what the item does not say of itself and tests or values would be left out by, as `class` → its words
    idle      what it says in a word that nothing asks for, as `class internal` → the words that are asked for
    """

    tests: Mapping[str, Plain] = field(default_factory=dict)
    remarks: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    altering: tuple[str, ...] = ()
    unfit: Mapping[str, str] = field(default_factory=dict)
    beyond: tuple[str, ...] = ()
    open: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    unsaid: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    idle: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def protocols_for(book: Book, kind: str) -> tuple[str, ...]:
    """Names of the protocols for a kind of device, in order of their names."""
    return tuple(name for name, one in sorted(book.protocols.items()) if kind in one.device_kinds)


def tests_of(book: Book, names: Sequence[str]) -> dict[str, Test]:
    """The tests of protocols and of those they include, in the order of work of the first that gives one."""
    taken = tuple(with_included(names, book.protocols).values())
    known: dict[str, Test] = {}
    for protocol in taken:
        for name, test in protocol.tests.items():
            known.setdefault(name, test)
    ordered = [name for protocol in taken for name in protocol.order if name in known]
    return {name: known[name] for name in dict.fromkeys([*ordered, *known])}


def sets_for(book: Book, tests: Mapping[str, Test]) -> tuple[str, ...]:
    """Names of the limit sets that hold a limit for any of these tests."""
    return tuple(
        name
        for name, one in sorted(book.sets.items())
        if any(t in tests for lim in one.limits.values() for t in lim.tests)
    )


def beyond(book: Book, names: Sequence[str], sets: Sequence[str]) -> frozenset[str]:
    """Type tests that come along with an included protocol, and that no limit set of the plan speaks of.

    Their figures give no verdict on a used device. Planned unasked, each would want a reading or a reason.
    """
    own = {test for name in names if (one := book.protocols.get(name)) for test in (*one.order, *one.tests)}
    kinds: dict[str, set[LimitKind]] = {}
    for name, limits in book.sets.items():
        for limit in limits.limits.values():
            for test in limit.tests:
                kinds.setdefault(test, set()).add(limit.kind)
                if name in sets:
                    own.add(test)
    only = {test for test, ones in kinds.items() if all(kind.reference_only for kind in ones)}
    return frozenset(only.intersection(tests_of(book, names)) - own)


def main_device(case: Case) -> str | None:
    """The item that tests are about by default: the main device in use at the event, else the first main device."""
    main = [ref for ref, item in case.items.items() if item.role is ItemRole.MAIN_DEVICE]
    used = [ref for ref in main if str(case.items[ref].in_use_at_event) == "yes"]
    return next(iter(used or main), None)


def propose(
    case: Case,
    tests: Mapping[str, Test],
    chosen: Sequence[str],
    item: str,
    why_added: str = "",
    too_far: Collection[str] = (),
) -> Proposed:
    """Planned tests for `chosen` names (`output-power`, `output-power--swap`), all on one item.

    Without names: every test that neither changes nor destroys anything, that can be asked of the item and that is not
    `too_far`. `why_added` is the reason where the plan was sealed before. Raises KeyError for a name no protocol in
    reach has.
    """
    about = case.items.get(item)
    ruled = {name: _ruled_out(test.unless, about) for name, test in tests.items()}
    left = {} if chosen else {name: said for name, said in ruled.items() if said}
    names = list(chosen) or [
        name
        for name, test in tests.items()
        if test.alters in _WITHOUT_CONSENT and name not in left and name not in too_far
    ]
    named = frozenset(
        word.casefold() for test in tests.values() for key, one in test.conditions.items() for word in (key, one.title)
    )
    entries: dict[str, Plain] = {}
    remarks: dict[str, tuple[str, ...]] = {}
    lacking_in: dict[str, tuple[str, ...]] = {}
    for name in names:
        test = tests[name.partition("--")[0]]
        entry, lines, lacking = _entry(case, name, test, item, named)
        if why_added:
            entry["added"] = why_added
        entries[name] = entry
        remarks[name] = tuple(lines)
        if lacking:
            lacking_in[name] = lacking
    rest = [] if chosen else [name for name in tests if name not in names and name not in left]
    altering = tuple(name for name in rest if tests[name].alters not in _WITHOUT_CONSENT)
    far = tuple(name for name in rest if name not in altering)
    words = _words(tests)
    unsaid = {name: words[name] for name in _unsaid(tests, names, about)}
    return Proposed(entries, remarks, altering, left, far, lacking_in, unsaid, dict(_idle(words, about)))


def _entry(
    case: Case, name: str, test: Test, ref: str, named: Collection[str]
) -> tuple[dict[str, Plain], list[str], tuple[str, ...]]:
    item = case.items.get(ref)
    entry: dict[str, Plain] = {"item": ref, "why": " ".join(test.purpose.split())}
    lines = [f"{test.title}."]
    used: dict[str, Plain] = {}
    wanted: dict[str, Plain] = {}
    lacking = []
    for condition, column in test.conditions.items():
        found = _found(case, ref, condition, column, named)
        if found is not None:
            source, text = found
            used[condition] = text
            lines.append(f"{condition} {text} as found ({source}).")
        if condition not in test.coverage or (item is not None and condition in item.characteristics):
            # What the item says of itself is the same in every row.
            continue
        values = [*dict.fromkeys(_values(item, name.partition("--")[0], condition, column))]
        lines += _unfit(column, item, values, _listed(item, condition))
        if not values and _NOT_APPLICABLE in column.values:
            values = [_NOT_APPLICABLE]
        if found is not None and not any(same(found[1], value) for value in values):
            values.insert(0, found[1])
        if values:
            wanted[condition] = values
        elif not column.values:
            lacking.append(condition)
            lines.append(
                f"The protocol asks to cover {condition} ({column.title.lower()}); write its values below coverage."
            )
    if wanted:
        entry["coverage"] = wanted
    if used:
        entry["as_used"] = used
    if test.alters is not Tier.NONE:
        lines.append(f"It alters the thing ({test.alters}).")
    lines.append("Write below `expected` what each explanation would have it show, before it is done, and `separates`.")
    return entry, lines, tuple(lacking)


def _ruled_out(unless: Mapping[str, Sequence[str]], item: Item | None) -> str:
    """What an item says of itself that rules something out, as `class II`; empty where nothing does."""
    known = item.characteristics if item is not None else {}
    for name, words in unless.items():
        if any(same(known.get(name), word) for word in words):
            return f"{name} {known[name]}"
    return ""


def _unfit(column: ConditionColumn, item: Item | None, values: list[str], listed: Sequence[str]) -> Iterator[str]:
    """Take out of `values` what cannot occur with this item and what only a person can name; a comment for each.

    What the item itself lists (`paths: fixed cord and part`) was named by a person.
    """
    gone: dict[str, list[str]] = {}
    for value, unless in column.unless.items():
        if value in values and value not in listed and (said := _ruled_out(unless, item)):
            values.remove(value)
            gone.setdefault(said, []).append(value)
    for said, ones in gone.items():
        yield f"Left out of {column.title.lower()}, since the item says {said}: {', '.join(ones)}."
    rare = [value for value in column.by_name if value in values and value not in listed]
    for value in rare:
        values.remove(value)
    if rare:
        yield f"Only where it was so, and then written below coverage: {', '.join(rare)}."


def _values(item: Item | None, test: str, condition: str, column: ConditionColumn) -> Iterator[str]:
    """Values of a condition that are on record of the device, then those the protocol allows.

    What the item lists (`ports: 1, 2`) is all it has. A value the maker states says at what it was stated and not what
    else the device does: the load of the event is hung although the maker speaks of the rated load alone.
    """
    known = _listed(item, condition)
    words = [value for value in column.values if value != _NOT_APPLICABLE]
    if not known and item is not None:
        yield from (
            text
            for one in item.stated
            if one.quantity == test
            for key, text in one.when.items()
            if key == condition and text not in words
        )
    yield from known or words


def _unsaid(tests: Mapping[str, Test], names: Sequence[str], item: Item | None) -> tuple[str, ...]:
    """What an item might say of itself that would rule out a test or a value of it, and does not.

    Of what stands together (`cord: [fixed], installation: [permanently wired]`) one said is enough, and the first is
    asked for. What can only be said not to be there (`emergency_stop: [none]`) no other word tells, so it is asked for.
    """
    said = item.characteristics if item is not None else {}
    grounds = [
        unless
        for name in names
        for test in (tests[name.partition("--")[0]],)
        for unless in (test.unless, *(one for column in test.conditions.values() for one in column.unless.values()))
    ]
    open_ = [next(iter(one)) for one in grounds if one and not any(name in said for name in one)]
    open_ += [name for one in grounds for name, words in one.items() if tuple(words) == ABSENT and name not in said]
    return tuple(dict.fromkeys(open_))


def _words(tests: Mapping[str, Test]) -> dict[str, tuple[str, ...]]:
    """Characteristics that leave something out → every word that a test knows of them."""
    found: dict[str, list[str]] = {}
    for test in tests.values():
        for unless in (test.unless, *(one for column in test.conditions.values() for one in column.unless.values())):
            for name, words in unless.items():
                found.setdefault(name, []).extend(words)
    for test in tests.values():
        for name, column in test.conditions.items():
            if name in found:
                found[name] = [*column.values, *found[name]]
    return {name: tuple(dict.fromkeys(words)) for name, words in found.items()}


def _idle(words: Mapping[str, tuple[str, ...]], item: Item | None) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What an item says of itself in a word that no test knows: it leaves nothing out, and nobody would notice.

    Where `none` is the only word that is known, every other word says that there is one; `no` alone may mean that there
    is not.
    """
    for name, text in (item.characteristics if item is not None else {}).items():
        known = words.get(name, ())
        there = known == ABSENT and not same(text, "no")
        if known and not there and not any(same(text, word) for word in known):
            yield f"{name} {text}", known


def _listed(item: Item | None, condition: str) -> list[str]:
    """`ports: 1, 2` among the characteristics gives the values of `port`."""
    if item is None:
        return []
    plural = {f"{condition}s", f"{condition.replace(' ', '_')}s", f"{condition.replace(' ', '-')}s"}
    for name, text in item.characteristics.items():
        if name.casefold() in plural:
            return [part.strip() for part in text.split(",") if part.strip()]
    return []


def _found(
    case: Case, ref: str, condition: str, column: ConditionColumn, named: Collection[str]
) -> tuple[str, str] | None:
    """The setting as found that is this condition: by its name, or by being the only one of the item in that unit.

    One that bears the name of another condition (`named`) is that one: the only percent of a workstation may be its
    agent, and is then not the oxygen it was set to. The dial of a vaporiser is found on the vaporiser, and what it
    gives may be planned with its workstation: a control of an accessory that bears the condition's title is that one.
    """
    if case.scene is None:
        return None
    told = _told(case, [ref])
    names = {condition.casefold(), column.title.casefold()}
    fits = [key for key, (control, _, _) in told.items() if control.casefold() in names]
    if not fits:
        beside = _told(
            case, [name for name, one in case.items.items() if one.role is ItemRole.ACCESSORY and name != ref]
        )
        fits = [key for key, (control, _, _) in beside.items() if control.casefold() == column.title.casefold()]
        told |= beside
    wanted = unit(column.unit) if column.unit and condition == "setting" else None
    if not fits and wanted is not None:
        fits = [
            key
            for key, (control, value, symbol) in _told(case, [ref]).items()
            if control.casefold() not in named and unit(symbol or str(value).partition(" ")[2]) is wanted
        ]
    if len(fits) != 1:
        return None
    _, value, symbol = told[fits[0]]
    text = f"{value} {symbol}".strip()
    return (fits[0], text) if not column.values or text in column.values else None


def _told(case: Case, refs: Collection[str]) -> dict[str, tuple[str, str, str]]:
    """Settings as found of some items that are known: id → control, value, unit."""
    return {
        key: (one.control, one.value, one.unit or "")
        for key, one in (case.scene.settings if case.scene is not None else {}).items()
        if one.item in refs and not isinstance(one.value, NotKnown)
    }
