"""How well a source was read."""

from __future__ import annotations

from enum import StrEnum


class SourceStatus(StrEnum):
    """How well the source was read."""

    CONFIRMED = "confirmed"
    SECONDARY = "secondary source"
    FROM_MEMORY = "from memory"
    COMMON_PRACTICE = "common practice, no source"
