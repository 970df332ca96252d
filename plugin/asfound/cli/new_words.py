"""What can be chosen for a new case, written out so that `--help` need not read the model."""

from __future__ import annotations

EVENTS = (
    "skin lesion", "shock", "no therapy", "too much", "too little", "alarm missed", "fire", "mechanical", "other",
)  # fmt: skip
HARMED = ("patient", "staff", "visitor", "none")
OUTCOMES = ("death", "serious injury", "malfunction", "none", "not yet known")
