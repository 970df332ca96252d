"""Agreement of a monitor."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from asfound.physics import monitors
from asfound.physics.calc import Answer, Calculation, Column, Rows


def _agreement(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = monitors.agreement(list(rows["error"]))
    return (
        Answer("bias", found.bias, "1"),
        Answer("standard deviation", found.s, "1"),
        Answer("root mean square", found.rms, "1"),
    )


CALCULATIONS = (
    Calculation(
        "agreement",
        "Bias, spread and root mean square of errors",
        (),
        "√(Σe²/n)",
        "ISO 80601-2-61 for the root mean square",
        "from memory",
        ("Each error is that of the device less the reference, all in one unit.",),
        _agreement,
        columns=(Column("error", "1", "device less reference"),),
        cautions=("These figures belong to studies on people: a reading at the bench cannot test them.",),
    ),
)
