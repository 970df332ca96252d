"""A site of five hundred pages, against the floor: the same pages, ready made, handed to MkDocs by a hook.

Two things are held against that floor. Publishing is a real build with the theme and the plugin, whose cases were
assessed and written beforehand: what is left is to hand the pages over. The whole build begins with the files of
forty-five cases, none of them small: each is read, judged, asked of by every rule, and written as eleven pages. The
floor has nothing of this to do, so the second ratio says how much the work itself weighs beside the publishing.

The floor hands over the same HTML, titles, search texts and files. What MkDocs and the theme need for an empty site is
taken off all. Whole processes, in turn.
"""

from __future__ import annotations

import json
import os
import pickle
import shutil
import sys
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from .method import Line, processes, spoken

PAGES, TIMES, BOUND, WHOLE_BOUND = 500, 3, 1.5, 4.0
ON = "2026-03-20"
CASE = Path(__file__).resolve().parents[1] / "rules" / "base"

_HOOK = '''
"""The floor: pages known beforehand."""
import json
from pathlib import Path

from mkdocs.structure.files import File, InclusionLevel
from mkdocs.structure.toc import AnchorLink, TableOfContents

HERE = Path(__file__).parent
PAGES = json.loads((HERE / "pages.json").read_text("utf-8"))


def on_files(files, *, config):
    for uri, page in PAGES.items():
        files.append(File.generated(config, uri, content=" ", inclusion=InclusionLevel.NOT_IN_NAV))
    for path in sorted((HERE / "ready").rglob("*")):
        if path.is_file():
            uri = path.relative_to(HERE / "ready").as_posix()
            files.append(File.generated(config, uri, content=path.read_bytes()))
    return files


def on_page_markdown(markdown, *, page, config, files):
    ready = PAGES.get(page.file.src_uri)
    if ready:
        page.meta["title"] = ready["title"]
        page.meta["hide"] = ["navigation", "toc", "footer"]
        if not ready["search"]:
            page.meta["search"] = {"exclude": True}
    return markdown


def on_page_content(html, *, page, config, files):
    ready = PAGES.get(page.file.src_uri)
    if not ready:
        return html
    page.toc = TableOfContents([AnchorLink(*entry) for entry in ready["headings"]])
    return f"<p>{ready['search']}</p>" if ready["search"] else ""


def on_page_context(context, *, page, config, nav):
    ready = PAGES.get(page.file.src_uri)
    if ready:
        page.content = ready["body"]
    return context
'''

_PREPARED = '''
"""The plugin, with what it makes of the cases made beforehand."""
import pickle
from pathlib import Path

from asfound.bridge import plugin

plugin.build = lambda *args, **named: pickle.loads((Path(__file__).parent / "built.pickle").read_bytes())
'''

_EMPTY = """site_name: Bench
docs_dir: docs
theme: {name: material, font: false, features: [navigation.tabs]}
plugins: [search]
"""


def repository(root: Path, cases: int) -> None:
    """A repository of so many cases, each a whole one with an identity of its own."""
    shutil.copytree(CASE / ".asfound", root / ".asfound")
    for number in range(cases):
        folder = root / "cases" / f"case-{number:03d}"
        shutil.copytree(CASE / "cases" / "base", folder)
        head = folder / "case.yml"
        text = head.read_text("utf-8")
        changed = text.replace("case: base\n", f"case: case-{number:03d}\n", 1)
        if changed == text:
            raise ValueError("the case copied here has no line “case: base” any more")
        head.write_text(changed, "utf-8", newline="\n")


def sites(place: Path, pages: int) -> tuple[tuple[Path, Path, Path, Path], int]:
    """Folders of the whole site, the prepared one, the floor and the empty one, and how many pages the first three
    have."""
    import datetime as dt

    from asfound.bridge.work import build
    from asfound.pages import Options

    mine, prepared, floor, empty = (place / name for name in ("mine", "prepared", "floor", "empty"))
    probe = place / "probe"
    repository(probe, 2)
    each, rest = _pages(probe)
    cases = max(1, round((pages - rest) / each))
    repository(mine, cases)
    for folder in (mine, prepared, floor, empty):
        (folder / "docs").mkdir(parents=True)
        (folder / "docs" / "start.md").write_text("# Start\n", "utf-8")
        (folder / "mkdocs.yml").write_text(_EMPTY, "utf-8")
    with_plugin = _EMPTY.replace("[search]", f'[search, asfound: {{"on": "{ON}"}}]')
    (mine / "mkdocs.yml").write_text(with_plugin, "utf-8")
    (prepared / "mkdocs.yml").write_text(with_plugin + "hooks: [prepared.py]\n", "utf-8")
    (prepared / "prepared.py").write_text(_PREPARED, "utf-8")
    (floor / "mkdocs.yml").write_text(_EMPTY + "hooks: [hook.py]\n", "utf-8")
    (floor / "hook.py").write_text(_HOOK, "utf-8")
    built = build(mine, "cases", dt.date.fromisoformat(ON), Options())
    if built.rejects:
        raise ValueError("\n".join(built.rejects))
    (prepared / "built.pickle").write_bytes(pickle.dumps(replace(built, assessments=())))
    ready = {
        uri: {
            "title": page.title,
            "search": page.search,
            "body": page.body,
            "headings": [(entry.title, entry.anchor, entry.level) for entry in page.headings],
        }
        for uri, page in built.pages.items()
    }
    (floor / "pages.json").write_text(json.dumps(ready), "utf-8")
    for uri, data in built.files.items():
        target = floor / "ready" / uri
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(data)
    return (mine, prepared, floor, empty), len(ready)


def _pages(root: Path) -> tuple[int, int]:
    """Pages of one case, and of the rest of the site."""
    import datetime as dt

    from asfound.bridge.work import build
    from asfound.pages import Options

    uris = list(build(root, "cases", dt.date.fromisoformat(ON), Options()).pages)
    each = sum(1 for uri in uris if uri.startswith("case/case-000/"))
    return each, len(uris) - 2 * each


def command(folder: Path) -> list[str]:
    """One real build of the site in a folder."""
    return [sys.executable, "-m", "mkdocs", "build", "-q", "-f", str(folder / "mkdocs.yml"), "-d", str(folder / "site")]


def measure() -> list[Line]:
    """The four sites, in turn."""
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    with TemporaryDirectory() as place:
        folders, count = sites(Path(place), PAGES)
        whole, publishing, floor, bare = processes([command(folder) for folder in folders], TIMES, Path(place))
    least = floor - bare
    note = f"without the empty site, {spoken(bare)}"
    lines = []
    for what, taken, bound in (
        (f"{count} pages published", publishing - bare, BOUND),
        (f"{count} pages, from the files of the cases on", whole - bare, WHOLE_BOUND),
    ):
        lines.append(Line(what, "the same pages, ready made", taken / least, bound, spoken(taken), spoken(least), note))
    return lines
