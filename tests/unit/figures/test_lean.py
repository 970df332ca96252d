"""A drawing in fewer bytes is the same drawing: path for path to the tenth of a pixel, look for look."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from asfound.figures import SITE, draw
from asfound.figures.lean import LOOKS, lean, path, styles
from asfound.pages.assets import style

from .examples import ALL

LOOKED_AT = sorted({name for name, _ in LOOKS} | {"paint-order", "stroke-opacity", "font-family", "font-size"})


def followed(data: str) -> list[tuple[object, ...]]:
    """Where a pen goes that follows path data, in tenths of a pixel; read by the grammar of SVG 1.1, section 8.3
    (confirmed: steps in small letters, a letter left out where it repeats, signs and points that part numbers)."""
    x = y = left = top = 0
    out: list[tuple[object, ...]] = []
    for letter, told in re.findall(r"([A-Za-z])([^A-Za-z]*)", data):
        values = [round(float(one) * 10) for one in re.findall(r"-?(?:\d+\.\d+|\.\d+|\d+)", told)]
        if letter in "Zz":
            x, y = left, top
            out.append(("back",))
        many = {"a": 7, "h": 1, "H": 1, "v": 1, "V": 1}.get(letter, 2)
        for at in range(0, len(values), many):
            part = values[at : at + many]
            if letter == "a":
                x, y = x + part[5], y + part[6]
                out.append(("arc", *part, x, y))
                continue
            if letter in "Hh":
                x = part[0] + (x if letter == "h" else 0)
            elif letter in "Vv":
                y = part[0] + (y if letter == "v" else 0)
            else:
                x, y = (part[0] + x, part[1] + y) if letter.islower() else (part[0], part[1])
            if letter in "Mm":
                left, top = x, y
            out.append(("lift" if letter in "Mm" else "line", x, y))
    return out


def resolved(drawing: str) -> list[tuple[str, str, dict[str, str], list[tuple[object, ...]]]]:
    """Every element in order: its name, its words, its looks as a browser resolves them, and its path."""
    rules = {
        one: dict(re.findall(r"([\w-]+): ([^;]+);", said))
        for one, said in re.findall(r"\.af-d \.(\w+) \{ (.*?) \}", styles())
    }
    found = []

    def walk(element: ElementTree.Element) -> None:
        looks = {name: value for name, value in element.attrib.items() if name in LOOKED_AT}
        for name in element.get("class", "").split():
            looks |= rules.get(name, {})
        looks = {name: re.sub(r",[^)]*", "", value) for name, value in looks.items()}
        tag = element.tag.rpartition("}")[2]
        if tag != "svg":
            found.append((tag, element.text or "", looks, followed(element.get("d", ""))))
        for inner in element:
            walk(inner)

    walk(ElementTree.fromstring(drawing))
    return found


@pytest.mark.parametrize("make", ALL)
@pytest.mark.parametrize("width", [760, 380])
def test_every_element_looks_and_lies_as_it_did(make, width: int) -> None:
    drawing = draw(make(), SITE, width)
    small = lean(drawing)
    assert resolved(small) == resolved(drawing)
    assert len(small) < len(drawing)


def test_titles_stand_once_for_both_drawings() -> None:
    drawing = draw(ALL[0](), SITE, 380)
    key = re.search(r'aria-labelledby="([^" ]*)-380-t', drawing)
    assert key
    small = lean(drawing, tips=False, named_by=f"{key[1]}-760")
    assert f'aria-labelledby="{key[1]}-760-t {key[1]}-760-d"' in small
    assert "<title" not in small and "<desc" not in small


@pytest.mark.parametrize(
    ("long", "short"),
    [
        ("M10.0,10.0L10.5,9.5L11.0,9.0", "M10,10l.5-.5 .5-.5"),
        ("M0.0,0.0H100.0V-0.5", "M0,0h100v-.5"),
        ("M5.0,5.0h2.0v2.0h-2.0Z", "M5,5h2v2H5z"),
        ("M1.25,1.0L2.0,2.0", "M1.25,1.0L2.0,2.0"),
        ("M0.0,0.0C1.0,1.0 2.0,2.0 3.0,3.0", "M0.0,0.0C1.0,1.0 2.0,2.0 3.0,3.0"),
        ("", ""),
    ],
)
def test_a_path_in_steps(long: str, short: str) -> None:
    assert path(long) == short


def test_words_and_numbers_of_the_text_stay() -> None:
    drawing = '<svg><text x="1.0" y="2.0" fill="none">4.0 cm, L10.0</text></svg>'
    assert lean(drawing) == '<svg><text class="an" x="1" y="2">4.0 cm, L10.0</text></svg>'


def test_the_stylesheet_has_every_look() -> None:
    assert styles() in style()
    assert len(set(LOOKS.values())) == len(LOOKS)
