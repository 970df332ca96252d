"""The call of the typesetter: what it is given, what it refuses, and what never comes in from outside."""

from __future__ import annotations

import builtins
import hashlib
import re
from importlib import resources
from typing import Any

import pytest

from asfound.document import Attachment, Undocumentable, attachments, typeset
from asfound.pages import Options
from asfound.publish.work import build
from tests.rules.support import BASE, ON

from .support import small

FONTS = resources.files("asfound.document") / "fonts"


def test_a_small_report_is_tagged_pdf_of_the_asked_paper() -> None:
    made = typeset(small('<section><h2 id="a">One</h2><p>See <a href="#a">one</a>.</p></section>'), "us-letter")
    assert made.startswith(b"%PDF-1.7") and b"/MarkInfo" in made
    assert re.search(rb"/MediaBox ?\[0 0 612", made)


def test_another_paper_is_refused() -> None:
    with pytest.raises(Undocumentable, match='"a5" is no paper known here; a4 or us-letter is needed'):
        typeset(small("<p>x</p>"), "a5")


def test_a_missing_typesetter_is_said_with_the_way_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    true = builtins.__import__

    def without(name: str, *rest: Any, **more: Any) -> Any:
        if name == "typst":
            raise ImportError(name)
        return true(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(Undocumentable, match=r'pip install "asfound\[document\]"'):
        typeset(small("<p>x</p>"))


def test_a_character_no_font_has_is_an_error_and_not_an_empty_box() -> None:
    with pytest.raises(Undocumentable) as error:
        typeset(small("<p>before \ue123 after</p>"))
    assert "the typesetter refuses the report" in str(error.value)


def test_the_name_of_an_attachment_never_becomes_a_path() -> None:
    inside = (Attachment("../../outside.csv", b"a,b\n", "text/csv", "Rows."),)
    assert b"(..-..-outside.csv)" in typeset(small("<p>x</p>", attachments=inside))


def test_no_evidence_and_nothing_about_the_document_itself_is_attached() -> None:
    paths = ["case.yml", "custody.csv", "readings/flow.csv", "evidence/log.csv", "evidence/x.jpg", "approvals/a.json",
             "editions/1/dossier.json", "notes.txt"]  # fmt: skip
    found = attachments("base", b"{}", paths, lambda path: b"gone" if path != "custody.csv" else None)
    assert [(one.name, one.media, one.relation) for one in found] == [
        ("base-dossier.json", "application/json", "source"),
        ("case.yml", "application/yaml", "data"),
        ("readings/flow.csv", "text/csv", "data"),
    ]
    assert all(one.about for one in found)


def test_fonts_are_listed_unchanged_with_their_licence() -> None:
    text = (FONTS / "FONTS.txt").read_text(encoding="utf-8")
    listed = dict(re.findall(r"^file:\s+(\S+)\nsha256:\s+([0-9a-f]{64})$", text, re.M))
    there = {one.name for one in FONTS.iterdir()}
    assert {name for name in there if name.endswith(".otf")} == set(listed)
    for name, digest in listed.items():
        assert hashlib.sha256((FONTS / name).read_bytes()).hexdigest() == digest, name
    licences = set(re.findall(r"text in (\S+)", text))
    assert licences == there - set(listed) - {"FONTS.txt"}
    for name in licences:
        assert "SIL OPEN FONT LICENSE Version 1.1" in (FONTS / name).read_text(encoding="utf-8")


def test_a_site_that_is_asked_for_documents_has_one_beside_each_case() -> None:
    built = build(BASE, "cases", ON, Options(documents=True), False)
    assert built.files["case/base/base.pdf"].startswith(b"%PDF-1.7")
    assert '<a href="base.pdf">The whole record as one PDF</a>' in built.pages["case/base/index.md"].body
    without = build(BASE, "cases", ON, Options(), False)
    assert "case/base/base.pdf" not in without.files
    assert not any("as one PDF" in page.body for uri, page in without.pages.items() if uri.startswith("case/"))


def test_the_templates_ask_for_no_package_and_no_address() -> None:
    for name in ("report.typ", "blocks.typ"):
        text = (resources.files("asfound.document") / name).read_text(encoding="utf-8")
        assert not re.search(r'"@|https?:|import "(?!blocks\.typ)', text)
