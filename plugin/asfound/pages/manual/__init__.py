"""The manual: chapters as Markdown beside this module, and the reference of commands, told by whoever knows them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from importlib import resources

from jinja2 import Environment
from msgspec import Struct

from asfound.pages.manual.chapter import Chapter, Link, read_chapter
from asfound.pages.manual.commands import Command, Option
from asfound.pages.page import Entry, Options, Page, relative

__all__ = ["CHAPTERS", "COMMANDS", "HOME", "Chapter", "Command", "Option", "chapter", "manual_pages"]

HOME = "manual/index.md"
COMMANDS = "manual/commands.md"
CHAPTERS = (
    "start", "bench", "issued", "case", "together", "review", "reading", "publish", "quality", "commands", "protocol",
    "machine", "questions",
)  # fmt: skip
"""The chapters in the order of reading. `commands` is made and has no file."""
REGISTERS: tuple[tuple[str, str, str], ...] = (
    ("formats.md", "Formats", "Every file, field by field, made from the records the reader uses."),
    ("rules.md", "Rules", "What a case is refused for, why, and on whose authority."),
    ("protocols.md", "Protocols", "How each kind of device is examined, and what each test can show."),
    ("limits.md", "Limits", "What readings are held against, and how well each source was read."),
    ("method.md", "Method", "From a reading to a verdict and to the level of a conclusion, with the formulas."),
    ("cautions.md", "Cautions", "What can hurt people and destroy evidence."),
    ("reporting.md", "Reporting", "Whose reports may be owed by when."),
)
"""Pages that stand beside the manual and belong to it: address, name, what it is for."""


class Place(Struct, frozen=True):
    """A chapter in the list of contents."""

    href: str
    title: str
    words: str
    here: bool = False


def chapter(name: str) -> str:
    """The Markdown of a chapter, `index` among them."""
    return (resources.files("asfound.pages.manual") / f"{name}.md").read_text("utf-8")


def manual_pages(environment: Environment, commands: Sequence[Command], options: Options) -> Iterator[Page]:
    """Every page of the manual. `commands` are what the command line says of itself."""
    read = {name: read_chapter(chapter(name), _linked(f"manual/{name}.md", options)) for name in _written()}
    titles = {name: (read[name].title, read[name].lede) for name in read}
    titles["commands"] = (
        "Commands",
        "Every command, its options and an example, as the program itself tells them.",
    )
    for name in ("index", *CHAPTERS):
        uri = f"manual/{name}.md"
        places = [
            Place(relative(f"manual/{one}.md", uri, options.directory_urls), *titles[one], here=one == name)
            for one in CHAPTERS
        ]
        registers = [Place(relative(to, uri, options.directory_urls), title, said) for to, title, said in REGISTERS]
        title, lede = titles[name]
        if name == "commands":
            entries = tuple(Entry(2, one.anchor, f"asfound {one.name}") for one in commands)
        else:
            entries = read[name].headings
        body = environment.get_template("manual.html").render(
            title=title, lede=lede, body=read[name].body if name in read else "", commands=commands, name=name,
            home=Place(relative(HOME, uri, options.directory_urls), *titles["index"], here=name == "index"),
            places=places, registers=registers, notice=options.notice,
        )  # fmt: skip
        yield Page(uri, title if name == "index" else f"{title} · Manual", body, f"{title}. {lede}", entries)


def _written() -> tuple[str, ...]:
    return ("index", *(name for name in CHAPTERS if name != "commands"))


def _linked(here: str, options: Options) -> Link:
    """Where a link of a chapter leads: to a page of the site by its source address, or elsewhere as it stands."""

    def link(target: str) -> str:
        path, mark, anchor = target.partition("#")
        if not path.endswith(".md") or "://" in path:
            return target
        uri = path.removeprefix("../") if path.startswith("../") else f"manual/{path}"
        return relative(uri, here, options.directory_urls) + mark + anchor

    return link
