"""A small set and a small protocol that have nothing wrong with them, and ways to spoil them."""

from __future__ import annotations

from typing import Any

from asfound.limits import BookFault, build_book
from asfound.model.limits import Book, Caution, LimitSet, Protocol

SET_FILE = ".asfound/limits/ours.yml"
OVERLAY_FILE = ".asfound/limits/tighter.yml"
PROTOCOL_FILE = ".asfound/protocols/bench.yml"

LIMIT: dict[str, Any] = {
    "title": "Leakage",
    "test": "leak",
    "quantity": "electric current",
    "sense": "at most",
    "bound": {"kind": "fixed", "value": "300 µA"},
    "when": {"earth": ["open"]},
    "highest_of": ["polarity"],
    "clause": "1.2",
    "kind": "in-service limit",
    "status": "from memory",
}
SET: dict[str, Any] = {
    "set": "ours",
    "title": "Ours",
    "document": "A document",
    "edition": "1",
    "jurisdiction": "Somewhere",
    "limits": {"leak": LIMIT},
}
TEST: dict[str, Any] = {
    "title": "Leakage",
    "quantity": "electric current",
    "unit": "µA",
    "units": ["mA"],
    "purpose": "Shows leakage.",
    "energised": "yes",
    "connects": "safety tester",
    "alters": "none",
    "conditions": {
        "earth": {"title": "Earth", "values": ["closed", "open"]},
        "polarity": {"title": "Polarity", "values": ["normal", "reversed"]},
        "load": {"title": "Load", "unit": "Ω", "required": "no"},
        "setting": {"title": "Setting", "unit": "W", "required": "no"},
    },
    "coverage": ["earth"],
    "reaches": ["leak"],
    "cautions": ["careful"],
}
ASKED: dict[str, Any] = {
    "title": "Stops",
    "quantity": "yes or no",
    "unit": "1",
    "answer": "yes or no",
    "purpose": "Shows whether it stops.",
    "energised": "yes",
    "connects": "simulator",
    "alters": "none",
    "reaches": ["leak"],
}
PROTOCOL: dict[str, Any] = {
    "protocol": "bench",
    "title": "Bench",
    "device_kinds": ["anything"],
    "order": ["leak"],
    "topics": {"leak": {"title": "Leakage"}},
    "tests": {"leak": TEST, "stops": ASKED},
    "cautions": ["careful"],
}
CAUTIONS = {
    "careful": Caution.model_validate(
        {"title": "Careful", "text": "Take care.", "source": "none", "status": "common practice, no source"}
    )
}


def limit_set(changes: dict[str, Any] | None = None, **head: Any) -> LimitSet:
    """The small set, its one limit changed: a value of None takes a field out."""
    limit = {name: value for name, value in {**LIMIT, **(changes or {})}.items() if value is not None}
    return LimitSet.model_validate({**SET, "limits": {"leak": limit}, **head})


def protocol(test: dict[str, Any] | None = None, **head: Any) -> Protocol:
    """The small protocol, its first test changed."""
    return Protocol.model_validate({**PROTOCOL, "tests": {"leak": {**TEST, **(test or {})}, "stops": ASKED}, **head})


def build(*sets: LimitSet, protocols: tuple[Protocol, ...] = ()) -> tuple[Book, tuple[BookFault, ...]]:
    """A book of these sets (the first is the base, the others lie over it) and protocols."""
    first, *others = sets or (limit_set(),)
    files = {OVERLAY_FILE.replace(".yml", f"{i or ''}.yml"): one for i, one in enumerate(others)}
    given = protocols or (protocol(),)
    plans = {PROTOCOL_FILE.replace(".yml", f"{i or ''}.yml"): one for i, one in enumerate(given)}
    return build_book({SET_FILE: first}, {}, files, plans, cautions=CAUTIONS)


def the_fault(faults: tuple[BookFault, ...]) -> BookFault:
    """The one fault there is."""
    assert len(faults) == 1, faults
    return faults[0]


def only(rule: str, *sets: LimitSet, protocols: tuple[Protocol, ...] = ()) -> BookFault:
    """The one fault a book has, which must be of this rule, and must say itself in one line."""
    fault = the_fault(build(*sets, protocols=protocols)[1])
    assert fault.rule == rule, fault
    said = f"{fault.found}; {fault.needed}"
    assert len(said) < 220 and "\n" not in said and fault.mend, fault
    assert not fault.found.endswith(".") and not fault.needed.endswith("."), fault
    return fault
