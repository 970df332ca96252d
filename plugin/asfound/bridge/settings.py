"""What may be set for the plugin in mkdocs.yml."""

from __future__ import annotations

import datetime as dt

from mkdocs.config import base
from mkdocs.config import config_options as c


class AsfoundConfig(base.Config):  # type: ignore[no-untyped-call]
    """Settings under `plugins: - asfound:`."""

    cases = c.Type(str, default="cases")
    """Folder of the cases, relative to the repository."""
    assess_on: str | dt.date | None = c.Optional(c.Type((str, dt.date)))  # type: ignore[assignment]
    """Date of assessment, as 2026-03-19. By default SOURCE_DATE_EPOCH where that is set, else today.

    Not `on`: the YAML of mkdocs.yml reads that word as a truth value, and the date would be passed over in silence.
    """
    source = c.Optional(c.Type(str))
    """Address of a line of the repository in a browser, with `{path}` and `{line}`; by default made from repo_url."""
    notice = c.Type(str, default="")
    """A sentence above every page, such as who may read it."""
    show_duties = c.Type(bool, default=True)
    """Whether the facility's own reporting duties are shown: on the docket, first pages, and pages of their own."""
    own_search = c.Type(bool, default=True)
    """Whether our search, which works from disk too, takes the place of the engine's."""
    history = c.Type(bool, default=True)
    """Whether git is asked who changed what, and when: for each case's record of changes, and the rules about order."""
    documents = c.Type(bool, default=False)
    """Whether each case is set as a PDF too, with a link on its first page. It takes seconds a case."""
    cache = c.Type(bool, default=True)
    """Whether what was worked out before from the very same bytes is taken from the cache and kept there."""
    jobs = c.Type(int, default=0)
    """How many processes work at once; 0 for one a processor. The site is the same."""
    check_charts = c.Optional(c.Type(bool))
    """Whether every chart is held against the chart library's own schema; by default in strict builds."""
    from_disk = c.Type(bool, default=False)
    """Whether the site is to be opened from disk: links lead to files, and no feature is on that asks for a server."""
    content_policy = c.Type(bool, default=True)
    """Whether each page tells the browser to load nothing but what lies beside it."""
