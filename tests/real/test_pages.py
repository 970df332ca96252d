"""What a built site holds, and what it must not: looked at in every way a site is built."""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from itertools import pairwise
from pathlib import Path

from PIL import Image

from asfound.figures.packed import unpacked

from .support import BASE, Site, addresses, photographs

RAW = (".yml", ".yaml", ".csv", ".txt", ".md", ".tif", ".pdf")


def test_pages_have_the_addresses_that_are_promised(site: Site) -> None:
    """The addresses that DEVELOPERS.md calls settled, no more and no fewer."""
    assert set(site.own) == set(addresses(directory="limits/index.html" in site.files))


def test_every_link_leads_somewhere_and_every_anchor_stands(site: Site) -> None:
    ids = {name: set(page.ids) for name, page in site.pages.items()}
    broken, checked = [], 0
    for page, where, address in site.links():
        if page == "404.html" or address.startswith("data:"):
            continue
        target = site.target(page, address)
        if target is None:
            continue
        checked += 1
        file, anchor = target
        # Both themes offer `#` and `#top` of their own to go back up.
        if file not in site.files or (anchor and anchor not in ids.get(file, {anchor})):
            broken.append(f"{page}: {where} {address}")
    assert checked > 800
    assert not broken, broken[:20]


def test_no_id_stands_twice_in_a_page(site: Site) -> None:
    for name, page in site.pages.items():
        twice = [one for one, count in Counter(page.ids).items() if count > 1]
        assert not twice, f"{name}: {twice}"


def test_every_record_of_the_case_has_its_anchor_on_its_page_and_on_the_record(disk: Site) -> None:
    ids = set(disk.page("case/base/record").ids)
    for ref in ("A-1", "C-1", "E-2", "F-3", "G-8", "H-1", "I-4", "K-2", "L-3", "M-2", "R-flow-again-3", "S-earth",
                "T-1", "U-1", "V-2", "W-1", "X-4", "P-pump-flow", "Y-flow-repeatability-1"):  # fmt: skip
        assert ref in ids, ref
        assert any(ref in page.ids for name, page in disk.own.items() if "record" not in name), ref


def test_nothing_is_fetched_from_elsewhere(site: Site) -> None:
    """Scripts, styles, fonts, pictures, frames, forms: all from the site itself."""
    for page, where, address in site.links():
        outside = re.match(r"[a-z][a-z0-9+.-]*:|//", address, re.IGNORECASE)
        if not outside or address.startswith("data:image/"):
            continue
        allowed = where == "a href" or (where == "link href" and "canonical" in site.pages[page].source)
        assert allowed, f"{page}: {where} {address}"
    for name, path in site.files.items():
        if name.endswith(".css"):
            outside = re.findall(r"(?:url\(|@import)\s*['\"]?(?:https?:)?//[^)'\"]+", path.read_text(encoding="utf-8"))
            assert not outside, f"{name}: {outside}"


def test_links_out_of_the_site_are_those_of_the_engine_and_no_others(site: Site) -> None:
    """No text of the base case holds a link; what is left is the engine's credit, which each theme prints."""
    out = {address for _, where, address in site.links() if where == "a href" and address.startswith("http")}
    assert out <= {"https://squidfunk.github.io/mkdocs-material/", "https://www.mkdocs.org/"}, out


def test_evidence_cannot_leave_through_a_button(demo: Site) -> None:
    """The chart library offers to send a chart to its maker's cloud unless it is told not to."""
    charts = 0
    for page in demo.own.values():
        for told in page.all("template"):
            charts += 1
            config = unpacked(told.text)["config"]
            assert config["showSendToCloud"] is False and config["plotlyServerURL"] == ""
            assert config["displaylogo"] is False
        assert not [form for form in page.all("form") if form.attributes.get("action", "").startswith("http")]
    assert charts > 10
    # What no chart says of itself, the script says that draws them.
    loader = "".join(path.read_text("utf-8") for path in (demo.folder / "assets/asfound").glob("*.js"))
    assert re.search(r'"showSendToCloud":false', loader) and re.search(r'"plotlyServerURL":""', loader)


def test_no_raw_file_of_a_case_is_published(site: Site) -> None:
    originals = {
        hashlib.sha256(path.read_bytes()).hexdigest(): path.relative_to(BASE).as_posix()
        for path in BASE.rglob("*")
        if path.is_file()
    }
    assert len(originals) > 25
    for name, digest in site.digests().items():
        assert digest not in originals, f"{name} is {originals[digest]}"
        assert not name.endswith(RAW) or name.startswith("assets/asfound/"), name
        assert ".asfound" not in name and "/evidence/" not in name.replace("/evidence/index.html", ""), name


def test_pictures_are_made_anew_and_carry_nothing_but_the_picture(site: Site) -> None:
    pictures = {name: path for name, path in site.files.items() if name.startswith("case/base/pictures/")}
    assert set(pictures) == set(photographs()) and len(pictures) > 1
    originals = {hashlib.sha256(path.read_bytes()).hexdigest() for path in BASE.rglob("*.jpg")}
    for name, path in pictures.items():
        data = path.read_bytes()
        assert hashlib.sha256(data).hexdigest() not in originals, name
        with Image.open(path) as picture:
            assert not picture.getexif(), name
            assert not {"exif", "xmp", "icc_profile", "comment", "photoshop"} & set(picture.info), name
        assert b"Exif" not in data and b"http://ns.adobe.com" not in data, name


def test_pictures_have_words_and_a_size(site: Site) -> None:
    seen = 0
    for name, page in site.own.items():
        for picture in page.all("img"):
            assert picture.attributes.get("alt") is not None, f"{name}: {picture.attributes}"
            if "pictures/" in picture.attributes["src"]:
                seen += 1
                assert picture.attributes["alt"].strip(), f"{name}: {picture.attributes}"
                assert int(picture.attributes["width"]) > 0 and int(picture.attributes["height"]) > 0
    assert seen >= 4


def test_tables_headings_and_language_are_in_order(site: Site) -> None:
    """One first heading a page, no level left out, every head cell with its direction, every drawing with a name."""
    for name, page in site.own.items():
        assert page.all("html")[0].attributes.get("lang") == "en", name
        heads = [one for one in page.elements if re.fullmatch("h[1-6]", one.tag)]
        firsts = [one.text for one in heads if one.tag == "h1"]
        assert len(firsts) == 1 and firsts[0], f"{name}: {firsts}"
        levels = [int(one.tag[1]) for one in heads if one.within("af")]
        assert levels[0] == 1, f"{name}: {levels}"
        jumps = [(a, b) for a, b in pairwise(levels) if b > a + 1]
        assert not jumps, f"{name}: {jumps}"
        for cell in (one for one in page.all("th") if one.within("af")):
            assert cell.attributes.get("scope") in {"col", "row"}, f"{name}: {cell.text}"
        tables = [one for one in page.all("table") if one.within("af")]
        assert all(one.within("af-scroll") for one in tables), name
        for region in (one for one in page.elements if one.attributes.get("role") == "region"):
            assert region.attributes.get("aria-label"), name
            assert region.attributes.get("tabindex") == "0", name
        for drawing in (one for one in page.all("svg") if one.within("af-chart")):
            # A drawing that holds links is a group with a name: an image would hide them from whoever reads by ear.
            named = drawing.attributes.get("role") == "group" and drawing.attributes.get("aria-labelledby")
            assert drawing.attributes.get("role") == "img" or drawing.attributes.get("aria-hidden") or named, name


def test_a_case_is_found_from_the_docket_and_not_from_the_navigation(site: Site) -> None:
    """A navigation that names every case grows with the square of their number."""
    for name, page in site.own.items():
        offered = [
            address
            for one in page.elements
            if one.tag == "a" and one.within("nav") and not one.within("af")
            for address in [one.attributes.get("href", "")]
            if "case/" in address
        ]
        assert not offered, f"{name}: {offered}"
    docket = site.pages["index.html"]
    assert any("case/base" in one.attributes.get("href", "") for one in docket.all("a"))


def test_the_search_knows_title_serial_lot_and_finding_and_holds_no_table(site: Site) -> None:
    text = site.files["assets/asfound/asfound-index.js"].read_text(encoding="utf-8")
    for words in ("A bag emptied early on a ward", "serial 118", "L-55", " delivered "):
        assert words in text, words
    assert "Readings of" not in text and "not an exoneration" not in text


def test_built_pages_name_no_place_of_the_machine(site: Site) -> None:
    for name, path in site.files.items():
        data = path.read_bytes()
        assert str(site.root).encode() not in data, name
        assert str(Path.home()).encode() + b"/" not in data, name
        assert str(Path(__file__).parents[2]).encode() not in data, name


def test_the_demonstration_holds_together(demo: Site) -> None:
    """The whole case of this repository, under its own configuration: links, ids, nothing raw."""
    test_every_link_leads_somewhere_and_every_anchor_stands(demo)
    test_no_id_stands_twice_in_a_page(demo)
    test_tables_headings_and_language_are_in_order(demo)
    test_nothing_is_fetched_from_elsewhere(demo)
    test_built_pages_name_no_place_of_the_machine(demo)
    originals = {
        hashlib.sha256(path.read_bytes()).hexdigest(): path for path in demo.root.rglob("*")
        if path.is_file() and not path.is_relative_to(demo.folder)
    }  # fmt: skip
    assert not [name for name, digest in demo.digests().items() if digest in originals]
