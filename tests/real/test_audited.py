"""Sites as they are really built, held by the audit against every raw file they were made from."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.audit import audit
from asfound.cli.audit_site import _originals, run_audit
from asfound.problems import Level

from .support import DEMONSTRATED, PLAIN, Site, build, configure, demonstration

THEIRS = ("img/grid.png ",)
"""A picture of the engine's own theme carries a text of its maker's program. It is no picture of a case."""


def heavy(site: Site) -> list[str]:
    """What the audit says of a site, notes left out."""
    held = _originals(site.root, site.folder)
    assert len(held) > 20, "the raw files are known"
    return [
        one.headline()
        for one in audit(site.folder, held)
        if one.level is not Level.NOTE and not one.headline().startswith(THEIRS)
    ]


def test_a_site_of_every_kind_passes(site: Site) -> None:
    assert heavy(site) == []


def test_the_demonstration_passes_under_the_engines_own_theme_and_from_disk(tmp_path: Path) -> None:
    """With the pages that lead across cases; `.ci/run` asks the same of the configuration of this repository."""
    root = configure(demonstration(tmp_path), PLAIN, use_directory_urls=False, site_url="", asfound={"assess_on": None})
    site = build(root, SOURCE_DATE_EPOCH=DEMONSTRATED)
    assert heavy(site) == []
    assert {"across/sisters.html", "docket/level/probable.html"} <= site.pages.keys()


@pytest.mark.parametrize("leak", ["cases/base/readings/flow.csv", "cases/base/evidence/front.jpg"])
def test_a_raw_file_that_slips_into_a_site_is_found(
    site: Site, leak: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    import shutil

    copy = tmp_path / "site"
    shutil.copytree(site.folder, copy)
    shutil.copy(site.root / leak, copy / "assets-of-mine.bin")
    assert run_audit(str(copy), "text", "reject", str(site.root)) == 1
    said = capsys.readouterr().out
    assert "assets-of-mine.bin" in said and leak in said
