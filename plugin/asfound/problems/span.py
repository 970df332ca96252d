"""Where something stands in a file."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A place in a file.

    `path` is relative to the repository, with `/`; never a path of the machine.
    `line` and `column` count from 1, the column in characters; 0 means the file (or line) as a whole.
    """

    path: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        if self.line == 0:
            return self.path
        if self.column == 0:
            return f"{self.path}:{self.line}"
        return f"{self.path}:{self.line}:{self.column}"
