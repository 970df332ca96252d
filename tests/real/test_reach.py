"""Reading by keys, enlarged, with wider letters, without motion and in colours of the reader's own.

Scripted trials of WCAG 2.2 (W3C Recommendation, the text from memory): 1.4.1, 1.4.10, 1.4.12, 2.1.1, 2.1.2, 2.4.1,
2.4.7, 2.5.8; what axe-core sees by itself is in test_accessibility.py.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest

from .reader import script, serving
from .support import REGISTERS, SECTIONS, Site

pytestmark = pytest.mark.browser
CASE = "case/return-pad-lesion"
OWN = "case/base"
READ = (
    "", *(f"{CASE}/{one}".rstrip("/") for one in SECTIONS if one != "record"), f"{CASE}/edition/2/changes",
    "case/bed-moved/record", *REGISTERS, "docket/level/probable", "docket/due", "across/instruments",
    "across/instruments/M-3", "across/sisters",
)  # fmt: skip

STOP = script("stop")

SIDEWAYS = script("sideways")

TARGETS = script("targets")

SPACED = """* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important; }
p { margin-bottom: 2em !important; }"""
CUT = script("cut")
VERDICTS = """[...document.querySelectorAll('.af table')].flatMap(table => {
  const at = [...table.querySelectorAll('thead th')].findIndex(one => one.textContent === 'Verdict');
  return at < 0 ? [] : [...table.querySelectorAll('tbody tr')].map(row => row.cells[at].innerText.split(/[:\\n]/)[0]);
})"""


@pytest.fixture(scope="module")
def served(nine: Site) -> Iterator[str]:
    with serving(nine.folder) as address:
        yield address


@pytest.fixture(scope="module")
def plainly(plain_issued: Site) -> Iterator[str]:
    with serving(plain_issued.folder) as address:
        yield address


def _stops(page: Any, most: int = 700) -> list[dict[str, Any]]:
    """Everything the Tab key comes to, until it leaves the page."""
    found: list[dict[str, Any]] = []
    for _ in range(most):
        page.keyboard.press("Tab")
        stop = page.evaluate(STOP)
        if stop is None:
            return found
        found.append(stop)
    raise AssertionError(f"the keys never leave the page: {found[-3:]}")


@pytest.mark.parametrize(("where", "name"), [("served", ""), ("served", CASE), ("plainly", ""), ("plainly", OWN)])
def test_keys_reach_everything_and_one_sees_where_they_are(
    reader: Any, request: pytest.FixtureRequest, where: str, name: str
) -> None:
    # One theme glides to where the keys are; what counts is where they come to rest.
    page = reader(motion="reduce").page
    page.goto(f"{request.getfixturevalue(where)}/{name}".rstrip("/") + "/")
    page.wait_for_selector("#af-search-box")
    stops = _stops(page)
    assert stops[0]["kind"].startswith("af-skip") and stops[0]["seen"], stops[0]
    lost = [one for one in stops if not (one["seen"] and one["ring"]) or one["covered"]]
    assert not lost, lost[:4]
    assert any(one["id"] == "af-search-box" for one in stops)
    reached = {one["href"] for one in stops if one["tag"] == "a"}
    wanted = page.evaluate(
        "[...document.querySelectorAll('.af a[href]')].filter(a => a.checkVisibility({visibilityProperty: true}) &&"
        " !a.closest('details:not([open])')).map(a => a.getAttribute('href'))"
    )
    assert len(wanted) >= 20 and not set(wanted) - reached
    regions = [one for one in stops if one["role"] == "region"]
    assert len(regions) == page.locator(".af-scroll:visible").count() >= 1 and all(one["name"] for one in regions)
    assert page.locator(".af details > summary:visible").count() == sum(one["tag"] == "summary" for one in stops)


def test_a_table_behind_a_chart_opens_by_key_and_scrolls(reader: Any, served: str) -> None:
    page = reader(width=390).page
    page.goto(f"{served}/{CASE}/measurements/")
    page.locator("details.af-data > summary").first.focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    stop = page.evaluate(STOP)
    assert stop["role"] == "region" and stop["name"].startswith("Table behind the chart: ")
    at = page.evaluate(
        "(() => { const all = [...document.querySelectorAll('.af-scroll')];"
        " const one = all.find(o => o.checkVisibility() && o.scrollWidth > o.clientWidth + 40);"
        " one.focus(); return all.indexOf(one); })()"
    )
    wide = page.locator(".af-scroll").nth(at)
    for _ in range(5):
        page.keyboard.press("ArrowRight")
    page.wait_for_timeout(300)
    assert wide.evaluate("el => el.scrollLeft") > 0


@pytest.mark.parametrize("where", ["served", "plainly"])
def test_the_skip_link_leads_past_the_header(reader: Any, request: pytest.FixtureRequest, where: str) -> None:
    seen = reader()
    page = seen.page
    page.goto(request.getfixturevalue(where) + "/")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    # The theme may take the click and go there itself, a moment later.
    seen.until("location.hash !== ''")
    page.keyboard.press("Tab")
    seen.until("document.activeElement.closest('.af') !== null")


def test_the_switch_of_colours_works_by_keys(reader: Any, served: str) -> None:
    seen = reader(scheme="light")
    page = seen.page
    page.goto(served)
    page.wait_for_selector("#af-search-box")
    before = seen.ground()
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.matches('[for^=__palette], [name=__palette]')"):
            break
    stop = page.evaluate(STOP)
    assert stop["ring"] and stop["seen"], stop
    page.keyboard.press("Enter")
    seen.until(f"getComputedStyle(document.body).backgroundColor !== '{before}'")
    assert page.evaluate("document.body.dataset.mdColorScheme") == "slate"
    page.keyboard.press("Enter")
    seen.until(f"getComputedStyle(document.body).backgroundColor === '{before}'")


@pytest.mark.parametrize("width", [320, 1280])
def test_nothing_runs_over_the_side_and_every_target_has_its_size(reader: Any, served: str, width: int) -> None:
    """320 CSS pixels are a view of 1280 enlarged four times."""
    page = reader(width=width).page
    found, counted = [], 0
    for name in READ:
        page.goto(f"{served}/{name}".rstrip("/") + "/")
        page.wait_for_selector("#af-search-box")
        found += [f"/{name}: {one}" for one in page.evaluate(SIDEWAYS)]
        targets = page.evaluate(TARGETS)
        counted += targets["count"]
        found += [f"/{name}: {one}" for one in targets["bad"]]
    assert not found, "\n".join(found)
    assert counted > 1500


def test_on_a_phone_the_head_of_a_row_leaves_room_for_what_is_said_of_it(reader: Any, served: str) -> None:
    """Else one sees a column of names with tall blank rows, and nothing says that there is more beside it."""
    page = reader(width=390).page
    asked = """[...document.querySelectorAll('.af .af-scroll > table')].filter(o => o.checkVisibility())
      .flatMap(o => [...o.querySelectorAll('tbody th[scope=row]:first-child + td')].slice(0, 40))
      .map(td => [Math.round(td.getBoundingClientRect().left), td.parentElement.innerText.slice(0, 60)])"""
    counted, found = 0, []
    for name in READ:
        page.goto(f"{served}/{name}".rstrip("/") + "/")
        told = page.evaluate(asked)
        counted += len(told)
        found += [f"/{name}: the second cell begins at {left}: {row}" for left, row in told if left > 280]
    assert counted > 300 and not found, "\n".join(found[:12])


def test_the_check_of_targets_finds_small_ones(reader: Any, served: str) -> None:
    page = reader().page
    page.goto(served)
    put = "(html => document.querySelector('.af').insertAdjacentHTML('afterbegin', html))"
    alone = '<p id="x" style="padding:40px"><a href="#1" style="font-size:9px">i</a></p>'
    page.evaluate(f"{put}({alone!r})")
    assert page.evaluate(TARGETS)["bad"] == [], "room around it"
    page.evaluate("document.getElementById('x').remove()")
    one = '<button style="all:unset;width:12px;height:12px">1</button>'
    close = f'<p id="x">{one}{one}</p>'
    page.evaluate(f"{put}({close!r})")
    assert len(page.evaluate(TARGETS)["bad"]) == 2
    page.evaluate("document.getElementById('x').innerHTML = 'see <a href=\"#1\">1</a>, <a href=\"#2\">2</a> for it'")
    assert page.evaluate(TARGETS)["bad"] == [], "in a sentence"


@pytest.mark.parametrize("width", [1280, 390])
def test_wider_letters_and_lines_cut_nothing_off(reader: Any, served: str, width: int) -> None:
    """WCAG 2.2, 1.4.12, with its four figures; on every kind of page, on a wide screen and on a phone."""
    page = reader(width=width).page
    found = []
    for name in READ:
        page.goto(f"{served}/{name}".rstrip("/") + "/")
        page.add_style_tag(content=SPACED)
        for _ in range(40):  # a theme's script answers what grew wider a moment later
            left = [f"/{name}: {one}" for one in (*page.evaluate(SIDEWAYS), *page.evaluate(CUT))]
            if not left:
                break
            page.wait_for_timeout(50)
        found += left
    assert not found, "\n".join(found)


def test_wider_letters_leave_photographs_and_search_readable(reader: Any, served: str) -> None:
    page = reader(width=390).page
    page.goto(f"{served}/{CASE}/evidence/")
    page.add_style_tag(content=SPACED)
    page.fill("#af-search-box", "pad")
    page.wait_for_selector(".af-found li")
    panel = page.locator(".af-found")
    assert panel.evaluate(
        "el => el.getBoundingClientRect().right <= innerWidth + 1 && el.scrollWidth <= el.clientWidth + 1"
    )
    page.keyboard.press("Escape")
    page.locator(".af-evidence a:has(img)").first.click()
    viewer = page.locator("dialog.af-viewer, .af-viewer").first
    viewer.wait_for()
    assert viewer.evaluate("el => el.scrollWidth <= el.clientWidth + 1")
    for button in viewer.locator("button").all():
        assert button.evaluate("el => el.scrollWidth <= el.clientWidth + 1 && el.scrollHeight <= el.clientHeight + 1")


def test_nothing_of_ours_moves_for_those_who_asked_for_less(browser: Any, served: str) -> None:
    moving = (
        "[...document.querySelectorAll('.af, .af *, .af-viewer, .af-search, .af-search *')].filter(one => {"
        " const s = getComputedStyle(one);"
        " return s.animationName !== 'none' || parseFloat(s.transitionDuration) > 0; }).length"
    )
    for wish, some in (("reduce", False), ("no-preference", True)):
        context = browser.new_context(viewport={"width": 1280, "height": 900}, reduced_motion=wish)
        page = context.new_page()
        page.goto(f"{served}/{CASE}/")
        page.locator("figure[data-af-chart]").first.scroll_into_view_if_needed()
        page.wait_for_selector("[data-af-state='live']")
        ours = page.evaluate("getComputedStyle(document.querySelector('.af .af-live')).animationName")
        assert (ours != "none") is some
        if not some:
            assert page.evaluate(moving) == 0
        context.close()


@pytest.mark.parametrize("where", ["served", "plainly"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_in_the_readers_own_colours_words_marks_and_lines_are_told_apart(
    browser: Any, request: pytest.FixtureRequest, where: str, scheme: str
) -> None:
    address, case = request.getfixturevalue(where), CASE if where == "served" else OWN
    context = browser.new_context(viewport={"width": 1280, "height": 900}, forced_colors="active", color_scheme=scheme)
    page = context.new_page()
    page.goto(f"{address}/{case}/")
    assert page.evaluate("matchMedia('(forced-colors: active)').matches")
    told = page.evaluate(
        "[...document.querySelectorAll('.af-claim em')]"
        ".map(one => [one.textContent, getComputedStyle(one).borderBottomStyle])"
    )
    assert told and all(text.strip() and style == "solid" for text, style in told)
    page.focus("#af-search-box")
    box = page.evaluate(
        "[getComputedStyle(document.activeElement).outlineStyle, document.activeElement.matches(':focus-visible')]"
    )
    assert box[1] and box[0] != "none", box
    page.goto(f"{address}/{case}/measurements/")
    words = set(page.evaluate(VERDICTS))
    assert {"pass"} <= words and all(re.match(r"[a-z]", one) for one in words), words
    lines = 0
    for name in ("measurements", "timeline", "items", "work", "scene"):
        page.goto(f"{address}/{case}/{name}/")
        bad = page.evaluate(script("unseen"))
        lines += bad["lines"]
        assert not bad["out"], (name, bad)
    assert lines > 50
    context.close()
