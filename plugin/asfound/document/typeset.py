"""The call of the typesetter: a private folder with data, our templates and fonts; nothing from outside, no clock."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import fields
from functools import cache
from importlib import resources
from pathlib import Path
from types import ModuleType
from typing import Any

from asfound.document.report import PAPERS, Report, Undocumentable
from asfound.document.translate import Measures, translate
from asfound.figures import PAPER

STANDARDS = ("a-3a", "ua-1")
"""PDF/A-3 (ISO 19005-3), level A: kept for long, files inside. PDF/UA-1 (ISO 14289-1): read by ear."""
TEMPLATES = ("report.typ", "blocks.typ")
POINT = 72 / 25.4
_WIDE = {"a4": 210.0 - 24 - 22, "us-letter": 215.9 - 26 - 24}
"""Width of all text on a page, in millimetres."""
MEASURE, GUTTER = 110.0, 7.0
"""Width of the column of prose, and the space to the margin beside it, in millimetres."""
LACKING = (
    'the typesetter is not installed; the extra `document` brings it (pip install "asfound[document]"); without it '
    "the whole record prints from a browser"
)


def typeset(report: Report, paper: str = "a4") -> bytes:
    """The report as PDF. The same report gives the same bytes, with one version of the typesetter.

    Raises Undocumentable with every reason why it cannot be set.
    """
    if paper not in PAPERS:
        raise Undocumentable(f'"{paper}" is no paper known here; {" or ".join(PAPERS)} is needed')
    typst = _typst()
    wide = _WIDE[paper]
    found = translate(report.html, report.images, Measures(wide * POINT, MEASURE * POINT))
    with tempfile.TemporaryDirectory(prefix="asfound-") as name:
        root = Path(name)
        for template in TEMPLATES:
            (root / template).write_bytes(_shipped(template))
        for drawing, svg in found.drawings.items():
            (root / drawing).write_text(svg, encoding="utf-8")
        for src, picture in found.pictures.items():
            (root / picture).write_bytes(report.images[src])
        attached = []
        for number, one in enumerate(report.attachments):
            # A file is read by a number of ours and bears its own name only inside the document.
            (root / f"attached-{number}").write_bytes(one.data)
            attached.append(
                {
                    "path": f"attached-{number}",
                    "name": one.name.replace("/", "-"),
                    "media": one.media,
                    "about": one.about,
                    "relation": one.relation,
                }
            )
        data: dict[str, Any] = {
            "title": report.title,
            "case": report.case,
            "standing": report.standing,
            "issued": report.issued,
            "dated": [report.dated.year, report.dated.month, report.dated.day],
            "digest": report.digest,
            "facts": list(report.facts),
            "handling": report.handling,
            "made": report.made_with,
            "language": report.language,
            "lede": found.lede,
            "close": found.close,
            "blocks": found.blocks,
            "behind": found.behind,
            "attached": attached,
            "paper": paper,
            "measure": MEASURE,
            "gutter": GUTTER,
            "colours": palette(),
        }
        return _compile(typst, root, "report.typ", data)


def compiled(main: str, templates: Sequence[str], data: Mapping[str, Any]) -> bytes:
    """What a template makes of data, as PDF. Raises Undocumentable."""
    typst = _typst()
    with tempfile.TemporaryDirectory(prefix="asfound-") as name:
        root = Path(name)
        for template in templates:
            (root / template).write_bytes(_shipped(template))
        return _compile(typst, root, main, data)


def palette() -> dict[str, Any]:
    """The colours of paper, by the names that templates use."""
    return {one.name: getattr(PAPER, one.name) for one in fields(PAPER) if one.name != "font"}


def _compile(typst: ModuleType, root: Path, main: str, data: Mapping[str, Any]) -> bytes:
    (root / main.replace(".typ", ".json")).write_text(json.dumps(data, ensure_ascii=False), encoding="utf-8")
    nowhere = root / "packages"
    nowhere.mkdir()
    compiler = typst.Compiler(
        input=str(root / main), root=str(root), font_paths=_fonts(), ignore_system_fonts=True,
        package_path=str(nowhere), package_cache_path=str(nowhere),
    )  # fmt: skip
    try:
        made = compiler.compile(format="pdf", pdf_standards=list(STANDARDS), timestamp=0)
    except typst.TypstError as error:
        raise Undocumentable(_said(error)) from None
    assert isinstance(made, bytes)
    return made


def made_by() -> str:
    """The typesetter and its version; another version may set the same report otherwise."""
    from importlib.metadata import version

    return f"typst {version('typst')}"


def _said(error: Any) -> str:
    hints = f" ({'; '.join(error.hints)})" if error.hints else ""
    return f"the typesetter refuses the report: {' '.join(str(error.message).split())}{hints}"


def _typst() -> ModuleType:
    try:
        import typst
    except ImportError:
        raise Undocumentable(LACKING) from None
    return typst


@cache
def _fonts() -> Any:
    """Our fonts and those the typesetter brings, never those of the machine."""
    folder = Path(str(resources.files("asfound.document") / "fonts"))
    return _typst().Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(folder)])


@cache
def _shipped(name: str) -> bytes:
    return (resources.files("asfound.document") / name).read_bytes()
