"""What a command says of itself, as plain data. The command line fills it in; a page shows it."""

from __future__ import annotations

from msgspec import Struct


class Option(Struct, frozen=True):
    """An option: how it is written, what it takes, what it is for, and what it is where nothing is said."""

    written: str
    takes: str
    words: str
    default: str = ""
    needed: bool = False


class Command(Struct, frozen=True):
    """A command.

    name      as it is typed behind `asfound`: `check`, `evidence add`
    usage     what may follow it
    words     paragraphs
    examples  lines to type
    """

    name: str
    usage: str
    words: tuple[str, ...]
    examples: tuple[str, ...]
    options: tuple[Option, ...] = ()

    @property
    def anchor(self) -> str:
        """Its anchor on the page of commands."""
        return self.name.replace(" ", "-")
