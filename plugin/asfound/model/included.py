"""Protocols and those they include."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from asfound.model.limits import Protocol


def with_included(names: Iterable[str], protocols: Mapping[str, Protocol]) -> dict[str, Protocol]:
    """Protocols and all they include by name, each once, in order. Names that no protocol has are passed over."""
    found: dict[str, Protocol] = {}

    def take(name: str) -> None:
        if name in protocols and name not in found:
            found[name] = protocols[name]
            for other in protocols[name].includes:
                take(other)

    for name in names:
        take(name)
    return found
