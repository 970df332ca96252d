"""What the program says before anybody has named a command: five things people do, and the commands in the order of
the work."""

from __future__ import annotations

FIVE: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Begin a case in its first hour", ("new",)),
    ("Plan the tests and take readings at the bench", ("plan CASE", "sheet CASE")),
    ("See what to do next, and what stands against a case", ("status CASE", "check")),
    ("Review what a change does to a case", ("compare main",)),
    ("Sign a case, issue it and hand it over", ("approve CASE", "issue CASE", "pack CASE")),
)
"""What is done, and the commands that do it."""

GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Begin", ("init", "instrument", "new", "doctor")),
    ("At the scene and the bench", ("gate", "log", "tags", "evidence", "plan", "sheet", "normalise", "calc")),
    ("What stands, and what is missing", ("status", "check", "explain", "without")),
    ("Review", ("compare", "trace", "hook")),
    ("Sign, issue and hand over", ("approve", "issue", "document", "pack", "verify")),
    ("Publish", ("render", "audit-site", "verify-site", "table")),
    ("Your editor and shell", ("schema", "completion")),
)
"""The commands of help, in the order of the work. Those that are not there are passed over."""


def grouped(names: list[str]) -> list[tuple[str, list[str]]]:
    """The commands that there are, under their headings; what no heading claims comes last."""
    found = [(head, [name for name in under if name in names]) for head, under in GROUPS]
    claimed = {name for _, under in found for name in under}
    found.append(("Besides", [name for name in names if name not in claimed]))
    return [(head, under) for head, under in found if under]


def five_things() -> str:
    """What is printed where no command is named."""
    lines = ["Asfound: from a folder of evidence to a cross-examined report.", ""]
    for words, commands in FIVE:
        lines += [f"{words}:", *(f"    asfound {one}" for one in commands)]
    lines += ["", "Each command tells of itself: asfound check --help. All of them: asfound --help."]
    return "\n".join(lines)
