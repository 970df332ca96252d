"""The file of a certificate is the one whose digest stands in the register.

Fails: the register gives a digest for certificates/LC-26-011.xml, and the file there has another.
Passes: a certificate that is only named, without a file; an instrument that no sheet of the case was read with.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="certificate-altered",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A certificate that is kept is the file that was registered.",
    reason="Whoever asks for the certificate must get the one the readings were judged by.",
    source="ISO/IEC 17025:2017, 7.11.3",
    status="from memory",
    mend="Put back the file as the laboratory sent it; register another certificate as a calibration of its own.",
    rows=("R46",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a certificate of an instrument that a sheet names. Where nobody looked at the files, none."""
    if facts.certificates is None:
        return
    for ref in dict.fromkeys(sheet.instrument for sheet in facts.case.sheets.values()):
        instrument = facts.instruments.get(ref)
        for number, one in enumerate(instrument.calibrations if instrument else ()):
            if one.file is None or one.sha256 is None:
                continue
            found = facts.certificates.get(one.file)
            if found == one.sha256:
                continue
            known = f"the register gives {one.sha256[:12]}… for {one.file}, the certificate {one.certificate} of {ref}"
            said = f"it has the SHA-256 {found[:12]}…" if found else "no such file lies there"
            yield facts.problem(
                ENTRY,
                ref,
                "calibrations",
                number,
                "sha256" if found else "file",
                about=one.certificate,
                found=f"{known}; {said}",
                needed="the file that was registered is needed",
            )
