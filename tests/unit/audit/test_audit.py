"""Crafted sites, each with one thing it must not hold, and the place at which the audit says so."""

from __future__ import annotations

import base64
import hashlib
import json
import struct
import zlib
from pathlib import Path

import pytest
from click.testing import CliRunner

from asfound.audit import ENTRIES, audit
from asfound.cli.main import cli

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; object-src 'none'; "
    "form-action 'none'; base-uri 'none'"
)
HEAD = (
    '<html lang="en"><head>\n<meta charset="utf-8">\n'
    f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">\n<meta name="asfound" content="0.1.0">\n'
)


def site(root: Path, body: str = "", head: str = HEAD, **files: bytes) -> Path:
    """A site of one page, whose body begins on line 6, and other files (`__` for `/`, `_dot_` for a point)."""
    (root / "index.html").write_text(f"{head}</head><body>\n{body}\n</body></html>\n", encoding="utf-8")
    for name, data in files.items():
        path = root / name.replace("__", "/").replace("_dot_", ".")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return root


def said(root: Path, **originals: str) -> list[str]:
    """Place and rule of each problem."""
    return [f"{one.span} {one.rule}" for one in audit(root, originals)]


CLEAN = (
    '<a href="#here">x</a><p id="here">y</p><a href="https://host.example/">a link a person follows</a>'
    '<img src="data:image/png;base64,AA==" alt="">'
    "<figure><svg><title>t</title></svg><figcaption>c</figcaption></figure>"
    '<svg aria-hidden="true"></svg><button aria-label="close"><svg></svg></button>'
    '<a href="#">up</a><a href="#top">up</a>'
    '<script type="application/json">{"a": 1}</script>'
)


def test_a_clean_page_is_clean(tmp_path: Path) -> None:
    assert said(site(tmp_path, CLEAN)) == []


@pytest.mark.parametrize(
    "body",
    [
        '<script src="https://host.example/a.js"></script>',
        '<script src="//host.example/a.js"></script>',
        '<link rel="stylesheet" href="https://host.example/a.css">',
        '<link rel="dns-prefetch" href="//host.example">',
        '<link rel="preconnect" href="https://host.example">',
        '<link rel="shortcut icon" href="HTTP://host.example/a.ico">',
        '<img alt="a" src="https://host.example/a.png">',
        '<img alt="a" srcset="data:,x 1x, https://host.example/a.png 2x">',
        '<iframe src="https://host.example/"></iframe>',
        '<object data="https://host.example/a"></object>',
        '<video poster="https://host.example/a.png"></video>',
        '<form action="https://host.example/"></form>',
        '<button formaction="https://host.example/">a</button>',
        '<meta http-equiv="refresh" content="0; url=https://host.example/">',
        '<a href="#" ping="https://host.example/">a</a>',
        '<svg aria-hidden="true"><image href="https://host.example/a.png"/></svg>',
    ],
)
def test_what_a_browser_fetches_or_sends_by_itself(tmp_path: Path, body: str) -> None:
    found = said(site(tmp_path, body))
    assert [one for one in found if "outside" in one][:1] and found[0].startswith("index.html:6:"), found
    assert {one.split()[1] for one in found} == {"outside-reference"}


def test_what_a_stylesheet_fetches(tmp_path: Path) -> None:
    css = b'/* url(https://host.example/no) */\np{}\n@import "https://host.example/a.css";\nb{background:url(//host.example/b)}\n'
    assert said(site(tmp_path, a_dot_css=css)) == ["a.css:3:10 outside-reference", "a.css:4:18 outside-reference"]


@pytest.mark.parametrize(
    ("body", "rule"),
    [
        ('<input type="file">', "upload-control"),
        ("<figure data-af-chart='a'><template>{&quot;config&quot;: {&quot;showSendToCloud&quot;: true, "
         "&quot;plotlyServerURL&quot;: &quot;&quot;}}</template><figcaption>c</figcaption></figure>", "upload-control"),
        ("<figure data-af-chart='a'><template>{}</template><figcaption>c</figcaption></figure>", "upload-control"),
        ('<img src="data:,x">', "missing-alternative"),
        ('<figure><img src="data:,x" alt=" "><figcaption>c</figcaption></figure>', "missing-alternative"),
        ("<svg></svg>", "missing-alternative"),
        ("<svg><title> </title></svg>", "missing-alternative"),
        ("<figure><figcaption></figcaption></figure>", "missing-alternative"),
        ("<script>a()</script>", "page-policy"),
        ('<p onclick="a()">x</p>', "page-policy"),
        ('<a href="javascript:a()">x</a>', "page-policy"),
        ('<p style="color:red">x</p>', "page-policy"),
        ("<style>p{}</style>", "page-policy"),
        ('<a href="gone.html">x</a>', "dead-link"),
        ('<a href="#gone">x</a>', "dead-link"),
        ('<a href="index.html#gone">x</a>', "dead-link"),
        ('<a href="/gone/">x</a>', "dead-link"),
    ],
)  # fmt: skip
def test_one_fault_of_a_page_is_told_at_its_line(tmp_path: Path, body: str, rule: str) -> None:
    found = said(site(tmp_path, body))
    assert len(found) == 1 and found[0].startswith("index.html:6:") and found[0].endswith(f" {rule}"), found


def test_a_chart_that_stays_here_is_let_pass(tmp_path: Path) -> None:
    config = json.dumps({"config": {"showSendToCloud": False, "plotlyServerURL": ""}}).replace('"', "&quot;")
    body = f"<figure data-af-chart='a'><template>{config}</template><figcaption>c</figcaption></figure>"
    assert said(site(tmp_path, body)) == []


@pytest.mark.parametrize(
    ("script", "faults"),
    [
        (b'var CONFIG = {"showSendToCloud":false,"plotlyServerURL":""};', 0),
        (b'var CONFIG = {"showSendToCloud":true,"plotlyServerURL":""};', 1),
        (b'var CONFIG = {"plotlyServerURL":""};', 1),
        (b'var CONFIG = {"showSendToCloud":false};', 1),
        (b"var CONFIG = {showSendToCloud:false};", 1),
        (b"var OTHER = 1;", 1),
        (b'const CONFIG = {theirs: 1}; var CONFIG = {"showSendToCloud":false,"plotlyServerURL":""};', 0),
    ],
)
def test_a_chart_that_says_nothing_holds_what_the_script_says_for_all(
    tmp_path: Path, script: bytes, faults: int
) -> None:
    body = "<figure data-af-chart='a'><template>{&quot;data&quot;: []}</template><figcaption>c</figcaption></figure>"
    found = [one for one in said(site(tmp_path, body, all_dot_js=script)) if one.startswith("index.html")]
    assert len(found) == faults and all(one.endswith(" upload-control") for one in found), found


def test_the_configuration_the_script_says_is_the_one_the_audit_reads() -> None:
    """The writer leaves it out of a chart and the script holds it: what the audit looks for there stands there."""
    from asfound.audit.site import _SHARED
    from asfound.figures.plotly_spec import CONFIG
    from asfound.pages import asset_files

    scripts = [data.decode() for name, data in asset_files() if name == "asfound.js"]
    assert [json.loads(one) for text in scripts for one in _SHARED.findall(text)] == [CONFIG]


def test_a_script_is_let_through_by_the_digest_of_its_text(tmp_path: Path) -> None:
    """Digest as `printf 'a()' | openssl dgst -sha256 -binary | base64` gives it."""
    word = base64.b64encode(hashlib.sha256(b"a()").digest()).decode()
    head = HEAD.replace("script-src 'self'", f"script-src 'self' 'sha256-{word}'")
    assert said(site(tmp_path, "<script>a()</script>", head)) == []
    assert said(site(tmp_path, "<script>a( )</script>", head)) == ["index.html:6:1 page-policy"]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("script-src 'self'", "script-src 'self' 'unsafe-eval'"),
        ("script-src 'self'", "script-src 'self' 'unsafe-inline'"),
        ("script-src 'self'", "script-src 'self' https:"),
        ("script-src 'self'", "script-src *"),
        ("img-src 'self'", "img-src 'self' host.example"),
        ("form-action 'none'; ", ""),
        ("; base-uri 'none'", ""),
        ("default-src 'none'; ", ""),
    ],
)
def test_a_policy_with_a_hole_is_told(tmp_path: Path, old: str, new: str) -> None:
    assert "index.html:3:1 page-policy" in said(site(tmp_path, head=HEAD.replace(old, new)))


def test_a_page_without_policy_or_stamp_is_told(tmp_path: Path) -> None:
    assert said(site(tmp_path, head="<html><head>\n")) == ["index.html page-policy", "index.html unstamped-page"]
    case = (HEAD + "</head><body></body></html>").encode()
    assert "case/a/index.html unstamped-page" in said(site(tmp_path, case__a__index_dot_html=case))


def _png(*chunks: tuple[bytes, bytes]) -> bytes:
    """A picture of one grey dot (PNG, W3C recommendation, third edition: signature, chunks, CRC-32) — from memory."""
    made = b"\x89PNG\r\n\x1a\n"
    for kind, data in ((b"IHDR", struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0)), *chunks,
                       (b"IDAT", zlib.compress(b"\0\0")), (b"IEND", b"")):  # fmt: skip
        made += struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
    return made


def test_raw_files_and_metadata_are_told(tmp_path: Path) -> None:
    from io import BytesIO

    from PIL import Image

    exif = Image.Exif()
    exif[0x0110] = "camera"
    with_exif, bare, webp = BytesIO(), BytesIO(), BytesIO()
    picture = Image.new("L", (4, 4))
    picture.save(with_exif, "JPEG", exif=exif)
    picture.save(bare, "JPEG")
    picture.save(webp, "WEBP", exif=exif)
    raw = b"what a ward wrote"
    found = said(
        site(
            tmp_path, a_dot_jpg=with_exif.getvalue(), b_dot_jpg=bare.getvalue(), c_dot_webp=webp.getvalue(),
            d_dot_png=_png(), e_dot_png=_png((b"tEXt", b"Author\0x")), f_dot_png=_png((b"eXIf", b"MM\0*")),
            g_dot_txt=raw, h_dot_csv=b"a,b\n", x__evidence__i_dot_bin=b"x", j_dot_yml=b"a: 1\n",
        ),
        **{hashlib.sha256(raw).hexdigest(): "cases/a/evidence/note.txt"},
    )  # fmt: skip
    assert found == [
        "a.jpg picture-with-metadata", "c.webp picture-with-metadata", "e.png picture-with-metadata",
        "f.png picture-with-metadata", "g.txt raw-file-published", "h.csv raw-file-published",
        "j.yml raw-file-published", "x/evidence/i.bin raw-file-published",
    ]  # fmt: skip


def test_text_in_a_picture_is_refused_below_a_case_and_warned_of_elsewhere(tmp_path: Path) -> None:
    """The plain theme ships a picture with XMP in it; nobody's case is in that."""
    text, exif = _png((b"iTXt", b"XML\0")), _png((b"eXIf", b"MM\0*"))
    root = site(tmp_path, img__a_dot_png=text, img__b_dot_png=exif, case__a__b_dot_png=text)
    levels = {one.span.path: str(one.level) for one in audit(root)}
    assert levels == {"img/a.png": "warn", "img/b.png": "reject", "case/a/b.png": "reject"}


def test_addresses_in_scripts_are_named_and_a_page_that_is_no_text(tmp_path: Path) -> None:
    root = site(
        tmp_path, a_dot_js=b'x="https://cdn.example/a.js";y="http://www.w3.org/2000/svg"', b_dot_html=b"a\n\xff"
    )
    assert said(root) == ["a.js dormant-address", "b.html:2 unreadable-page"]


def test_links_below_a_folder_of_a_host_and_to_folders(tmp_path: Path) -> None:
    head = HEAD + '<link rel="canonical" href="https://host.example/docket/">\n'
    page = (HEAD + '</head><body id="b"><a href="../#a">x</a><a href="./">x</a></body></html>').encode()
    body = '<p id="a"></p><a href="/docket/one/#b">x</a><a href="one/">x</a><a href="one">x</a><a href="two/">x</a>'
    assert said(site(tmp_path, body, head, one__index_dot_html=page)) == ["index.html:7:84 dead-link"]


def test_the_command_prints_counts_and_gives_exit_codes(tmp_path: Path) -> None:
    (tmp_path / "cases").mkdir()
    place = tmp_path / "site"
    place.mkdir()
    run = CliRunner().invoke
    asked = ["audit-site", str(place), "--root", str(tmp_path), "--format"]
    assert run(cli, [*asked, "text"]).exit_code == 2
    site(place, CLEAN)
    done = run(cli, [*asked, "text"])
    assert done.exit_code == 0 and done.output == "site: nothing to report; held against 0 raw files.\n"
    site(place, '<img src="https://host.example/a.png">')
    done = run(cli, [*asked, "text"])
    assert done.exit_code == 1
    assert done.output.startswith("index.html:6:1 reject missing-alternative — a picture without words; words")
    assert "2 rejects" in done.output and str(tmp_path) not in done.output
    told = json.loads(run(cli, [*asked, "json"]).output)
    assert [one["rule"] for one in told["cases"]["site"]] == ["missing-alternative", "outside-reference"]
    assert "::error file=index.html,line=6,col=1,title=outside-reference::" in run(cli, [*asked, "github"]).output


def test_every_rule_is_tried_here() -> None:
    text = Path(__file__).read_text(encoding="utf-8")
    assert [one.name for one in ENTRIES if text.count(one.name) < 1] == []
