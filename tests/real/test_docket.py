"""The docket of the nine cases, held against the files of the cases as another reader reads them."""

from __future__ import annotations

import re
from collections import defaultdict

import pytest
import yaml

from .support import ROOT, Site


def _told() -> dict[str, dict[str, str]]:
    """Facet → case → value, from the files alone: plain YAML, nothing of this program."""
    found: dict[str, dict[str, str]] = defaultdict(dict)
    for folder in sorted((ROOT / "cases").iterdir()):
        if not (folder / "case.yml").is_file():
            continue
        head = yaml.load((folder / "case.yml").read_text("utf-8"), yaml.BaseLoader)
        conclusion = yaml.load((folder / "conclusion.yml").read_text("utf-8"), yaml.BaseLoader)
        case = head["case"]
        found["device"][case] = head["device_kind"]
        found["event"][case] = head["event"]["kind"].replace(" ", "-")
        found["level"][case] = conclusion["mechanism"]["level"]
        found["month"][case] = head["event"]["told_at"][:7]
        found["status"][case] = head.get("stage", "in review").replace(" ", "-")
    return found


@pytest.mark.parametrize("facet", ["device", "event", "level", "month", "status"])
def test_a_case_stands_under_the_words_of_its_own_files(demo: Site, facet: str) -> None:
    told = _told()[facet]
    assert len(told) == 9
    shown: dict[str, str] = {}
    for name, page in demo.pages.items():
        found = re.fullmatch(rf"docket/{facet}/([^/]+)/index\.html", name)
        if found:
            links = [one for one in page.all("a") if one.attributes.get("class") == "af-title"]
            for link in links:
                case = link.attributes["href"].rstrip("/").rpartition("/")[2]
                assert case not in shown, (case, name)
                shown[case] = found.group(1)
    assert shown == told


def test_the_docket_has_one_line_a_case_with_its_weakest_link(demo: Site) -> None:
    docket = demo.pages["index.html"]
    assert len([one for one in docket.all("a") if one.attributes.get("class") == "af-title"]) == 9
    assert len([one for one in docket.all("a") if one.text == "Weakest link"]) == 8, "all but the established one"
