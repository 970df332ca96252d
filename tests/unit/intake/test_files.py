"""The files of a case: which are read, which are refused, and that nothing outside is touched."""

from __future__ import annotations

import io
import os
import socket
import unicodedata
import zipfile
from pathlib import Path

import pytest
from PIL import Image

from asfound.intake import files, media_words, read_bytes, sniff, walk_case
from asfound.intake.sniff import LFS_POINTER
from asfound.problems import Level

from .places import rows

POINTER = b"version https://git-lfs.github.com/spec/v1\noid sha256:00\nsize 130\n"


def case(tmp_path: Path, *names: str | bytes) -> Path:
    """A repository with one case holding files of these names."""
    root = tmp_path / "repository"
    folder = root / "cases" / "one"
    folder.mkdir(parents=True)
    for name in names:
        place = folder / os.fsdecode(name)
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(b"x\n")
    return root


def test_files_are_listed_sorted_by_portable_path(tmp_path: Path) -> None:
    root = case(tmp_path, "case.yml", "readings/b.csv", "readings/a.csv", "evidence/photo-1.jpg", "Zeta.yml", "é.txt")
    listed = walk_case(root, root / "cases" / "one")
    assert listed.problems == ()
    assert listed.paths == ("Zeta.yml", "case.yml", "evidence/photo-1.jpg", "readings/a.csv", "readings/b.csv", "é.txt")
    assert listed.folder == "cases/one" and listed.at("case.yml") == "cases/one/case.yml"
    assert {file.size for file in listed.files} == {2}
    assert walk_case(root, Path("cases/one")) == listed


@pytest.mark.parametrize(
    ("name", "rule"),
    [
        # Win32 naming rules: reserved device names, with and without an extension
        ("aux", "file-name-reserved"),
        ("CON.txt", "file-name-reserved"),
        ("com1.csv", "file-name-reserved"),
        ("lpt¹", "file-name-reserved"),
        ("nul.tar.gz", "file-name-reserved"),
        # Win32 naming rules: characters and endings
        ("a<b", "file-name-characters"),
        ("a>b", "file-name-characters"),
        ("a:b", "file-name-characters"),
        ('a"b', "file-name-characters"),
        ("a|b", "file-name-characters"),
        ("a?b", "file-name-characters"),
        ("a*b", "file-name-characters"),
        ("a\\b", "file-name-characters"),
        ("a.", "file-name-ending"),
        ("a ", "file-name-ending"),
        (" a", "file-name-ending"),
        # characters nobody sees
        ("a\nb", "file-name-characters"),
        ("a\rb", "file-name-characters"),
        ("a\x1bb", "file-name-characters"),
        ("a\u202egpj.exe", "file-name-characters"),
        ("a\u200bb", "file-name-characters"),
        ("a\ufeffb", "file-name-characters"),
        (b"a\xe9.txt", "file-name-not-utf8"),
        # Unicode Standard Annex 15
        (unicodedata.normalize("NFD", "é.txt"), "file-name-not-composed"),
        ("a" * 121, "file-name-too-long"),
        ("é" * 61, "file-name-too-long"),
    ],
)
def test_names_that_cannot_travel(tmp_path: Path, name: str | bytes, rule: str) -> None:
    root = case(tmp_path, name, "case.yml")
    listed = walk_case(root, Path("cases/one"))
    assert rows(listed.problems) == [(rule, 0, 0)]
    assert listed.paths == ("case.yml",)
    assert listed.problems[0].span.path.startswith("cases/one/")


@pytest.mark.parametrize(
    "name", ["auxiliary", "com10", "console.txt", "a.b.c", ".hidden", "a b", "a" * 120, "写真.jpg"]
)
def test_names_that_can_travel(tmp_path: Path, name: str) -> None:
    root = case(tmp_path, name)
    assert walk_case(root, Path("cases/one")).paths == (name,)


def test_a_folder_with_an_unfit_name_is_not_entered(tmp_path: Path) -> None:
    root = case(tmp_path, "aux/a.txt", "b/c.txt")
    listed = walk_case(root, Path("cases/one"))
    assert rows(listed.problems) == [("file-name-reserved", 0, 0)] and listed.paths == ("b/c.txt",)


def test_a_path_that_is_too_long(tmp_path: Path) -> None:
    deep = "/".join(["folder-with-a-long-name"] * 9)
    listed = walk_case(case(tmp_path, f"{deep}/a.txt"), Path("cases/one"))
    assert rows(listed.problems) == [("file-name-too-long", 0, 0)] and listed.files == ()
    assert "characters" in listed.problems[0].found


@pytest.mark.parametrize("twins", [("Photo.jpg", "photo.jpg"), ("STRASSE", "straße"), ("ΣΑΣ", "σας")])
def test_twins(tmp_path: Path, twins: tuple[str, str]) -> None:
    listed = walk_case(case(tmp_path, *twins), Path("cases/one"))
    assert rows(listed.problems) == [("file-name-twins", 0, 0)]
    assert twins[0] in listed.problems[0].found or twins[1] in listed.problems[0].found


def test_links_are_refused_and_not_followed(tmp_path: Path) -> None:
    root = case(tmp_path, "case.yml")
    folder = root / "cases" / "one"
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "secret.txt").write_bytes(b"secret")
    (folder / "inside").symlink_to(folder / "case.yml")
    (folder / "file").symlink_to(outside / "secret.txt")
    (folder / "folder").symlink_to(outside)
    (folder / "nowhere").symlink_to("nothing")
    listed = walk_case(root, Path("cases/one"))
    assert [(problem.rule, problem.span.path) for problem in listed.problems] == [
        ("file-link", f"cases/one/{name}") for name in ("file", "folder", "inside", "nowhere")
    ]
    assert listed.paths == ("case.yml",)
    for path in ("cases/one/file", "cases/one/folder/secret.txt", "cases/one/inside"):
        got = read_bytes(root, path)
        assert got.data is None and rows(got.problems) == [("file-link", 0, 0)]


def test_a_case_folder_that_is_a_link_missing_or_outside(tmp_path: Path) -> None:
    root = case(tmp_path, "case.yml")
    (root / "cases" / "two").symlink_to(root / "cases" / "one")
    assert rows(walk_case(root, Path("cases/two")).problems) == [("file-link", 0, 0)]
    assert rows(walk_case(root, Path("cases/three")).problems) == [("case-folder-missing", 0, 0)]
    assert rows(walk_case(root, Path("cases/one/case.yml")).problems) == [("case-folder-missing", 0, 0)]
    for outside in (Path("..") / "other", tmp_path, Path("/")):
        got = walk_case(root, outside)
        assert rows(got.problems) == [("file-outside", 0, 0)]
        assert str(tmp_path) not in got.problems[0].headline()


def test_a_repository_reached_through_a_link_is_read(tmp_path: Path) -> None:
    root = case(tmp_path, "case.yml")
    (tmp_path / "link").symlink_to(root)
    linked = tmp_path / "link"
    assert walk_case(linked, linked / "cases" / "one").paths == ("case.yml",)
    assert read_bytes(linked, "cases/one/case.yml").data == b"x\n"


def test_pipes_and_sockets(tmp_path: Path) -> None:
    root = case(tmp_path, "case.yml")
    folder = root / "cases" / "one"
    os.mkfifo(folder / "pipe")
    with socket.socket(socket.AF_UNIX) as plug:
        here = Path.cwd()
        try:
            os.chdir(folder)  # the path of a socket may have about a hundred bytes
            plug.bind("plug")
        finally:
            os.chdir(here)
    listed = walk_case(root, Path("cases/one"))
    assert rows(listed.problems) == [("file-not-regular", 0, 0)] * 2
    assert ["pipe" in listed.problems[0].found, "socket" in listed.problems[1].found] == [True, True]
    got = read_bytes(root, "cases/one/pipe")
    assert got.data is None and rows(got.problems) == [("file-not-regular", 0, 0)]


def test_a_repository_inside_a_case(tmp_path: Path) -> None:
    root = case(tmp_path, "case.yml", "sub/.git/config", "other/.git")
    listed = walk_case(root, Path("cases/one"))
    assert rows(listed.problems) == [("file-nested-repository", 0, 0)] * 2 and listed.paths == ("case.yml",)


def test_what_programs_leave_behind_is_passed_over_with_a_note(tmp_path: Path) -> None:
    litter = ("~$readings.xlsx", ".~lock.readings.csv#", ".DS_Store", "Thumbs.db")
    listed = walk_case(case(tmp_path, "case.yml", *litter), Path("cases/one"))
    assert listed.paths == ("case.yml",)
    assert {problem.rule for problem in listed.problems} == {"file-ignored"} and len(listed.problems) == 4
    assert {problem.level for problem in listed.problems} == {Level.NOTE}


@pytest.mark.parametrize(
    ("name", "size", "expected"),
    [
        ("a.jpg", 50 * 1_048_576, []),
        ("a.jpg", 50 * 1_048_576 + 1, ["file-large"]),
        ("a.jpg", 100 * 1_048_576, ["file-large"]),
        ("a.jpg", 100 * 1_048_576 + 1, ["file-too-large"]),
        ("a.yml", 8 * 1_048_576, []),
        ("a.YAML", 8 * 1_048_576 + 1, ["file-too-large"]),
        ("a.csv", 64 * 1_048_576, []),
        ("a.csv", 64 * 1_048_576 + 1, ["file-too-large"]),
    ],
)
def test_sizes(tmp_path: Path, name: str, size: int, expected: list[str]) -> None:
    root = case(tmp_path, name)
    os.truncate(root / "cases" / "one" / name, size)
    listed = walk_case(root, Path("cases/one"))
    assert [problem.rule for problem in listed.problems] == expected
    assert len(listed.files) == ("file-too-large" not in expected)


def test_reading_is_bounded(tmp_path: Path) -> None:
    root = case(tmp_path, "a.jpg")
    (root / "cases" / "one" / "a.jpg").write_bytes(b"12345678")
    assert read_bytes(root, "cases/one/a.jpg", 8).data == b"12345678"
    got = read_bytes(root, "cases/one/a.jpg", 7)
    assert got.data is None and rows(got.problems) == [("file-too-large", 0, 0)]


@pytest.mark.parametrize("path", ["cases/one/none.yml", "cases/one/case.yml/x", "cases/one/a\x00b", "cases/\udcff"])
def test_what_cannot_be_read_is_said(tmp_path: Path, path: str) -> None:
    got = read_bytes(case(tmp_path, "case.yml"), path)
    assert got.data is None and rows(got.problems) == [("file-unreadable", 0, 0)]


@pytest.mark.parametrize("path", ["../secret", "cases/../../secret", "cases/one/../../../secret"])
def test_no_path_leads_out(tmp_path: Path, path: str) -> None:
    (tmp_path / "secret").write_bytes(b"secret")
    assert read_bytes(case(tmp_path), path).data is None


def test_a_folder_is_not_a_file(tmp_path: Path) -> None:
    got = read_bytes(case(tmp_path), "cases/one")
    assert got.data is None and rows(got.problems) == [("file-not-regular", 0, 0)]


def test_a_stand_in_of_git_lfs_is_not_the_file(tmp_path: Path) -> None:
    root = case(tmp_path, "a.jpg", "b.txt")
    (root / "cases" / "one" / "a.jpg").write_bytes(POINTER)
    (root / "cases" / "one" / "b.txt").write_bytes(b"the line " + LFS_POINTER)
    listed = walk_case(root, Path("cases/one"))
    assert rows(listed.problems) == [("file-lfs-pointer", 1, 1)] and listed.paths == ("b.txt",)


def test_a_folder_that_cannot_be_listed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    root = case(tmp_path, "shut/a.txt", "case.yml")
    scan = os.scandir

    def refusing(place: str) -> object:
        if place.endswith("shut"):
            raise PermissionError(13, "Permission denied")
        return scan(place)

    monkeypatch.setattr(files.os, "scandir", refusing)
    listed = walk_case(root, Path("cases/one"))
    assert rows(listed.problems) == [("file-unreadable", 0, 0)]
    assert str(listed.problems[0].span) == "cases/one/shut" and "(permission denied)" in listed.problems[0].found
    assert listed.paths == ("case.yml",)


def picture(kind: str) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (3, 2), (200, 10, 10)).save(out, kind)
    return out.getvalue()


@pytest.mark.parametrize(
    ("kind", "media"),
    [
        ("JPEG", "image/jpeg"),
        ("PNG", "image/png"),
        ("GIF", "image/gif"),
        ("TIFF", "image/tiff"),
        ("WEBP", "image/webp"),
        ("BMP", "image/bmp"),
        ("PDF", "application/pdf"),
    ],
)
def test_pictures_are_known_by_content(kind: str, media: str) -> None:
    """Files written by an independent library (Pillow)."""
    assert sniff(picture(kind)) == media
    assert media_words(media)


def test_archives_are_known_by_content() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("a.txt", "x" * 2000)
    assert sniff(out.getvalue()) == "application/zip"
    assert sniff(b"PK\x05\x06" + b"\0" * 18) == "application/zip"


@pytest.mark.parametrize(
    ("data", "media"),
    [
        (b"", "application/x-empty"),
        (b"row,value\n1,2\n", "text/plain"),
        ("µA".encode() * 2000, "text/plain"),
        (b"x" + "µ".encode() * 2000, "text/plain"),
        (b"BM,MZ,ID3\n1,2,3\n", "text/plain"),
        (b"<!DOCTYPE html><title>x</title>", "text/html"),
        (b"\xef\xbb\xbf <svg xmlns='http://www.w3.org/2000/svg'/>", "image/svg+xml"),
        (b"<?xml version='1.0'?><svg/>", "image/svg+xml"),
        (b"<?xml version='1.0'?><a/>", "text/xml"),
        (b"\0" * 128 + b"DICM\x02\0", "application/dicom"),
        (b"\0\0\0\x18ftypheic\0\0\0\0", "image/heic"),
        (b"\0\0\0\x18ftypisom\0\0\0\0", "video/mp4"),
        (b"RIFF\0\0\0\0WAVEfmt ", "audio/wav"),
        (b"MZ\x90\0\x03\0", "application/x-msdownload"),
        (b"\x1f\x8b\x08\0\0", "application/gzip"),
        (b"junk\n%PDF-1.4\n", "application/pdf"),
        (b"\x00\x01\x02\x03", "application/octet-stream"),
        (b"\xe9\xe8 latin", "application/octet-stream"),
    ],
)
def test_content_is_sniffed(data: bytes, media: str) -> None:
    assert sniff(data) == media
    assert media_words(media)
