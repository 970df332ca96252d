"""What is done to a finished page round our body, against the same done to the page as a whole."""

from __future__ import annotations

from typing import Any

import pytest

from asfound.bridge.outside import finished
from asfound.bridge.settings import AsfoundConfig

AROUND = (
    '<!doctype html><html><head><meta charset="utf-8"><script>theme()</script></head><body class="x">'
    '<a href="#h" class="md-skip">Skip</a><a href="https://example.org" class="md-source" data-md-component="source">'
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"></svg></a>{body}<script>other()</script>'
    "<!-- MkDocs version : 1 --></body></html>"
)
BODY = '<div class="af"><h1>A case</h1><p>' + "Of one word after another. " * 40 + "</p></div>"
WHOLE = BODY.replace('"af"', '"af af-whole"')


def _config() -> AsfoundConfig:
    config = AsfoundConfig()
    config.content_policy = True
    return config


def _told(page: str, *body: str) -> str:
    return finished(page, "base 1a2b", _config(), True, False, *body)


@pytest.mark.parametrize("body", [BODY, WHOLE, BODY + "<script>ours()</script>", "<p>of nobody</p>", ""])
def test_a_page_is_the_same_whether_or_not_our_body_is_looked_through(body: str) -> None:
    page = AROUND.format(body=body)
    assert _told(page, body) == _told(page)
    assert body.partition(">")[2] in _told(page, body)


@pytest.mark.parametrize(
    ("page", "body"),
    [
        pytest.param(AROUND.format(body=BODY.replace("word", "WORD", 1)), BODY, id="changed by another plugin"),
        pytest.param(AROUND.format(body="<p>elsewhere</p>"), BODY, id="not in the page"),
        pytest.param(AROUND.format(body=BODY) + "<!-- what asfound put here -->", BODY, id="the mark stands there too"),
        pytest.param(AROUND.format(body=BODY + BODY), BODY, id="twice"),
    ],
)
def test_a_body_that_is_not_as_it_was_handed_over_is_looked_through(page: str, body: str) -> None:
    assert _told(page, body) == _told(page)


def test_what_a_theme_would_ask_elsewhere_is_gone_and_every_script_has_its_digest() -> None:
    made: Any = _told(AROUND.format(body=BODY), BODY)
    assert 'data-md-component="source"' not in made and "MkDocs version" not in made and "md-skip" not in made
    assert made.count("sha256-") == 2 and '<svg aria-hidden="true"' in made
    assert '<div id="af-content" class="af">' in made


def test_a_script_in_our_own_body_is_in_the_policy() -> None:
    body = BODY.replace("<h1>", "<script>ours()</script><h1>")
    assert _told(AROUND.format(body=body), body).count("sha256-") == 3


def test_words_of_a_case_that_name_a_script_of_the_theme_change_nothing() -> None:
    body = BODY.replace("A case", "js/darkmode.js")
    assert "hljs-light" not in _told(AROUND.format(body=body), body)
