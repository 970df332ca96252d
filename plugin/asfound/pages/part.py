"""What every part of a case's view can count on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from asfound.account import Independence, independence
from asfound.measure import show_date
from asfound.model.base import Amount, Moment, NotKnown
from asfound.pages.texts import amount, when

if TYPE_CHECKING:
    from asfound.account import Account
    from asfound.compare import Issued
    from asfound.figures import Chart
    from asfound.model.case import Case
    from asfound.model.dossier import Core, Dossier
    from asfound.model.event import CaseHead
    from asfound.model.limits import Test
    from asfound.model.things import Setting
    from asfound.model.weighing import Link, Weighing
    from asfound.pages.page import Options
    from asfound.pages.pictures import Picture
    from asfound.pages.prose import Prose
    from asfound.pages.texts import Texts


class Part:
    """The common ground of the parts; filled in by the view that joins them."""

    dossier: Dossier
    core: Core
    case: Case
    head: CaseHead
    texts: Texts
    prose: Prose
    options: Options
    single: bool
    site: bool
    edition: Issued | None
    _pictures: Mapping[str, Picture]

    @cached_property
    def independence(self) -> Independence:
        """How independent the work was, as far as the case says."""
        return self.texts.once(independence, lambda: independence(self.case))

    if TYPE_CHECKING:

        def href(self, ref: str) -> str: ...
        def told(self, value: str | NotKnown | None) -> Markup: ...
        def link(self, ref: str) -> Markup: ...
        def page(self, section: str) -> str: ...
        def _stands(self, ref: str) -> bool: ...
        def _to(self, uri: str) -> str: ...
        def limit(self, name: str) -> str: ...
        def draw(self, chart: Chart) -> Markup: ...
        def test_title(self, name: str) -> str: ...
        def test_of(self, name: str) -> Test | None: ...
        def by_id(self, records: Mapping[str, Any]) -> list[tuple[str, Any]]: ...
        def holder(self, name: str) -> str: ...
        @staticmethod
        def setting_unit(one: Setting) -> str: ...
        def link_words(self, link: Link, *, named_once: bool = False) -> Markup: ...
        @property
        def weighing(self) -> Weighing | None: ...
        @property
        def state(self) -> str: ...
        @property
        def accounts(self) -> Mapping[str, Account]: ...


Facts = list[tuple[str, "str | Markup"]]


def fact(name: str, value: object) -> Facts:
    """A line for a list of facts; none where nothing is stated."""
    if value is None or value == "" or value == ():
        return []
    if isinstance(value, NotKnown):
        return [(name, value.words)]
    if isinstance(value, bool):
        return [(name, "yes" if value else "no")]
    if isinstance(value, Moment):
        return [(name, when(value))]
    if isinstance(value, Amount):
        return [(name, amount(value))]
    if isinstance(value, dt.date):
        return [(name, show_date(value))]
    return [(name, value if isinstance(value, Markup) else str(value))]
