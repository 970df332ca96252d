"""What each page tells the browser it may load: kept by every kind of page, in both themes, served and from disk.

Content Security Policy Level 3 (W3C working draft), sections 2.3.1, 6 and 6.7.2.8 (`file:` as a scheme source; a page
from disk has no origin that 'self' could mean) — from memory; Chromium is the judge here.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from asfound.pages import policy

from .reader import serving
from .support import INSTANT, MATERIAL, PLAIN, Site, base, build, configure

WATCH = """
  window.broken = [];
  document.addEventListener('securitypolicyviolation', e =>
    window.broken.push([e.effectiveDirective, e.blockedURI, e.sourceFile, e.sample].join(' ')));
"""
SHUT = ("default-src 'none'", "object-src 'none'", "form-action 'none'", "base-uri 'none'", "frame-src 'none'")


def told(page: Any) -> list[str]:
    """The policies of a page, as they stand in its head."""
    return [one.attributes["content"] for one in page.all("meta")
            if one.attributes.get("http-equiv", "").lower() == "content-security-policy"]  # fmt: skip


def test_every_page_has_one_policy_before_anything_it_speaks_of(site: Site) -> None:
    for name, page in site.pages.items():
        [said] = told(page)
        parts = said.split("; ")
        assert set(SHUT) <= set(parts), name
        [scripts] = [one for one in parts if one.startswith("script-src ")]
        assert "unsafe" not in scripts and "http" not in scripts and "*" not in scripts, name
        at = page.source.index("Content-Security-Policy")
        assert at < min(page.source.find(tag) % 10**9 for tag in ("<script", "<link", "<style")), name


def test_a_script_in_the_page_is_let_through_by_its_digest_and_no_other_is(site: Site) -> None:
    """Digests are counted here from the text between the tags, as `openssl dgst -sha256 -binary | base64` would."""
    seen = 0
    for name, page in site.pages.items():
        [said] = told(page)
        texts = re.findall(r"<script>(.*?)</script>", page.source, re.DOTALL)
        wanted = {base64.b64encode(hashlib.sha256(one.encode()).digest()).decode() for one in texts}
        scripts = next(one for one in said.split("; ") if one.startswith("script-src "))
        assert set(re.findall(r"'sha256-([^']+)'", scripts)) == wanted, name
        seen += len(wanted)
    assert seen > 20


def test_each_page_says_what_made_it_and_of_which_case(site: Site) -> None:
    for name, page in site.pages.items():
        said = {
            one.attributes["name"]: one.attributes["content"] for one in page.all("meta") if "name" in one.attributes
        }
        assert re.fullmatch(r"\d+\.\d+\.\d+\S*", said["asfound"]), name
        if name.startswith("case/"):
            assert re.fullmatch(r"base (?:sha256:)?[0-9a-f]{64}", said["asfound-case"]), name
        else:
            assert "asfound-case" not in said, name
        assert "Build Date" not in page.source, name


def test_the_policy_of_words_that_browsers_read_in_their_own_way() -> None:
    """Line ends are one sign to a browser; data is no script; a script from a file needs no digest."""
    page = (
        "<head><SCRIPT>a()\r\nb()</SCRIPT><script type='application/json'>{}</script><script src='x.js'></script>"
        '<script type="module">c()</script><script>a()\nb()</script><style>p{}</style></head>'
    )
    parts = dict(one.split(" ", 1) for one in policy(page).split("; "))
    one, two = (
        f"'sha256-{base64.b64encode(hashlib.sha256(text).digest()).decode()}'" for text in (b"a()\nb()", b"c()")
    )
    assert parts["script-src"].split() == ["'self'", *sorted((one, two))]
    assert parts["style-src"].split() == ["'self'", "'unsafe-inline'"]
    assert policy(page, disk=True).count(" file:") == 7
    assert "script-src 'self' 'unsafe-inline';" in policy(page, watched=True)


def _walk(seen: Any, site: Site, start: str, let_pass: str = "") -> None:
    seen.page.add_init_script(WATCH)
    for name in sorted(site.pages):
        if name == "404.html" and start.startswith("file:"):
            continue
        seen.page.goto(f"{start}/{name}")
        seen.alive()
        assert seen.page.evaluate("window.broken") == [], name
        assert [one for one in seen.said if not (let_pass and let_pass in one)] == [], name
    assert all(url.startswith((start, "data:", "blob:")) for url in seen.asked), seen.asked


@pytest.mark.browser
@pytest.mark.parametrize("theme", [INSTANT, PLAIN], ids=["material", "plain"])
def test_no_page_breaks_its_policy_served(reader: Callable[..., Any], tmp_path: Path, theme: dict[str, Any]) -> None:
    with serving(tmp_path / "site") as address:
        site = build(configure(base(tmp_path), theme, site_url=f"{address}/"))
        _walk(reader(), site, address)


@pytest.mark.browser
@pytest.mark.parametrize("theme", [INSTANT, {**PLAIN, "color_mode": "auto", "user_color_mode_toggle": True}],
                         ids=["material", "plain"])  # fmt: skip
def test_no_page_breaks_its_policy_from_disk(reader: Callable[..., Any], tmp_path: Path, theme: dict[str, Any]) -> None:
    """One setting of ours makes a site for a stick out of any configuration, one with instant navigation too."""
    root = configure(base(tmp_path), theme, site_url="https://cases.example/docket/", asfound={"from_disk": True})
    site = build(root)
    assert "404.html" not in site.pages and "items.html" in " ".join(site.pages)
    # The search of the plain theme asks for a worker, which no browser gives to a page from disk.
    _walk(reader(), site, site.folder.as_uri(), let_pass="Failed to construct 'Worker'" if theme is not INSTANT else "")


@pytest.mark.browser
def test_swapped_pages_keep_the_policy_of_the_first(reader: Callable[..., Any], tmp_path: Path) -> None:
    """Instant navigation: one document shows many pages, under the policy of the page it began with."""
    with serving(tmp_path / "site") as address:
        build(configure(base(tmp_path), INSTANT, site_url=f"{address}/"))
        seen = reader()
        page = seen.page
        page.add_init_script(WATCH)
        page.goto(f"{address}/")
        page.evaluate("window.sameDocument = true")
        for link, end in (
            (".md-tabs a:has-text('Limits')", "**/limits/"),
            (".md-tabs a:has-text('Docket')", f"{address}/"),
            (".af a[href*='case/base']", "**/case/base/"),
            (".af-places a:has-text('Items and custody')", "**/items/"),
            (".af-places a:has-text('Scene, room, history')", "**/scene/"),
        ):
            before = page.text_content("h1")
            page.click(link)
            page.wait_for_url(end)
            seen.until(f"document.querySelector('h1')?.textContent !== {before!r}")
            seen.alive()
        page.click("label[title='Switch to dark']")
        seen.until("document.body.dataset.mdColorScheme === 'slate'")
        page.go_back()
        page.wait_for_url("**/items/")
        seen.until("document.querySelector('h1').textContent === 'Items and custody'")
        assert seen.alive() > 0
        assert page.evaluate("window.sameDocument") is True
        assert page.evaluate("window.broken") == [] and seen.said == []


@pytest.mark.browser
def test_what_would_leave_is_stopped_by_the_browser(reader: Callable[..., Any], instant: Site) -> None:
    """The theme's script holds the address of a library it fetches for drawings in text, and of code hosts."""
    with serving(instant.folder) as address:
        seen = reader()
        page = seen.page
        page.add_init_script(WATCH)
        page.goto(f"{address}/")
        page.evaluate("""() => new Promise(done => {
          const tag = document.createElement('script');
          tag.src = 'https://library.example/drawing.js'; tag.onerror = done; document.head.appendChild(tag);
        })""")
        failed = page.evaluate("fetch('https://host.example/repos/a/b').then(() => false, () => true)")
        assert failed
        page.evaluate("document.body.insertAdjacentHTML('beforeend', '<img src=https://host.example/dot.png>')")
        page.evaluate("document.body.insertAdjacentHTML('beforeend', '<b onclick=\"window.hurt=1\">x</b>'),"
                      "document.body.lastChild.click()")  # fmt: skip
        seen.until("window.broken.length >= 4")
        stopped = {one.split(" ")[0] for one in page.evaluate("window.broken")}
        assert stopped == {"script-src-elem", "connect-src", "img-src", "script-src-attr"}
        assert page.evaluate("window.hurt") is None
        left = {url for url in seen.asked if not url.startswith((address, "data:"))}
        assert len(left) >= 2 and set(seen.stopped) == left, "stopped before anything was sent"


def test_fonts_highlighters_and_code_hosts_are_not_asked_whatever_the_theme_would_do(tmp_path: Path) -> None:
    """Both themes ask other hosts by default: one for fonts and for stars, the other for a highlighter of code."""
    repo = "https://github.com/owner/repository"
    for number, theme in enumerate(({**MATERIAL, "font": {"text": "Roboto"}}, {"name": "mkdocs"})):
        site = build(configure(base(tmp_path / str(number)), theme, repo_url=repo))
        for name, page in site.pages.items():
            assert not re.search(r"<(?:script|link|img)[^>]+(?:src|href)=\"?(?:https?:)?//", page.source), name
            assert 'data-md-component="source"' not in page.source, name
            assert repo in page.source, name


def test_a_policy_can_be_left_out(tmp_path: Path) -> None:
    site = build(configure(base(tmp_path), PLAIN, asfound={"content_policy": False}))
    assert not [name for name, page in site.pages.items() if told(page)]
