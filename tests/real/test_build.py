"""Real builds: what stops one, what must never get into one, and that the same input gives the same bytes."""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from .support import (
    BASE,
    INSTANT,
    MATERIAL,
    PLAIN,
    Site,
    addresses,
    base,
    build,
    configure,
    photographs,
    run,
)

FAULT = ("readings/earth.csv", "1,case screw,142\n", "1,case screw,142\n1,case screw,143\n")
"""A row twice: a reject at any stage."""


def spoil(root: Path, name: str, old: str, new: str) -> None:
    """Replace a text that stands once in a file of the base case."""
    path = root / "cases" / "base" / name
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, name
    path.write_text(text.replace(old, new), encoding="utf-8")


@pytest.mark.parametrize("arguments", [("-q", "--strict"), ("-q", "--no-strict")], ids=" ".join)
def test_a_reject_stops_the_build_and_is_printed_however_quiet(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    """`-q` hides warnings from a strict build of this engine; a reject must not be one of them."""
    root = configure(base(tmp_path), MATERIAL)
    spoil(root, *FAULT)
    done = run(root, "build", *arguments)
    assert done.returncode != 0
    assert re.search(r"cases/base/readings/earth\.csv:\d+:\d+ reject [a-z-]+ — ", done.stderr), done.stderr
    assert "Traceback" not in done.stderr
    assert not (root / "site" / "index.html").exists()


def test_broken_files_and_links_stop_the_build_and_all_are_named(tmp_path: Path) -> None:
    root = configure(base(tmp_path), PLAIN)
    (root / "cases" / "other").mkdir()
    (root / "cases" / "other" / "case.yml").write_text("case: [unfinished\n", encoding="utf-8")
    (root / ".asfound" / "settings.yml").write_text("organisation: [a, b]\n", encoding="utf-8")
    (root / "cases" / "base" / "letter.txt").symlink_to(root / ".asfound" / "settings.yml")
    done = run(root, "build", "-q")
    assert done.returncode != 0 and "Traceback" not in done.stderr
    assert "cases/other/case.yml:" in done.stderr and ".asfound/settings.yml:" in done.stderr
    assert "cases/base/letter.txt reject" in done.stderr


@pytest.mark.parametrize(
    ("asked", "epoch", "says"),
    [("soon", "1774000000", '`assess_on` holds "soon"'), (None, "yesterday", "SOURCE_DATE_EPOCH")],
)
def test_a_date_that_is_none_is_said_so(tmp_path: Path, asked: str | None, epoch: str, says: str) -> None:
    root = configure(base(tmp_path), PLAIN, asfound={"assess_on": asked})
    done = run(root, "build", "-q", SOURCE_DATE_EPOCH=epoch)
    assert done.returncode != 0 and "Traceback" not in done.stderr
    assert says in done.stderr, done.stderr


def test_a_repository_without_cases_is_a_site_without_cases(tmp_path: Path) -> None:
    (tmp_path / "cases").mkdir()
    site = build(configure(tmp_path, PLAIN))
    assert "There is no case yet" in site.pages["index.html"].text


def test_what_lies_about_is_not_published(tmp_path: Path) -> None:
    """Whatever its name or suffix, and however deep; links beside the cases neither, wherever they lead."""
    root = configure(base(tmp_path / "repository"), MATERIAL)
    secret = "the patient's name is on this line"
    cases = root / "cases"
    outside = tmp_path / "outside"
    outside.mkdir()
    for name in ("letter.txt", "letter.md", "page.html", "picture.jpg"):
        (outside / name).write_text(secret, encoding="utf-8")
    for name in (
        "notes.md", "index.md", "README.md", "draft.html", "scan.jpg", "scan.PNG", "letter.pdf", "old.yml~",
        "script.js", "no-suffix", "style.css", "sheet.xlsx", "deep/er/notes.md", "deep/er/picture.svg",
        "evidence/more.html",
        "../stray.txt", "../stray.html", "../not-a-case/thoughts.md", "../not-a-case/scan.jpg",
    ):  # fmt: skip
        (cases / "base" / name).parent.mkdir(parents=True, exist_ok=True)
        (cases / "base" / name).write_text(secret, encoding="utf-8")
    (cases / "linked-folder").symlink_to(outside)
    (cases / "linked.md").symlink_to(outside / "letter.md")
    (cases / "bench").symlink_to(root / ".asfound")
    (cases / "items.md").symlink_to(cases / "base" / "items.yml")
    site = build(root)
    assert set(site.own) == set(addresses(directory=True))
    for name, path in site.files.items():
        assert secret.encode() not in path.read_bytes(), name
    ours = {name for name in site.files if not name.startswith(("assets/", "search/")) and not name.endswith(".html")}
    assert ours == {*photographs(), "sitemap.xml", "sitemap.xml.gz"}


def test_cases_may_lie_outside_the_documents_and_stay_there(tmp_path: Path) -> None:
    """The documents in docs/, a link from there into the cases, and one to the organisation's files."""
    root = configure(base(tmp_path), PLAIN, docs_dir="docs")
    (root / "docs").mkdir()
    (root / "docs" / "more.md").write_text("# More\n\nA page.\n", encoding="utf-8")
    (root / "docs" / "all").symlink_to(root / "cases")
    (root / "docs" / "bench").symlink_to(root / ".asfound")
    site = build(root)
    assert "more/index.html" in site.files and "case/base/index.html" in site.files
    assert not [name for name in site.files if name.startswith(("all/", "bench/"))]


def test_the_same_input_gives_the_same_bytes(tmp_path: Path, instant: Site) -> None:
    """In another folder, time zone and language, with other times of files and another order of hashing."""
    again = configure(base(tmp_path / "elsewhere" / "with a space"), INSTANT, site_url="http://127.0.0.1:8000/docket/")
    for path in sorted((again / "cases").rglob("*"), reverse=True):
        os.utime(path, (1_500_000_000, 1_500_000_000))
    made = build(again, TZ="Asia/Kolkata", LC_ALL="C", PYTHONHASHSEED="1", COLUMNS="40", HOME=str(tmp_path))
    assert made.digests() == instant.digests()


def _contents(root: Path) -> dict[str, str]:
    return {
        path.relative_to(root).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in root.rglob("*")
        if path.is_file()
    }


def test_what_one_sets_is_in_every_page(tmp_path: Path) -> None:
    """A notice above, an address for each line of the repository, a page of one's own beside the cases."""
    notice = 'Not for <b>"release"</b> & co.'
    root = configure(
        base(tmp_path), PLAIN, repo_url="https://github.example/owner/repository", asfound={"notice": notice}
    )
    (root / "cases" / "about.md").write_text("# About\n\nWho we are.\n", encoding="utf-8")
    before = _contents(root)
    site = build(root)
    now = {name: digest for name, digest in _contents(root).items() if not name.startswith("site/")}
    assert now == before, "a build writes into its site and nowhere else"
    assert "Who we are." in site.pages["about/index.html"].text
    for name in addresses(directory=True):
        assert site.pages[name].text.count(notice) == 1, name
    page = site.pages["case/base/measurements/index.html"]
    lines = [one.attributes["href"] for one in page.all("a") if "af-line" in one.attributes.get("class", "")]
    assert "https://github.example/owner/repository/blob/HEAD/cases/base/readings/flow.csv#L2" in lines


HOSTILE = (
    "<script>window.hurt=1</script><img src=x onerror=hurt()> \"quoted\" 'too' {{ 7*7 }} {% raw %} [a](b.md) &amp;"
)


@pytest.mark.parametrize("theme", [INSTANT, PLAIN], ids=["material", "plain"])
def test_hostile_words_never_become_markup(tmp_path: Path, theme: dict[str, object]) -> None:
    """A title prints raw in both themes, and search words pass through both searches."""
    root = configure(base(tmp_path), theme)
    quoted = "'" + HOSTILE.replace("'", "''") + "'"
    spoil(root, "case.yml", "title: A bag emptied early on a ward", f"title: {quoted}")
    spoil(root, "items.yml", "what: Infusion pump", f"what: {quoted}")
    spoil(root, "items.yml", "what: Patient monitor", f"what: {quoted}")
    spoil(root, "items.yml", 'serial: "118"', f"serial: {quoted}")
    spoil(root, "items.yml", "maker: maker A", f"maker: {quoted}")
    spoil(root, "readings/earth.csv", "1,case screw,142", '1,"' + HOSTILE.replace('"', '""') + '",142')
    spoil(root, "clocks.yml", "what: Ward clock", f"what: {quoted}")
    spoil(root, "room.yml", "value: earthed, polarity correct", f"value: {quoted}")
    site = build(root)
    assert len(site.own) == len(addresses(directory=True))
    shown = 0
    for name, page in site.own.items():
        assert not [one for one in page.elements if "onerror" in one.attributes], name
        assert not [one for one in page.all("script") if "hurt" in one.text], name
        assert "<script>window.hurt" not in page.source, name
        assert "49" not in [one.text for one in page.elements], name
        assert not [one for one in page.all("a") if "b.md" in one.attributes.get("href", "")], name
        shown += HOSTILE.split("{{")[0].strip() in page.text
        if name.startswith("case/"):
            assert "<script>window.hurt=1</script>" in page.all("title")[0].text, name
    assert shown >= 6
    # A script that holds texts of a case: none may end it, and our search sets them as text.
    index = site.files["assets/asfound/asfound-index.js"].read_text(encoding="utf-8")
    assert "<" not in index
    assert "hurt" in index


def test_a_wrong_property_of_a_chart_is_found_at_build_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture, demo: Site
) -> None:
    """A property the chart library does not know is passed over in silence by the browser; a build names it."""
    from mkdocs.commands.build import build as engine
    from mkdocs.config import load_config
    from mkdocs.exceptions import Abort

    import asfound.figures.markup as markup

    real: Callable[..., dict[str, object]] = markup.live

    def wrong(*given: object) -> dict[str, object]:
        made = real(*given)
        return {**made, "layout": {**made["layout"], "hovermood": "closest"}}  # type: ignore[dict-item]

    monkeypatch.setattr("asfound.figures.markup.live", wrong)
    monkeypatch.setenv("NO_MKDOCS_2_WARNING", "1")
    config = load_config(str(demo.root / "mkdocs.yml"), site_dir=str(tmp_path / "site"))
    config.plugins.on_startup(command="build", dirty=False)
    with caplog.at_level("ERROR"), pytest.raises(Abort):
        engine(config)
    [said] = [one.getMessage() for one in caplog.records]
    where = r"asfound: a chart on case/[a-z-]+/\S+\.md does not follow the schema: "
    assert re.fullmatch(where + r"Invalid property .*'hovermood'.*", said)
    assert len(said) < 300 and not (tmp_path / "site" / "index.html").exists()


def test_the_engine_is_met_only_by_its_public_doors() -> None:
    """No import from, and no use of, a part of the engine whose name begins with an underscore."""
    import ast

    import asfound.bridge

    for path in sorted(Path(asfound.bridge.__file__).parent.glob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        engine: set[str] = set()
        for node in ast.walk(tree):
            if isinstance(node, ast.ImportFrom) and (node.module or "").partition(".")[0] in {"mkdocs", "material"}:
                assert not any(part.startswith("_") for part in (node.module or "").split(".")), path
                engine |= {alias.asname or alias.name for alias in node.names}
                assert not [alias.name for alias in node.names if alias.name.startswith("_")], path
        private = [
            f"{path.name}:{node.lineno}: {ast.unparse(node)}"
            for node in ast.walk(tree)
            if isinstance(node, ast.Attribute) and node.attr.startswith("_")
            and not (isinstance(node.value, ast.Name) and node.value.id == "self")
        ]  # fmt: skip
        assert not private


def test_the_base_case_has_something_to_lose() -> None:
    """The tests above would show nothing if the case held no files."""
    assert len([path for path in BASE.rglob("*") if path.is_file()]) > 25
