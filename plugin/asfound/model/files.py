"""How large a file may be, and which names are no files of anybody's. Loaded by what has to start quickly."""

# Common code hosts warn above 50 MiB a file and refuse above 100 MiB (their published limits).
EVIDENCE_WARN = 50 * 1_048_576
EVIDENCE_BYTES = 100 * 1_048_576

_LITTER = frozenset({".DS_Store", "Thumbs.db", "desktop.ini", ".gitkeep"})
_LITTER_STARTS = ("~$", ".~lock")


def is_litter(name: str) -> bool:
    """Whether a file of this name is left behind by a program and passed over."""
    return name in _LITTER or name.startswith(_LITTER_STARTS)
