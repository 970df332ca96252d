"""Write the SHA-256 of every registered file into a demonstration case's evidence.yml, and the plan's into plan.yml.

Run `python -m tests.support.fill_digests cases/return-pad-lesion` after a file of the demonstration was written
anew. For invented cases only: in a real case a digest that no longer fits is a finding, not something to fill in.
"""

from __future__ import annotations

import hashlib
import re
import sys
from pathlib import Path

_ENTRY = re.compile(r"(  file: (\S+)\n  sha256: )(\S+)\n")
_PLAN = re.compile(r"(\n  sha256: )(pending|[0-9a-f]{64})( E-31)?\n")


def fill(case: Path) -> None:
    """Rewrite the digests of one case folder; nothing else in the files changes."""
    register = case / "evidence.yml"
    text = register.read_text(encoding="utf-8")
    found = {
        path: hashlib.sha256((case / path).read_bytes()).hexdigest()
        for path in (match[2] for match in _ENTRY.finditer(text))
    }
    register.write_text(_ENTRY.sub(lambda match: f"{match[1]}{found[match[2]]}\n", text), encoding="utf-8")
    plan = case / "plan.yml"
    paper = found.get("evidence/papers/plan.txt")
    if plan.is_file() and paper:
        text = plan.read_text(encoding="utf-8")
        plan.write_text(_PLAN.sub(rf"\g<1>{paper}\n", text), encoding="utf-8")


if __name__ == "__main__":
    for name in sys.argv[1:]:
        fill(Path(name))
