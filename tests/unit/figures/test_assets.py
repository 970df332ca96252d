"""What is shipped: unchanged files with their licences, colours that can be read, nothing that calls outside."""

from __future__ import annotations

import hashlib
import re

import pytest

from asfound.figures.palette import COLOURS, LIGHT, PAPER
from asfound.pages.assets import script, style

from .page import ASSETS, body

CSS, JS = style(), script()


def listed() -> dict[str, str]:
    text = (ASSETS / "ASSETS.txt").read_text(encoding="utf-8")
    return dict(re.findall(r"^file:\s+(\S+)\nsha256:\s+([0-9a-f]{64})$", text, re.M))


def test_every_file_from_elsewhere_is_listed_with_its_digest_and_licence() -> None:
    own = {"ASSETS.txt"}
    there = {p.relative_to(ASSETS).as_posix() for p in ASSETS.rglob("*") if p.is_file()}
    there = {name for name in there if not re.match(r"(styles/.*\.css|scripts/.*\.js|.*\.pyc?)$", name)}
    texts = {n for n in there if n.endswith(".txt")} - own
    assert set(listed()) == there - own - texts
    for name, digest in listed().items():
        assert hashlib.sha256((ASSETS / name).read_bytes()).hexdigest() == digest, name
    licences = set(re.findall(r"text in (\S+)", (ASSETS / "ASSETS.txt").read_text(encoding="utf-8")))
    assert licences == texts
    assert b"Licensed under the MIT license" in (ASSETS / "plotly-basic.min.js").read_bytes()[:300]


def test_the_loader_is_small_and_neither_file_names_another_place() -> None:
    assert len((ASSETS / "scripts" / "charts.js").read_bytes()) < 9500
    for text in (CSS, JS):
        assert not re.search(r"https?:|//[a-z]+\.|@import|fetch\(|XMLHttpRequest|sendBeacon|WebSocket|eval\(", text)
    assert set(re.findall(r"url\(([^)]+)\)", CSS)) <= set(listed())


def tokens(block: str) -> dict[str, str]:
    return dict(re.findall(r"--af-(\w+): (#[0-9a-f]{3,6})", block))


def schemes() -> dict[str, dict[str, str]]:
    light = tokens(CSS[CSS.index(".af, body:has(.af) {") : CSS.index("@media (prefers-color-scheme: dark)")])
    system = tokens(
        CSS[CSS.index("@media (prefers-color-scheme: dark)") : CSS.index('body[data-md-color-scheme="slate"]')]
    )
    switched = tokens(CSS[CSS.index('body[data-md-color-scheme="slate"]') : CSS.index("@media (forced-colors")])
    paper = tokens(CSS[CSS.index("@media print") :])
    return {"light": light, "dark": system, "switched": switched, "paper": paper}


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    digits = colour[1:] if len(colour) == 7 else "".join(2 * c for c in colour[1:])
    parts = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(a: str, b: str) -> float:
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_contrast_formula_gives_its_known_values() -> None:
    """WCAG 2.2: black on white is 21:1; #767676 is the lightest grey that reaches 4.5:1 on white (common knowledge)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") > 4.5 > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("scheme", ["light", "dark", "switched", "paper"])
@pytest.mark.parametrize("ink", ["ink", "soft", "mark", "warn", "bad"])
def test_every_ink_reaches_four_and_a_half_to_one(scheme: str, ink: str) -> None:
    """WCAG 2.2, 1.4.3, on the page, on washes, and on the shaded regions of a chart (13 % of soft or mark)."""
    found = schemes()[scheme]
    for ground in (
        found["paper"],
        found["wash"],
        mixed(found["paper"], found["mark"]),
        mixed(found["paper"], found["soft"]),
    ):
        assert contrast(found[ink], ground) >= 4.5, (scheme, ink, ground)


def mixed(paper: str, tint: str, share: float = 0.14) -> str:
    full = [c if len(c) == 7 else "#" + "".join(2 * d for d in c[1:]) for c in (paper, tint)]
    pairs = [(int(full[0][i : i + 2], 16), int(full[1][i : i + 2], 16)) for i in (1, 3, 5)]
    return "#" + "".join(f"{round(a + (b - a) * share):02x}" for a, b in pairs)


def test_the_system_s_dark_and_the_switch_s_dark_are_one_scheme() -> None:
    found = schemes()
    assert found["dark"] == found["switched"] and len(found["dark"]) == 8


def test_drawings_fall_back_to_the_light_scheme_of_the_stylesheet() -> None:
    light = schemes()["light"]
    assert {name: getattr(LIGHT, name) for name in COLOURS} == light
    assert PAPER.paper == "#ffffff"


def test_every_class_of_the_example_page_is_styled() -> None:
    used = {c for names in re.findall(r'class="([^"]+)"', body()) for c in names.split()}
    assert used and not {c for c in used if f".{c}" not in CSS}


def test_nothing_is_styled_outside_the_wrapper() -> None:
    """Every selector names .af, an .af-… class, or a page that has one."""
    plain = re.sub(
        r"/\*.*?\*/|@font-face \{[^}]*\}|@page \{[^}]*\}|@keyframes[^{]*\{[^}]*\}[^}]*\}", "", CSS, flags=re.S
    )
    selectors = [s.strip() for s in re.findall(r"([^{};]+)\{", plain)]
    loose = [s for s in selectors if not s.startswith("@") and ".af" not in s]
    assert selectors and not loose
