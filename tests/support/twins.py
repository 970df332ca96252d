"""Twins of the return-pad case: the same case with a few faults, each made by one small edit.

Run `python -m tests.support.twins` in the repository to write them again after the good case changed. Most pictures are
registered as kept elsewhere, so that the twins stay small.

weak-return-pad  what a weak report looks like: a hole in custody, an exemplar passed off as the subject, an adverse
                 reading that nobody speaks of, power before inspection, a planned test with neither reading nor reason
four-faults      a repository of its own, whose four faults lie in four different readers and rules
"""

from __future__ import annotations

import re
import shutil
import sys
from dataclasses import dataclass
from pathlib import Path

GOOD = "cases/return-pad-lesion"

Edit = tuple[str, str, str]
"""File, text that stands there once, text of the twin."""


@dataclass(frozen=True)
class Twin:
    """folder: where it is written. kept: pictures it carries as files. lost: registered pictures that are not there."""

    folder: str
    kept: tuple[str, ...]
    edits: tuple[Edit, ...]
    lost: tuple[str, ...] = ()
    organisation: tuple[Edit, ...] | None = None
    """Edits of the organisation's files; None where the twin uses those of the repository."""


# Power on the generator before its inspection was signed.
INSPECTED_LATE: Edit = (
    "gates.yml",
    "    at: 2026-03-12 14:25 -05:00\n    by: examiner\n    outcome: minor damage\n",
    "    at: 2026-03-13 09:50 -05:00\n    by: examiner\n    outcome: minor damage\n",
)

_HANDED = (
    ",examiner,examiner's laboratory,examiner's laboratory,examination,40117,,seal whole at hand-over; then opened,"
)

WEAK = Twin(
    "tests/cases/weak-return-pad",
    ("theatre-overall", "generator-display", "used-pad-at-collection", "gel-print"),
    (
        ("case.yml", "case: return-pad-lesion\n", "case: weak-return-pad\n"),
        ("case.yml", "title: A lesion on the thigh", "title: The weak twin of a lesion on the thigh"),
        # A hole in custody: somebody else hands over the used pad than the one who had it.
        (
            "custody.csv",
            f"20,I-4,transfer,2026-03-12 09:50 -05:00,2026-03-12 09:50 -05:00,custodian{_HANDED}custodian,",
            "20,I-4,transfer,2026-03-12 09:50 -05:00,2026-03-12 09:50 -05:00,theatre-coordinator"
            f"{_HANDED}theatre-coordinator,",
        ),
        # The picture of the unused pad, as if it were of the used one.
        ("findings.yml", "V-30, E-15, E-16, E-17, E-48]", "V-30, E-15, E-16, E-17, E-48, E-18]"),
        # A leakage outside its limit, which no finding speaks of.
        ("readings/hf-leakage.csv", "high-current coagulation,61,", "high-current coagulation,161,"),
        (
            "findings.yml",
            "was at most [=R-hf-leakage-2], from the return\n    electrode in high-current coagulation.",
            "was [=R-hf-leakage-1] in cut, from the return\n    electrode.",
        ),
        ("findings.yml", "[R-hf-leakage-1, R-hf-leakage-2, R-hf-leakage-3", "[R-hf-leakage-1, R-hf-leakage-3"),
        INSPECTED_LATE,
        # A planned test with neither reading nor reason.
        (
            "plan.yml",
            "    not_done: It would change the item, and its maker asked on 2026-03-16 that it not be handled before a "
            "representative can attend [N-1].\n",
            "",
        ),
    ),
)

FOUR = Twin(
    "tests/cases/four-faults",
    ("generator-display",),
    (
        ("case.yml", "case: return-pad-lesion\n", "case: four-faults\n"),
        ("case.yml", "title: A lesion on the thigh", "title: Four faults in the case of a lesion on the thigh"),
        INSPECTED_LATE,
        # A field typed twice.
        ("room.yml", "  value: 120.6 V, polarity right", "  kind: wall socket\n  value: 120.6 V, polarity right"),
    ),
    lost=("gel-print",),
    organisation=(
        # The second analyser was due a week before it was used.
        ("instruments.yml", "      due: 2027-01-09\n", "      due: 2026-03-09\n"),
    ),
)

TWINS = (WEAK, FOUR)

_PICTURE = re.compile(r"  file: (evidence/photographs/(\S+)\.jpg)\n")


_OURS = ("instruments.yml", "limits/generator-handbook.yml", "settings.yml")
"""Files of the organisation that the return-pad case needs; of the instruments those before M-8."""


def made(root: Path, twin: Twin) -> dict[str, bytes]:
    """The files of a twin, by path below its folder.

    Raises ValueError where an edit does not find its text exactly once: the good case has changed.
    """
    files = _edited(root / GOOD, twin.edits)
    _thin(files, twin)
    if twin.organisation is None:
        return files
    name = twin.folder.rpartition("/")[2]
    found = {f"cases/{name}/{path}": data for path, data in files.items()}
    ours = _edited(root / ".asfound", twin.organisation)
    ours["instruments.yml"] = ours["instruments.yml"].partition(b"M-8:")[0]
    found.update({f".asfound/{path}": ours[path] for path in _OURS})
    return found


def _edited(folder: Path, edits: tuple[Edit, ...]) -> dict[str, bytes]:
    paths = sorted(path for path in folder.rglob("*") if path.is_file())
    files = {path.relative_to(folder).as_posix(): path.read_bytes() for path in paths}
    for name, old, new in edits:
        text = files[name].decode("utf-8")
        if text.count(old) != 1:
            raise ValueError(f"{name} holds {text.count(old)} times, not once: {old!r}")
        files[name] = text.replace(old, new).encode("utf-8")
    return files


def _thin(files: dict[str, bytes], twin: Twin) -> None:
    """Take out the pictures that the twin does not carry, and say in its register that they are kept elsewhere."""

    def kept_elsewhere(match: re.Match[str]) -> str:
        if match[2] in twin.kept:
            return match[0]
        size = len(files.pop(match[1]))
        if match[2] in twin.lost:
            return match[0]
        return (
            "  kept_elsewhere:\n    keeper: examiner\n    place: the examiner's archive\n"
            f"    size: {size} bytes\n    why: to keep this copy of the case small\n"
        )

    files["evidence.yml"] = _PICTURE.sub(kept_elsewhere, files["evidence.yml"].decode("utf-8")).encode("utf-8")


def write(root: Path) -> None:
    """Write the twins anew."""
    for twin in TWINS:
        shutil.rmtree(root / twin.folder, ignore_errors=True)
        for name, data in made(root, twin).items():
            path = root / twin.folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)


if __name__ == "__main__":
    write(Path(sys.argv[1]) if len(sys.argv) > 1 else Path())
