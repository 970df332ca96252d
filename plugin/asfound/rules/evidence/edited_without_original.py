"""An edited, cut or converted file leads to its untouched original, and says what was done.

Fails: `edits: brightened` without `derived_from`; a picture derived from itself; `derived_from: E-3` without `edits`.
Passes: `edits: cut to the plug` and `derived_from: E-3`, which was derived from nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="edited-without-original",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="An edited, cut or converted file leads to its untouched original, and says what was done.",
    reason="Without the original nobody can see what the editing took away.",
    source="ISO/IEC 27037:2012",
    status="secondary",
    mend="Register the untouched original as well, and name it under derived_from; say under edits what was done.",
    rows=("R30",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an entry."""
    known = facts.case.evidence
    for ref, evidence in known.items():
        origin = evidence.derived_from
        if origin is None:
            if evidence.edits is not None and not _says_none(evidence.edits):
                yield facts.problem(
                    ENTRY,
                    ref,
                    "edits",
                    found=f"{ref} was edited, and nothing leads to its original",
                    needed="the untouched original is needed",
                )
            continue
        if _circular(facts, ref):
            yield facts.problem(
                ENTRY,
                ref,
                "derived_from",
                found=f"{ref} is derived from itself" + ("" if origin == ref else f", by way of {origin}"),
                needed="an original that was derived from nothing is needed",
            )
        elif origin in known and known[origin].sha256.lower() == evidence.sha256.lower():
            yield facts.problem(
                ENTRY,
                ref,
                "derived_from",
                found=f"{ref} has the very bytes of {origin}, from which it is said to be derived",
                needed="two different files are needed",
                mend="Register each file once; give the digest of the edited one to the edited one.",
            )
        elif evidence.edits is None:
            yield facts.problem(
                ENTRY,
                ref,
                "derived_from",
                found=f"nothing says what was done to {origin} to make {ref}",
                needed="what was cut, converted or changed is needed",
                level=Level.WARN,
            )


def _says_none(text: str) -> bool:
    return text.strip().rstrip(".").casefold() in {"none", "no", "not edited", "unedited"}


def _circular(facts: Facts, ref: str) -> bool:
    seen: set[str] = set()
    at: str | None = ref
    while at is not None and at not in seen:
        seen.add(at)
        evidence = facts.case.evidence.get(at)
        at = evidence.derived_from if evidence is not None else None
    return at is not None and at in seen and at == ref
