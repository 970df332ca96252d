"""Each file of evidence is, byte for byte, the one that was registered.

No exception lifts this. Where only the line ends of a text differ, the problem says so: then a program changed
the file on its way, and the original can be had back.

Fails: one byte of a photograph differs from the one that was registered.
Passes: the digest in evidence.yml is the digest of the file.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="evidence-altered",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Each file of evidence is, byte for byte, the one that was registered.",
    reason="If one file may have changed, the reader must doubt all of them.",
    source="ISO/IEC 27037:2012; FIPS 180-4",
    status="secondary",
    mend="Put the original back from its first copy; never write the new digest over the old one.",
    rows=("R26",),
    liftable=False,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a file."""
    for ref, evidence in facts.case.evidence.items():
        fact = facts.case.files.get(evidence.file) if evidence.file is not None else None
        if fact is None or not fact.sha256:
            continue
        registered = evidence.sha256.replace(" ", "").lower()
        if registered == fact.sha256.lower():
            continue
        if registered in fact.other_line_ends:
            yield facts.problem(
                ENTRY,
                ref,
                "sha256",
                found=f"the line ends of {evidence.file} are not those of the registered file; the text is the same",
                needed="the registered bytes are needed",
                mend="Mark evidence/ as -text in .gitattributes, then take the file again from its first copy.",
            )
        elif len(registered) != 64 or set(registered) - set("0123456789abcdef"):
            yield facts.problem(
                ENTRY,
                ref,
                "sha256",
                found=f"this is no SHA-256 digest ({len(registered)} characters)",
                needed="64 characters of 0 to 9 and a to f are needed",
                mend="Take the digest from the first copy of the file, as sha256sum prints it.",
            )
        else:
            yield facts.problem(
                ENTRY,
                ref,
                "sha256",
                found=f"{evidence.file} has the digest {fact.sha256[:12]}…, registered is {registered[:12]}…",
                needed="the registered bytes are needed",
            )
