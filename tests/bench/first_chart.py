"""The first chart of a page of the site, against a bare page with the chart library and that chart alone, in Chromium.

Seen is a chart when part of its drawing stands in the window; alive when its live copy does, which the bare page has at
once and nothing else. Both come from disk, each time in a fresh context, in turn. Times are those of the page's own
clock, from the moment it was asked for.
"""

from __future__ import annotations

import html
import json
import os
import re
import statistics
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from asfound.figures.packed import unpacked
from tests.real.reader import chromium

from .method import Line, process, spoken
from .nine import kept_nowhere, sites

CASE, SECTION, TIMES, BOUND = "return-pad-lesion", "measurements", 9, 1.3
ALIVE_BOUND = 4.0
"""What is read, printed and looked at first is the drawing; the live copy comes after the whole page, its theme's
scripts and the library, and beside those of the charts next to it."""
_WATCH = """
(() => {
  const seen = window.benchSeen = {}, wanted = {still: ".af-still svg", alive: ".main-svg"}, held = {};
  const look = () => {
    for (const name in wanted) {
      const one = held[name] ? null : document.querySelector(wanted[name]);
      if (!one) continue;
      held[name] = new IntersectionObserver(all => {
        if (all.some(entry => entry.isIntersecting) && !(name in seen)) seen[name] = performance.now();
      });
      held[name].observe(one);
    }
  };
  new MutationObserver(look).observe(document, {childList: true, subtree: true});
})();
"""


def pages(place: Path, case: str = CASE, section: str = SECTION) -> tuple[str, str]:
    """The address of our page, at its first chart, and of the bare page of that chart."""
    ours, _, built = sites(place, cases=(case,))
    body = built.pages[f"case/{case}/{section}.md"].body
    (key, told) = re.findall(r'data-af-chart="([^"]+)".*?<template>(.*?)</template>', body, re.DOTALL)[0]
    process(kept_nowhere(ours), ours)
    home = ours / "site"
    library = next(home.rglob("plotly-basic.min.js"))
    figure = json.dumps(unpacked(html.unescape(told))).replace("<", "\\u003c")
    bare = place / "bare.html"
    bare.write_text(
        f'<!doctype html><meta charset="utf-8"><title>Bare</title><div id="c"></div><script src="{library.as_uri()}">'
        f"</script><script>const f = {figure}; Plotly.newPlot('c', f.data, f.layout, f.config);</script>",
        "utf-8",
    )
    return f"{(home / 'case' / case / section / 'index.html').as_uri()}#{key}", bare.as_uri()


def seen(browser: Any, address: str) -> dict[str, float]:
    """Seconds until a drawing, and until a live chart, stood in the window."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    try:
        page = context.new_page()
        page.add_init_script(_WATCH)
        page.goto(address)
        for _ in range(400):
            told: dict[str, float] = page.evaluate("window.benchSeen")
            if "alive" in told:
                return {name: value / 1000 for name, value in told.items()}
            page.wait_for_timeout(50)
    finally:
        context.close()
    raise RuntimeError(f"no live chart ever stood in the window of {address}")


def measure() -> list[Line]:
    """Both pages, in turn."""
    with TemporaryDirectory() as name, chromium() as browser:
        ours, bare = pages(Path(name))
        turns = [(seen(browser, ours), seen(browser, bare)) for _ in range(TIMES + 1)][1:]
    still, alive = (statistics.median(mine[key] for mine, _ in turns) for key in ("still", "alive"))
    floor = statistics.median(theirs["alive"] for _, theirs in turns)
    peer, note = "that chart alone, bare library", f"{CASE}/{SECTION}, from disk; load {os.getloadavg()[0]:.1f}"
    return [
        Line("first chart of a page, seen", peer, still / floor, BOUND, spoken(still), spoken(floor), note),
        Line("first chart of a page, alive", peer, alive / floor, ALIVE_BOUND, spoken(alive), spoken(floor), note),
    ]
