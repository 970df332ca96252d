"""What is found in a table, what became of it, and what only a person can answer."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct


class Fate(StrEnum):
    """What became of a thing that was found.

    `mended`: it is put right in the copy. `left`: it stands in the copy as it stood, and a person has to settle it.
    `noted`: nothing is wrong with it, or nobody can know; worth a look.
    """

    MENDED = "mended"
    LEFT = "left"
    NOTED = "noted"


class Found(Struct, frozen=True):
    """One thing found.

    kind    a few words that are the same for all of its kind
    line    in the original, from 1; 0: the file as a whole
    column  in characters, from 1; 0: the line as a whole
    found   what stood there, a clause
    done    what was done, or what a person has to do, a clause
    """

    kind: str
    line: int
    column: int
    found: str
    done: str
    fate: Fate

    @property
    def where(self) -> str:
        """`line 3, column 7`; `the whole file`."""
        if not self.line:
            return "the whole file"
        return f"line {self.line}, column {self.column}" if self.column else f"line {self.line}"


class Question(Struct, frozen=True):
    """What the file itself cannot settle.

    option   the option of the command that answers it
    asks     a question in one sentence, with what makes it one
    choices  what may be answered, and what each would make of the first place
    """

    option: str
    asks: str
    choices: tuple[tuple[str, str], ...]


class Answers(Struct, frozen=True):
    """What somebody who knows answered; empty where nobody did.

    encoding   `cp1252`, `mac-roman`
    separator  `,` `;` a tab or `|`
    decimal    `comma` or `point`: which of the two is the decimal sign of this file
    """

    encoding: str = ""
    separator: str = ""
    decimal: str = ""
