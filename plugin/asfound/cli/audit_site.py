"""`asfound audit-site`."""

from __future__ import annotations

import hashlib
import os
import re
from importlib.metadata import version
from pathlib import Path

import click

from asfound import assess, emit
from asfound.audit import audit
from asfound.problems import Level

_REGISTERED = re.compile(r"^\s*sha256:\s*[\"']?([0-9a-f]{64})\b", re.MULTILINE)


def run_audit(folder: str, form: str | None, fail_on: str, root: str | None) -> int:
    """Audit and print; the exit code."""
    place = Path(folder)
    if not place.is_dir():
        raise click.UsageError(f"there is no folder {folder}; build the site first")
    if not any(place.rglob("*.html")):
        raise click.UsageError(f"{folder} holds no page; name the folder a site was built into")
    home = Path(root) if root else assess.find_root(Path.cwd())
    originals = _originals(home, place)
    try:
        problems = audit(place, originals)
    except OSError as error:
        raise click.UsageError(f"{folder} cannot be read: {(error.strerror or 'the system refused').lower()}") from None
    form = form or ("github" if os.environ.get("GITHUB_ACTIONS") == "true" else "text")
    closing = f"{emit.summary(problems)}; held against {len(originals)} raw files"
    log = [*(said for _, said in emit.text(problems)), f"{emit.plain(place.name)}: {closing}."]
    if form == "json":
        click.echo(emit.as_json({place.name: problems}, "", version("asfound")), nl=False)
    elif form == "github":
        before, after = emit.quiet("\n".join(log))
        for line in (before, *log, after, *emit.github(problems)):
            click.echo(line)
    else:
        for line in log:
            click.echo(line)
    heavy = {Level.REJECT} if fail_on == "reject" else {Level.REJECT, Level.WARN}
    return 1 if any(problem.level in heavy for problem in problems) else 0


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
