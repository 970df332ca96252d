"""Pages of editions, in a site that was really built: what was issued, what took its place, and what moved between."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from asfound.assess import assess_case
from asfound.compare import differences, in_words
from asfound.model.dossier import Dossier
from asfound.model.edition import PRESERVATION
from tests.rules.support import CASE, Copy
from tests.rules.support import ON as DAY
from tests.support.editions import edition, write

from .conftest import ADDRESS
from .support import MATERIAL, PLAIN, Page, Site, build, configure

LATE = (
    "8,I-1 I-2 I-3 I-4,transfer,2026-03-19 09:00 -06:00,2026-03-19 09:00 -06:00,store,examiner,examiner's store,bench,"
    "a second look,2003,,as before,examiner,examiner,,\n"
)


def _dossier(root: Path) -> Dossier:
    made = assess_case(root, root / CASE, DAY).dossier
    assert made is not None
    return made


def repository(root: Path) -> Path:
    """The base case with a preservation edition and a report, then a draft that went on."""
    copy = Copy(root)
    first = _dossier(root)
    bare = replace(
        first, core=replace(first.core, case=replace(first.core.case, findings={}, explanations={}, conclusion=None))
    )
    one, text = edition(1, dossier=bare, kind=PRESERVATION)
    write(root / CASE, {"editions/1/edition.json": one.text(), "editions/1/dossier.json": text})
    moved = tuple(in_words(move) for move in differences(bare.core, first.core))
    two, text = edition(2, one.text(), dossier=first, reason="the work is done & <written>", changes=moved)
    write(root / CASE, {"editions/2/edition.json": two.text(), "editions/2/dossier.json": text})
    flow = copy.path("readings/flow.csv")
    flow.write_text(flow.read_text().replace("4,100,111.9", "4,100,111.7"))
    custody = copy.path("custody.csv")
    custody.write_text(custody.read_text() + LATE)
    return root


_KINDS: dict[str, Callable[[Path], Path]] = {
    "served": lambda root: configure(repository(root), MATERIAL, site_url=ADDRESS),
    "disk": lambda root: configure(repository(root), MATERIAL, use_directory_urls=False, site_url=""),
    "plain": lambda root: configure(repository(root), PLAIN, site_url=ADDRESS),
}


@pytest.fixture(scope="module", params=list(_KINDS))
def site(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Site:
    root = _KINDS[request.param](tmp_path_factory.mktemp(request.param))
    return build(root)


def _heads(page: Page, tag: str, name: str, value: str) -> list[dict[str, str]]:
    return [one.attributes for one in page.all(tag) if one.attributes.get(name) == value]


def test_every_edition_has_its_page_from_its_frozen_dossier(site: Site) -> None:
    first, second = site.page("case/base/edition/1"), site.page("case/base/edition/2")
    assert "Preservation edition 1 of 2026-03-21 (Sat), no opinion" in first.text.replace("\u00a0", " ")
    assert "Nobody has given an opinion in it" in first.text
    assert "Edition 2 of 2026-03-22 (Sun), not reviewed" in second.text.replace("\u00a0", " ")
    # The draft's reading was corrected since; the edition still says what it said.
    assert "111.9" in second.text and "111.7" not in second.text
    assert "111.7" in site.page("case/base/measurements").text
    assert "the work is done & <written>" in second.text


def test_a_superseded_edition_says_so_and_points_search_engines_to_the_newest(site: Site) -> None:
    first, second = site.page("case/base/edition/1"), site.page("case/base/edition/2")
    assert "Superseded." in first.text and "Superseded." not in second.text
    assert [one["content"] for one in _heads(first, "meta", "name", "robots")] == ["noindex"]
    assert _heads(second, "meta", "name", "robots") == []
    canonical = _heads(first, "link", "rel", "canonical")
    assert len(canonical) == 1
    name = next(name for name, page in site.pages.items() if page is first)
    href = canonical[0]["href"]
    if href.startswith("http"):
        assert href == f"{ADDRESS}case/base/edition/2/"
    else:
        target = site.target(name, href)
        assert target is not None and site.pages[target[0]] is second


def test_the_draft_says_after_which_edition_it_is_one_and_lists_them(site: Site) -> None:
    summary = site.page("case/base").text.replace("\u00a0", " ")
    assert "Draft after edition 2 of 2026-03-22 (Sun)" in summary
    assert summary.index("Edition 2 of 2026-03-22 (Sun), not reviewed: the work is done") < summary.index(
        "Preservation edition 1 of 2026-03-21 (Sat)"
    )
    assert "edition 2 of 2026-03-22 (Sun)" in site.page("").text.replace("\u00a0", " ")


def test_what_moved_is_told_side_by_side(site: Site) -> None:
    since = site.page("case/base/edition/2/since").text.replace("\u00a0", " ")
    assert "From edition 2 of 2026-03-22 (Sun) to the draft as it stands." in since
    assert "value 111.9 mL/h" in since and "value 111.7 mL/h" in since
    changes = site.page("case/base/edition/2/changes").text.replace("\u00a0", " ")
    assert "finding F-1" in changes and "mechanism" in changes


def test_later_lines_of_custody_stand_beside_the_newest_edition(site: Site) -> None:
    second = site.page("case/base/edition/2").text
    assert "Since edition 2" in second and "The custody line C-8 is new" in second
    assert "Since edition 1" not in site.page("case/base/edition/1").text


def test_links_and_anchors_hold_and_no_id_stands_twice(site: Site) -> None:
    checked = 0
    for name, page in site.pages.items():
        if "/edition/" not in name:
            continue
        twice = [one for one, count in Counter(page.ids).items() if count > 1]
        assert not twice, f"{name}: {twice}"
        for one in page.elements:
            target = site.target(name, one.attributes["href"]) if one.attributes.get("href") else None
            if target is None or target[1] == "__top":
                continue
            checked += 1
            assert target[0] in site.files, (name, one.attributes["href"])
            anchors = set(site.pages[target[0]].ids) if target[0] in site.pages else {target[1]}
            # Both themes offer `#` and `#top` of their own to go back up.
            assert not target[1] or target[1] in anchors | {"top"}, (name, one.attributes["href"])
    assert checked > 300


def test_an_edition_that_was_altered_is_not_shown(tmp_path: Path) -> None:
    from asfound.assess import open_repository
    from asfound.assess.issue import editions_of

    root = repository(tmp_path / "copy")
    place = root / CASE / "editions/1/dossier.json"
    place.write_bytes(place.read_bytes().replace(b"A bag emptied early", b"A bag emptied late", 1))
    assert [one.record.number for one in editions_of(open_repository(root), CASE)] == [2]


def test_an_edition_as_one_file_says_which_it_is_and_leads_nowhere(tmp_path: Path) -> None:
    from asfound.assess import open_repository
    from asfound.assess.issue import editions_of
    from asfound.pages import standalone

    root = repository(tmp_path / "copy")
    issued = editions_of(open_repository(root), CASE)
    first = standalone(issued[0].dossier, {}, issued=issued, edition=issued[0])
    assert (
        "Preservation edition 1 of 2026-03-21 (Sat), no opinion" in first and "Edition 2 has taken its place." in first
    )
    second = standalone(issued[1].dossier, {}, issued=issued, edition=issued[1])
    assert "Superseded" not in second and "SHA-256 of dossier.json" in second
    draft = standalone(_dossier(root), {}, issued=issued)
    assert "Draft after edition 2 of 2026-03-22 (Sun)" in draft and "Draft, never issued" in standalone(
        _dossier(root), {}
    )
    for text in (first, second, draft):
        page = Page(tmp_path, text)
        assert {one.attributes["href"][:1] for one in page.all("a") if "href" in one.attributes} <= {"#"}
