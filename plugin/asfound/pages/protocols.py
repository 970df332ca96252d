"""The register of protocols: how each kind of device is examined, for whoever asks what was looked for and what not.

A page a protocol, and one that lists them by the kinds of devices they are for. A test stands on the page of the one
protocol whose own it is; where another protocol includes it, that one's order of work leads there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from jinja2 import Environment
from msgspec import Struct

from asfound.model.included import with_included
from asfound.model.limits import Book, ConditionColumn, Protocol, Test
from asfound.model.work import Tier
from asfound.pages.page import Options, Page, relative
from asfound.pages.prose import Prose
from asfound.pages.render import headings
from asfound.pages.texts import listed

LIST = "protocols.md"
_HOW = {None: "Measured", "mark": "Read off the mark", "record": "Read from the record", "thing": "Seen"}


class Led(Struct, frozen=True):
    """Words with the address they lead to."""

    href: str
    words: str


class Block(Struct, frozen=True):
    """A test as its page shows it: lines as name and value, and where a limit for it stands."""

    name: str
    test: Test
    lines: tuple[tuple[str, str], ...]
    reaches: tuple[str, ...]
    limits: tuple[Led, ...]
    cautions: tuple[Led, ...]


def protocol_uri(name: str) -> str:
    """Source address of a protocol's page."""
    return f"protocols/{name}.md"


def protocol_pages(environment: Environment, book: Book, options: Options) -> Iterator[Page]:
    """The list of protocols, and a page for each."""
    topics = {topic: one.title for each in book.protocols.values() for topic, one in each.topics.items()}
    common = {"notice": options.notice, "prose": Prose(lambda ref: "", lambda ref: ref)}

    def at(here: str, target: str, anchor: str = "") -> str:
        link = relative(target, here, options.directory_urls)
        return f"{link}#{anchor}" if anchor else link

    rows = [
        (Led(at(LIST, protocol_uri(name)), one.title), one, _included(book, one, LIST, options))
        for name, one in sorted(book.protocols.items(), key=lambda pair: pair[1].title)
    ]
    chapter = at(LIST, "manual/protocol.md")
    body = environment.get_template("protocols.html").render(rows=rows, chapter=chapter, **common)
    yield Page(LIST, "Protocols", body, "Protocols")
    for name, one in sorted(book.protocols.items()):
        here = protocol_uri(name)
        own = [_block(book, test, one.tests[test], topics, here, options) for test in _in_order(one)]
        owners = {
            test: (owner, made.tests[test])
            for owner, made in with_included((name,), book.protocols).items()
            for test in made.tests
        }
        order = [
            Led(at(here, protocol_uri(owners[test][0]), test), owners[test][1].title)
            for test in one.order
            if test in owners
        ]
        starters = [
            Led(at(here, "method.md", f"starter-{starter.starter}"), starter.title)
            for starter in book.starters.values()
            if set(starter.device_kinds) & set(one.device_kinds)
        ]
        body = environment.get_template("protocol.html").render(
            protocol=one,
            tests=own,
            order=order,
            starters=starters,
            included=_included(book, one, here, options),
            cautions=_cautions(book, one.cautions, here, options),
            up=at(here, LIST),
            listed=listed,
            **common,
        )
        yield Page(here, one.title, body, f"{one.title} {' '.join(one.device_kinds)}", headings(body))


def test_places(book: Book, here: str, options: Options) -> dict[str, tuple[Led, ...]]:
    """Name of a test → where it stands, from the page `here`: protocols that do not meet may use a name each."""
    found: dict[str, tuple[Led, ...]] = {}
    for name, one in sorted(book.protocols.items()):
        link = relative(protocol_uri(name), here, options.directory_urls)
        for test in one.tests:
            found[test] = (*found.get(test, ()), Led(f"{link}#{test}", one.title))
    return found


def _in_order(one: Protocol) -> Iterator[str]:
    """Its own tests: in the order of work, then those that only a plan brings by name."""
    yield from (test for test in one.order if test in one.tests)
    yield from (test for test in one.tests if test not in one.order)


def _included(book: Book, one: Protocol, here: str, options: Options) -> tuple[Led, ...]:
    return tuple(
        Led(relative(protocol_uri(name), here, options.directory_urls), book.protocols[name].title)
        for name in one.includes
        if name in book.protocols
    )


def _cautions(book: Book, names: tuple[str, ...], here: str, options: Options) -> tuple[Led, ...]:
    page = relative("cautions.md", here, options.directory_urls)
    return tuple(Led(f"{page}#{name}", book.cautions[name].title) for name in names if name in book.cautions)


def _block(book: Book, name: str, test: Test, topics: Mapping[str, str], here: str, options: Options) -> Block:
    register = relative("limits.md", here, options.directory_urls)
    limits = tuple(
        Led(f"{register}#{made.set}--{limit}", f"{made.document}: {one.title}")
        for _, made in sorted(book.sets.items())
        for limit, one in made.limits.items()
        if name in one.tests
    )
    reaches = tuple(topics.get(topic, topic) for topic in test.reaches)
    return Block(name, test, tuple(_lines(test)), reaches, limits, _cautions(book, test.cautions, here, options))


def _lines(test: Test) -> Iterator[tuple[str, str]]:
    units = [unit for unit in (test.unit, *test.units) if unit != "1"]
    yield (
        "Answered" if test.told_as == "answer" else _HOW[test.read_from],
        f"{test.quantity} in {listed(units, 'or')}" if units else test.quantity,
    )
    yield "Under power", "yes" if test.energised else "no"
    yield "Connected", test.connects
    if test.alters is not Tier.NONE:
        yield "Alters", str(test.alters)
    for condition, column in test.conditions.items():
        yield f"{column.title}{f' [{column.unit}]' if column.unit else ''}", _values(test, condition, column)
    if test.climate:
        yield "On record of the room", listed(test.climate)
    if test.needs_zero_proof:
        yield "A nought", "counts only with proof that the thing was under power and connected"
    if test.bench_checks:
        yield "Of the bench, before", listed(test.bench_checks)
    if test.results:
        yield "Computed from it", listed(test.results)
    if test.unless:
        yield (
            "Not asked where",
            "; ".join(f"{name.replace('_', ' ')} is {listed(words, 'or')}" for name, words in test.unless.items()),
        )


def _values(test: Test, name: str, column: ConditionColumn) -> str:
    covered = name in test.coverage
    said = listed([one for one in column.values if one not in column.by_name])
    rare = f"; where it was so: {listed(column.by_name)}" if column.by_name else ""
    need = "each is covered" if covered else "on record" if column.required else "where it is known"
    return f"{said or ('as the plan lists them' if covered else 'as it was')}{rare} ({need})"
