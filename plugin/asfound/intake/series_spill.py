"""Columns of a long series put aside while they are read, and given back stretch by stretch.

A file is taken apart once, with every cell looked at, and what it says stands as plain doubles in memory up to SMALL
bytes a column, and beyond that in a nameless file of the system's own folder for such files, which is gone when the
series is. So a series of any length is read in bounded memory, and what is worked out of it may go through it more than
once without reading the text again. Nothing is ever written beside the evidence.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Values = NDArray[np.float64]

SMALL = 4 << 20
"""Bytes of a column that stay in memory."""
WIDTH = 8


class _Column:
    """A file of doubles that is closed with the last thing that holds it."""

    def __init__(self) -> None:
        self.file = tempfile.SpooledTemporaryFile(SMALL)  # noqa: SIM115

    def __del__(self) -> None:
        self.file.close()


class Spilled(Mapping[str, Any]):
    """Columns of one length by their names. A column asked for by its name comes whole, as an array; `stretch` gives a
    part of it and holds no more.

    Raises OSError where the system's folder for such files has no room.
    """

    def __init__(self, names: Sequence[str]) -> None:
        self._columns = {name: _Column() for name in names}
        self._size = 0

    def add(self, piece: Mapping[str, Values]) -> None:
        """The next rows."""
        count = 0
        for name, values in piece.items():
            self._columns[name].file.write(values.tobytes())
            count = int(values.size)
        self._size += count

    def named(self, names: Mapping[str, str]) -> Spilled:
        """The same columns by other names: new name → old name."""
        made = Spilled(())
        made._columns = {new: self._columns[old] for new, old in names.items()}
        made._size = self._size
        return made

    @property
    def size(self) -> int:
        """How many rows there are."""
        return self._size

    def stretch(self, name: str, start: int, stop: int) -> Values:
        """Rows from `start` up to but not with `stop` of a column; fewer where it ends before."""
        import numpy as np

        file = self._columns[name].file
        file.seek(start * WIDTH)
        return np.frombuffer(file.read(max(0, min(stop, self._size) - start) * WIDTH))

    def __getitem__(self, name: str) -> Values:
        return self.stretch(name, 0, self._size)

    def __iter__(self) -> Iterator[str]:
        return iter(self._columns)

    def __len__(self) -> int:
        return len(self._columns)
