"""A site of five hundred pages, against the floor: the same pages, ready made, handed to MkDocs by a hook.

Publishing is a real build with the theme and the plugin, whose cases were assessed and written beforehand: what is left
is to hand the pages over. The whole build begins with the files of forty-five cases, none of them small: each is read,
judged, asked of by every rule, and written as eleven pages. The floor has nothing of this to do, so that the second
ratio says how much the work itself weighs beside the publishing.

The floor hands over the same HTML, titles, search texts, navigation and files. What a site without cases needs is taken
off each side: the theme's and MkDocs' own start on the floor's, and that of the plugin besides on ours. What the
plugin's start costs stands on a line of its own. Whole processes, in turn.
"""

from __future__ import annotations

import datetime as dt
import json
import os
import pickle
import shutil
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from msgspec import structs

from asfound.cli.reference import commands
from asfound.pages import Options, Page
from asfound.publish.work import Built, build

from .method import Line, processes, spoken

PAGES, TIMES = 500, 5
BOUND, WHOLE_BOUND, START_BOUND = 1.5, 4.5, 4.0
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
        inclusion = InclusionLevel.NOT_IN_NAV if uri.startswith("case/") else InclusionLevel.INCLUDED
        files.append(File.generated(config, uri, content=" ", inclusion=inclusion))
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

SITE = """site_name: Bench
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


NAMES = ("whole", "prepared", "floor", "prepared-empty", "floor-empty")


def sites(place: Path, pages: int) -> tuple[dict[str, Path], int]:
    """Folders of the five sites by name, and how many pages of cases the first three have.

    `prepared` and `floor` publish what `whole` makes of its cases; the empty ones, what it makes of none.
    """
    folders = {name: place / name for name in NAMES}
    for folder in folders.values():
        (folder / "docs").mkdir(parents=True)
        (folder / "docs" / "start.md").write_text("# Start\n", "utf-8")
    with_plugin = SITE.replace("[search]", f'[search, asfound: {{"assess_on": "{ON}"}}]')
    (folders["whole"] / "mkdocs.yml").write_text(with_plugin, "utf-8")
    none = _built(folders["whole"], 0)
    each = _of_cases(_built(place / "probe", 1))
    made = _built(folders["whole"], max(1, round(pages / each)))
    for suffix, built in (("", made), ("-empty", none)):
        prepared = folders[f"prepared{suffix}"]
        (prepared / "mkdocs.yml").write_text(with_plugin + "hooks: [prepared.py]\n", "utf-8")
        (prepared / "prepared.py").write_text(_PREPARED, "utf-8")
        (prepared / "built.pickle").write_bytes(pickle.dumps(structs.replace(built, assessments=())))
        lay_floor(folders[f"floor{suffix}"], built)
    return folders, _of_cases(made)


def lay_floor(floor: Path, built: Built) -> None:
    """A site in a folder whose pages and files are those of `built`, ready made, and that has no plugin of ours."""
    (floor / "mkdocs.yml").write_text(SITE + "hooks: [hook.py]\n", "utf-8")
    (floor / "hook.py").write_text(_HOOK, "utf-8")
    (floor / "pages.json").write_text(json.dumps({uri: _ready(page) for uri, page in built.pages.items()}), "utf-8")
    for uri, data in built.files.items():
        target = floor / "ready" / uri
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(data)


def _built(root: Path, cases: int) -> Built:
    """What the plugin makes of so many cases, put into a folder. Raises ValueError where one is rejected."""
    if cases:
        repository(root, cases)
    built = build(root, "cases", dt.date.fromisoformat(ON), Options(), commands=commands())
    if built.rejects:
        raise ValueError("\n".join(built.rejects))
    return built


def _of_cases(built: Built) -> int:
    return sum(1 for uri in built.pages if uri.startswith("case/"))


def _ready(page: Page) -> dict[str, object]:
    headings = [(entry.title, entry.anchor, entry.level) for entry in page.headings]
    return {"title": page.title, "search": page.search, "body": page.body, "headings": headings}


def command(folder: Path) -> list[str]:
    """One real build of the site in a folder."""
    return [sys.executable, "-m", "mkdocs", "build", "-q", "-f", str(folder / "mkdocs.yml"), "-d", str(folder / "site")]


def measure() -> list[Line]:
    """The five sites, in turn."""
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    with TemporaryDirectory() as place:
        folders, count = sites(Path(place), PAGES)
        taken = processes([command(folders[name]) for name in NAMES], TIMES, Path(place))
    whole, prepared, floor, start, bare = taken
    least = floor - bare
    ready = "the same pages, ready made"
    note = f"starts taken off: {spoken(start)}, {spoken(bare)}"
    lines = [Line("the plugin's start, no case", "no plugin", start / bare, START_BOUND, spoken(start), spoken(bare))]
    for what, spent, bound in (
        (f"{count} pages published", prepared - start, BOUND),
        (f"{count} pages from the files of cases on", whole - start, WHOLE_BOUND),
    ):
        lines.append(Line(what, ready, spent / least, bound, spoken(spent), spoken(least), note))
    return lines
