"""The plugin: MkDocs asks, the work answers."""

from __future__ import annotations

import datetime as dt
import logging
import re
from pathlib import Path
from typing import Literal
from urllib.parse import urljoin

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page as MkPage
from mkdocs.structure.toc import TableOfContents
from mkdocs.utils.templates import TemplateContext

from asfound import checked
from asfound.assess import Faulted, Means
from asfound.bridge.outside import finished, prepare
from asfound.bridge.settings import AsfoundConfig
from asfound.cli.reference import commands
from asfound.document import Undocumentable
from asfound.figures.packed import unpacked
from asfound.pages import ASSETS, MANUAL, SEARCH_INDEX, Options, Page, address, relative
from asfound.publish.finished import Kept
from asfound.publish.work import Built, build, day, source
from asfound.store import PlaceRefused, open_store

log: logging.LoggerAdapter[logging.Logger] = get_plugin_logger(__name__)
NAME = "asfound"
SEARCHES = ("search", "material/search")
_CANONICAL = re.compile(r"<link\b(?=[^>]*\brel=[\"']?canonical\b)[^>]*>", re.IGNORECASE)
IN_NAV = (
    "index.md", MANUAL, "protocols.md", "limits.md", "rules.md", "method.md", "cautions.md", "reporting.md",
    "formats.md",
)  # fmt: skip
"""Pages that a navigation names. Cases are found from the docket: a navigation that lists every case grows with the
square of their number."""


class AsfoundPlugin(BasePlugin[AsfoundConfig]):  # type: ignore[no-untyped-call]
    """Publishes the cases of a repository, and refuses to while a reject stands."""

    def __init__(self) -> None:
        self._serving = False
        self._built: Built | None = None
        self._root = Path()
        self._kept = Kept()
        self._checked: frozenset[str] = frozenset()

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:
        """Remember whether somebody is watching: then problems are shown in the page instead of ending the run."""
        self._serving = command == "serve"

    @event_priority(100)
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Find the repository, watch it, and ask for the stylesheet and the loader on every page.

        Early, so that a search that is taken away has done nothing yet.
        """
        if self.config.own_search:
            _take_search_away(config)
        self._root = Path(config.config_file_path or "mkdocs.yml").resolve().parent
        for name in (self.config.cases, ".asfound"):
            place = str(self._root / name)
            if Path(place).is_dir() and place not in config.watch:
                config.watch.append(place)
        prepare(config, self.config)
        config.extra_css.append(f"{ASSETS}/asfound.css")
        config.extra_javascript.append(f"{ASSETS}/asfound.js")
        return config

    @event_priority(50)
    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Take away everything that lies in a case folder, and hand over our own pages and files.

        Early, so that plugins that build a navigation see our pages.
        """
        self._built = self._build(config)
        if not self.config.own_search:
            self._built.files.pop(SEARCH_INDEX, None)
        for file in list(files):
            if self._raw(file, config):
                files.remove(file)
        for uri, page in self._built.pages.items():
            files.append(self._page_file(config, uri, page, files))
        for uri, data in self._built.files.items():
            files.append(_generated(config, uri, data))
        return files

    def _build(self, config: MkDocsConfig) -> Built:
        try:
            on = day(self.config.assess_on)
        except ValueError:
            if self.config.assess_on:
                said = f'`assess_on` holds "{self.config.assess_on}"; a date such as 2026-03-19 is needed'
            else:
                said = "SOURCE_DATE_EPOCH does not hold a number of seconds since 1970 that makes a date"
            raise PluginError(f"asfound: {said}.") from None
        options = Options(
            config.use_directory_urls,
            source(config.repo_url, self.config.source),
            self.config.notice,
            self.config.show_duties,
            self.config.documents,
        )
        try:
            built = self._made(on, options)
        except Undocumentable as error:
            said = "\n".join(error.reasons)
            raise PluginError(f"asfound: `documents` is on, and no document can be made of a case.\n{said}") from None
        if built.rejects and not self._serving:
            raise PluginError("asfound: the site is not built while a reject stands.\n" + "\n".join(built.rejects))
        for headline in built.rejects:
            # As an error it would end a strict server at once, and nobody could see in the page what is to be mended.
            log.log(logging.INFO if config.strict else logging.ERROR, headline)
        if self.config.check_charts if self.config.check_charts is not None else config.strict:
            self._checked = _check_charts(built, self._checked)
        return built

    def _made(self, on: dt.date, options: Options) -> Built:
        if self.config.jobs < 0:
            raise PluginError(f"asfound: `jobs` holds {self.config.jobs}; a whole number from 0 on is needed.")
        # Only who serves builds twice.
        kept = self._kept if self._serving else Kept()
        try:
            store = open_store(self._root, self.config.cache)
            remembered = kept.remembered if self._serving else None
            means = Means(store, self.config.jobs, remembered=remembered, passing=not self._serving)
            before = checked.asked(self._root, on, means) if self._serving else None
            built = build(self._root, self.config.cases, on, options, self.config.history, means, kept, commands())
            # Whoever edits with the site at hand need not wait for a hook to check the case again.
            checked.keep(before, built.assessments, self.config.history)
            return built
        except PlaceRefused as error:
            raise PluginError(f"asfound: {error}") from None
        except Faulted as error:
            raise PluginError(f"asfound met a fault of its own. {error}") from error

    def _raw(self, file: File, config: MkDocsConfig) -> bool:
        """Whether a file of the documents folder belongs to a case: such files are never published as they are."""
        if file.generated_by is not None or file.abs_src_path is None:
            return False
        # Both where it seems to lie and where it does: a link in a case may lead out of it, and one elsewhere into it.
        lies = seems = Path(file.abs_src_path).resolve()
        if Path(file.abs_src_path).is_relative_to(config.docs_dir):  # not a file of the theme
            seems = Path(config.docs_dir).resolve() / Path(file.abs_src_path).relative_to(config.docs_dir)
        cases = (self._root / self.config.cases).resolve()
        if seems.is_relative_to(cases) or lies.is_relative_to(cases):
            return not (seems.parent == cases and seems.suffix == ".md" and seems == lies)
        return lies.is_relative_to(self._root / ".asfound")

    def _page_file(self, config: MkDocsConfig, uri: str, page: Page, files: Files) -> File:
        own = files.get_file_from_path(uri)
        if own is not None:
            files.remove(own)
        inclusion = InclusionLevel.INCLUDED if uri in IN_NAV else InclusionLevel.NOT_IN_NAV
        # MkDocs renders this text and we put the finished page in its place. It is empty, so that no word of a case is
        # ever read as Markdown of the engine's, with links and lists that nobody meant.
        return _generated(config, uri, " ", inclusion)

    def on_page_markdown(self, markdown: str, *, page: MkPage, config: MkDocsConfig, files: Files) -> str:
        """Set what themes ask of a page's head."""
        ours = self._ours(page)
        if ours is not None:
            # Both themes print a title as it is, so it is handed over escaped.
            page.meta["title"] = _escaped(ours.title)
            page.meta["hide"] = ["navigation", "toc", "footer"]
            if not ours.search:
                page.meta["search"] = {"exclude": True}
        return markdown

    def on_page_content(self, html: str, *, page: MkPage, config: MkDocsConfig, files: Files) -> str:
        """Hand over what a search may see of the page. Both themes' searches index this and nothing else."""
        ours = self._ours(page)
        if ours is None:
            return html
        # Our pages hide the theme's table of contents, which would be a tenth of a long page's bytes.
        page.toc = TableOfContents([])
        return f"<p>{_escaped(ours.search)}</p>" if ours.search else ""

    @event_priority(-100)
    def on_page_context(
        self, context: TemplateContext, *, page: MkPage, config: MkDocsConfig, nav: Navigation
    ) -> TemplateContext:
        """Hand over the finished page, late: a search has read its words by now."""
        ours = self._ours(page)
        if ours is not None:
            page.content = ours.body
        return context

    @event_priority(-100)
    def on_post_page(self, output: str, *, page: MkPage, config: MkDocsConfig) -> str:
        """Say in the head of a page what it may load, which program made it, and that another took its place."""
        ours = self._ours(page)
        return self._finished(self._pointed(output, ours, config), ours, config)

    @event_priority(-100)
    def on_post_template(self, output_content: str, *, template_name: str, config: MkDocsConfig) -> str:
        """The same for the theme's pages that are nobody's, such as the one for a wrong address."""
        return self._finished(output_content, None, config) if template_name.endswith(".html") else output_content

    def _finished(self, output: str, ours: Page | None, config: MkDocsConfig) -> str:
        stamp, body = ("", "") if ours is None else (ours.stamp, ours.body)
        return finished(output, stamp, self.config, config.use_directory_urls, self._serving, body)

    def _pointed(self, output: str, ours: Page | None, config: MkDocsConfig) -> str:
        if ours is None or not (ours.robots or ours.canonical):
            return output
        lines = []
        if ours.robots:
            lines.append(f'<meta name="robots" content="{_escaped(ours.robots)}">')
        if ours.canonical:
            output = _CANONICAL.sub("", output)
            there = relative(ours.canonical, ours.uri, config.use_directory_urls)
            if config.site_url:
                base = config.site_url if config.site_url.endswith("/") else f"{config.site_url}/"
                there = urljoin(base, address(ours.canonical, config.use_directory_urls))
            lines.append(f'<link rel="canonical" href="{_escaped(there)}">')
        return output.replace("</head>", "".join(lines) + "</head>", 1)

    def _ours(self, page: MkPage) -> Page | None:
        return self._built.pages.get(page.file.src_uri) if self._built is not None else None


def _take_search_away(config: MkDocsConfig) -> None:
    # Themes show their box where the plugin is among those configured, and its index is a request no page from disk
    # may make.
    for name in SEARCHES:
        plugin = config.plugins.pop(name, None)
        if plugin is None:
            continue
        for methods in config.plugins.events.values():
            methods[:] = [one for one in methods if getattr(one, "__self__", None) is not plugin]


def _generated(
    config: MkDocsConfig, uri: str, content: str | bytes, inclusion: InclusionLevel = InclusionLevel.NOT_IN_NAV
) -> File:
    file = File.generated(config, uri, content=content, inclusion=inclusion)
    file.generated_by = NAME
    return file


def _escaped(text: str) -> str:
    from html import escape

    return escape(text)


def _check_charts(built: Built, checked: frozenset[str]) -> frozenset[str]:
    """Hold every chart against the chart library's own schema, so that a wrong property never reaches a reader.

    `checked` are bodies of pages that passed before; given back are those that passed now.
    """
    import html
    import re

    import plotly.graph_objects as go

    bodies = frozenset(page.body for page in built.pages.values())
    for page in built.pages.values():
        if page.body in checked:
            continue
        for found in re.finditer(r"<template>(.*?)</template>", page.body, re.DOTALL):
            data = unpacked(html.unescape(found.group(1)))
            try:
                go.Figure({"data": data["data"], "layout": data["layout"]})
            except ValueError as error:
                # The library goes on with all its properties; the first words say which one is wrong.
                said = " ".join(str(error).partition("Valid properties")[0].split())
                raise PluginError(f"asfound: a chart on {page.uri} does not follow the schema: {said}") from None
    return bodies
