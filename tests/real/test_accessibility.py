"""What axe-core finds on the pages, in both themes, light and dark: nothing serious, and nothing in what is ours.

axe-core 4 (by way of the package axe-playwright-python, which brings it along) with its rules for WCAG 2.0 to 2.2, A
and AA, and its good practices. It sees a part of what the standard asks; what it cannot see is tried in test_reach.py.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from importlib import resources
from typing import Any

import pytest

from .reader import script
from .support import Site

pytestmark = pytest.mark.browser

NINE = (
    "", "case/return-pad-lesion", "case/return-pad-lesion/measurements", "case/return-pad-lesion/findings",
    "case/return-pad-lesion/scene", "case/return-pad-lesion/evidence", "case/return-pad-lesion/changes",
    "case/return-pad-lesion/duties", "case/return-pad-lesion/edition/2/changes", "case/bed-moved/record", "limits",
    "rules", "docket/level/probable", "docket/due", "across/instruments", "across/instruments/M-3",
)  # fmt: skip
ONE = (
    "", "case/base", "case/base/record", "case/base/measurements", "case/base/findings", "case/base/changes",
    "case/base/edition/1", "case/base/edition/2/changes", "limits", "rules", "docket/level/probable",
    "across/instruments",
)  # fmt: skip
COLOURED = (
    "", "case/return-pad-lesion", "case/return-pad-lesion/findings", "case/return-pad-lesion/duties", "limits",
    "case/bed-moved/record", "across/instruments/M-3",
)  # fmt: skip
"""Which pages are asked about their colours again in the dark: every tone of the palette stands on one of them."""

RUN = script("axe")


@cache
def _axe() -> str:
    return (resources.files("axe_playwright_python") / "axe.min.js").read_text("utf-8")


class Asked:
    """A page in a context of its own, in which axe-core runs: the page's policy would stop it."""

    def __init__(self, browser: Any, scheme: str) -> None:
        self.context = browser.new_context(
            viewport={"width": 1280, "height": 900}, color_scheme=scheme, bypass_csp=True, offline=True
        )
        self.context.add_init_script(_axe())
        self.page = self.context.new_page()

    def found(self, site: Site, name: str, *, colours: bool = False) -> list[str]:
        """What is serious or critical on a page, and whatever else is found in what is ours."""
        self.page.goto(site.page(name).path.as_uri())
        self.page.evaluate("document.fonts.ready.then(() => true)")
        told = self.page.evaluate(RUN, [colours, None])
        assert told["rules"] > 90, "axe-core did not bring its rules"
        return [
            f"/{name}: {one['impact']} {one['rule']}, {one['help']}: {one['html']} ({one['why']})"
            for one in told["found"]
            if one["impact"] in {"serious", "critical"} or one["ours"]
        ]


@pytest.fixture
def asked(browser: Any) -> Iterator[Any]:
    made: list[Asked] = []

    def go(scheme: str = "light") -> Asked:
        made.append(Asked(browser, scheme))
        return made[-1]

    yield go
    for one in made:
        one.context.close()


def _told(found: list[str]) -> str:
    return f"{len(found)} found:\n" + "\n".join(found)


@pytest.mark.parametrize("name", NINE)
def test_nothing_is_found_on_pages_of_the_nine_cases(asked: Any, nine: Site, name: str) -> None:
    found = asked().found(nine, name)
    assert not found, _told(found)


@pytest.mark.parametrize("name", ONE)
def test_nothing_is_found_under_the_engines_own_theme(asked: Any, plain_issued: Site, name: str) -> None:
    found = asked().found(plain_issued, name)
    assert not found, _told(found)


def test_nothing_is_found_in_the_dark(asked: Any, nine: Site, plain_issued: Site) -> None:
    seen = asked("dark")
    found = [line for name in COLOURED for line in seen.found(nine, name, colours=True)]
    assert seen.page.evaluate("document.body.dataset.mdColorScheme") == "slate"
    found += [line for name in ("", "case/base/findings") for line in seen.found(plain_issued, name, colours=True)]
    assert seen.page.evaluate("document.documentElement.dataset.bsTheme") == "dark"
    assert not found, _told(found)


def test_a_fault_is_found(asked: Any, nine: Site) -> None:
    """The check itself: a table without room for keys, a faint word and a picture without words are all reported."""
    seen = asked()
    page = seen.page
    page.goto(nine.page("").path.as_uri())
    page.add_script_tag(
        content="document.querySelector('.af').insertAdjacentHTML('beforeend', "
        '\'<p style="color:#bbb;background:#fff">faint</p><img src="data:,"><button></button>\')'
    )
    rules = {one["rule"] for one in page.evaluate(RUN, [False, None])["found"]}
    assert {"color-contrast", "image-alt", "button-name"} <= rules
