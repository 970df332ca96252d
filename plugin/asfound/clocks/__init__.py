"""Clocks, pure: each clock's offset with its doubt, and the events of a case on one base of time."""

from __future__ import annotations

from asfound.clocks.place import place
from asfound.clocks.zones import ZoneOf

__all__ = ["ZoneOf", "place"]
