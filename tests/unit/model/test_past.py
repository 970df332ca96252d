"""Which change brought the value of a reading, over every way in which a row can come, be filled, and go."""

from __future__ import annotations

import pytest

from asfound.model.past import FieldChange, RecordChange, brought_value


def told(*steps: tuple[str, str | None, str | None]) -> list[RecordChange]:
    """Changes of one row, oldest first: kind, value before, value after."""
    return [
        RecordChange(
            str(number), "R-x-1", kind, "x.csv", 2,
            () if kind == "added" else (FieldChange("port", "1", "1"), FieldChange("value [W]", old, new)),
        )
        for number, (kind, old, new) in enumerate(steps)
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("steps", "found"),
    [
        # `added` tells no fields: a row that is never touched again had its value from the first.
        ((("added", None, None),), "0"),
        ((("added", None, None), ("changed", "", "5")), "1"),
        ((("added", None, None), ("changed", None, "5"), ("changed", "5", "6")), "1"),
        ((("added", None, None), ("changed", "5", "6")), "0"),
        # Emptied and filled again: as old as the row, or a value could be made to look young.
        ((("added", None, None), ("changed", "5", ""), ("changed", "", "6")), "0"),
        # Laid out empty and taken out empty, as a plan is narrowed: no value ever stood there.
        ((("added", None, None), ("removed", "", None)), None),
        ((("added", None, None), ("removed", None, None)), None),
        # Taken out with a value: it was there all the time.
        ((("added", None, None), ("removed", "5", None)), "0"),
        ((("added", None, None), ("changed", "", "5"), ("removed", "5", None)), "1"),
        # Taken out empty, and laid out again with a value.
        ((("added", None, None), ("removed", "", None), ("added", None, None)), "2"),
        ((("added", None, None), ("removed", "", None), ("added", None, None), ("changed", "", "5")), "3"),
        ((), None),
    ],
)
def test_what_brought_a_value(steps: tuple[tuple[str, str | None, str | None], ...], found: str | None) -> None:
    change = brought_value(told(*steps))
    assert (None if change is None else change.commit) == found
