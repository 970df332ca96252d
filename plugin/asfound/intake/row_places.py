"""Where the rows of tables stand, without a span for each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from asfound.problems import Span


class RowPlaces(Mapping[str, Span]):
    """Places of the rows of tables; a span is made when it is asked for, since there may be a hundred thousand."""

    def __init__(self) -> None:
        self._tables: list[tuple[str, Mapping[str, int]]] = []

    def add(self, path: str, lines: Mapping[str, int]) -> None:
        """The rows of one more table."""
        self._tables.append((path, lines))

    def __getitem__(self, ref: str) -> Span:
        for path, lines in self._tables:
            line = lines.get(ref)
            if line is not None:
                return Span(path, line)
        raise KeyError(ref)

    def __iter__(self) -> Iterator[str]:
        return iter(dict.fromkeys(ref for _, lines in self._tables for ref in lines))

    def __len__(self) -> int:
        return sum(1 for _ in self)
