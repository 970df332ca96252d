"""`asfound audit-site`."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import click

from asfound import assess
from asfound.audit import audit
from asfound.cli.site_told import site_folder, tell
from asfound.problems import Level

_REGISTERED = re.compile(r"^\s*sha256:\s*[\"']?([0-9a-f]{64})\b", re.MULTILINE)


def run_audit(folder: str, form: str | None, fail_on: str, root: str | None) -> int:
    """Audit and print; the exit code."""
    place = site_folder(folder)
    home = Path(root) if root else assess.find_root(Path.cwd())
    originals = _originals(home, place)
    try:
        problems = audit(place, originals)
    except OSError as error:
        raise click.UsageError(f"{folder} cannot be read: {(error.strerror or 'the system refused').lower()}") from None
    heavy = {Level.REJECT} if fail_on == "reject" else {Level.REJECT, Level.WARN}
    return tell(place, problems, f"; held against {len(originals)} raw files", form, heavy)


def _originals(root: Path, site: Path) -> dict[str, str]:
    """Digest of every raw file of every case, and of those that are kept elsewhere, with where it is known from."""
    found: dict[str, str] = {}
    for case in assess.find_cases(root):
        for path in sorted(case.rglob("*")):
            if not path.is_file() or path.is_symlink() or path.resolve().is_relative_to(site.resolve()):
                continue
            data = path.read_bytes()
            name = path.relative_to(root).as_posix()
            if data:
                found.setdefault(hashlib.sha256(data).hexdigest(), name)
            if path.name == "evidence.yml":
                for digest in _REGISTERED.findall(data.decode("utf-8", "replace")):
                    found.setdefault(digest, f"a file that {name} registers")
    return found
