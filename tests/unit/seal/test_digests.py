"""Digests against published vectors and against the core utilities, as a stranger would compute them."""

from __future__ import annotations

import hashlib
import shutil
import subprocess
from pathlib import Path

import pytest

from asfound.model.case import FileFact
from asfound.seal import canonical, case_digest, case_list, limits_digest, sha256_file
from asfound.seal import digests as module

# FIPS 180-4 test vectors as published with the standard's examples ("abc", the empty message; from memory) and
# "hello\n", as any sha256sum prints it.
VECTORS = {
    b"abc": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
    b"": "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    b"hello\n": "5891b5b522d5df086d0ff0b110fbd9d21bb4fc7163af34d08286a2e846f6be03",
    b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq": (
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"
    ),
}

FILES = {
    "case.yml": b"case: a\n",
    "items.yml": "I-1:\n  what: câble\n".encode(),
    "custody.csv": b"line,items\n1,I-1\n",
    "readings/output-1.csv": b"row,value [W]\n1,90\n",
    "readings/output.csv": b"row,value [W]\n",
    "evidence/a b.txt": b"hello\n",
    "evidence/log.csv": b"t;v\r\n1;2\r\n",
    "evidence/é.jpg": b"\xff\xd8\xff\xe0",
    "evidence/z.jpg": b"",
}
APART = {"editions/1/edition.json": b"{}", "approvals/one.yml": b"a: b\n"}


@pytest.mark.parametrize(("message", "digest"), VECTORS.items())
def test_published_vectors(tmp_path: Path, message: bytes, digest: str) -> None:
    place = tmp_path / "message"
    place.write_bytes(message)
    assert sha256_file(place) == digest
    # A case of one file shows the digest of its bytes, so that the vector can be seen in the list.
    assert case_list([("evidence/m", message)]) == f"asfound case digest 1\n{digest}  evidence/m\n"


def test_a_million_letters(tmp_path: Path) -> None:
    # FIPS 180-4 example: a million times "a" (from memory).
    place = tmp_path / "message"
    place.write_bytes(b"a" * 1_000_000)
    assert sha256_file(place) == "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"


def recipe() -> str:
    """The shell recipe as it stands in the module's description."""
    text = module.__doc__ or ""
    lines = text.partition("::\n\n")[2].split("\n\n")[0].splitlines()
    return "\n".join(line.removeprefix("    ") for line in lines)


def test_a_stranger_computes_the_same_with_the_core_utilities(tmp_path: Path) -> None:
    for tool in ("sh", "find", "sort", "xargs", "sha256sum"):
        assert shutil.which(tool), f"{tool} is needed for this test"
    for path, data in {**FILES, **APART}.items():
        place = tmp_path / path
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(data)
    assert "sha256sum" in recipe()
    done = subprocess.run(["sh", "-c", recipe()], cwd=tmp_path, capture_output=True, check=True, text=True)
    assert done.stdout.split()[0] == case_digest(FILES.items())


def test_the_list_is_sorted_by_bytes_whatever_the_order_given() -> None:
    text = case_list(reversed(list(FILES.items())))
    paths = [line[66:] for line in text.splitlines()[1:]]
    assert paths == sorted(FILES, key=lambda path: path.encode())
    # By bytes "output-1.csv" stands before "output.csv", and é after every ASCII letter.
    assert paths.index("readings/output-1.csv") < paths.index("readings/output.csv")
    assert paths.index("evidence/z.jpg") < paths.index("evidence/é.jpg")
    assert case_digest(reversed(list(FILES.items()))) == case_digest(FILES.items())


def test_line_ends_of_typed_files_do_not_count_but_those_of_evidence_do() -> None:
    typed = {
        path: data if path.startswith("evidence/") else data.replace(b"\n", b"\r\n") for path, data in FILES.items()
    }
    assert typed != FILES
    assert case_digest(typed.items()) == case_digest(FILES.items())
    changed = {**FILES, "evidence/log.csv": FILES["evidence/log.csv"].replace(b"\r\n", b"\n")}
    assert case_digest(changed.items()) != case_digest(FILES.items())


@pytest.mark.parametrize(
    ("path", "data", "expected"),
    [
        ("a.yml", b"a\r\nb\rc\r\n", b"a\nb\rc\n"),
        ("A.YAML", b"a\r\n", b"a\n"),
        ("readings/x.CSV", b"a\r\n", b"a\n"),
        ("evidence/x.csv", b"a\r\n", b"a\r\n"),
        ("evidence/x.yml", b"a\r\n", b"a\r\n"),
        ("note.txt", b"a\r\n", b"a\r\n"),
    ],
)
def test_the_canonical_form(path: str, data: bytes, expected: bytes) -> None:
    assert canonical(path, data) == expected


def test_editions_and_approvals_are_no_part_of_a_case() -> None:
    assert case_digest({**FILES, **APART}.items()) == case_digest(FILES.items())
    # A file whose name only begins alike is one.
    assert case_digest([*FILES.items(), ("editions.yml", b"")]) != case_digest(FILES.items())


def test_any_change_of_a_byte_a_name_or_a_file_changes_the_digest() -> None:
    digest = case_digest(FILES.items())
    seen = {digest}
    for path, data in FILES.items():
        seen.add(case_digest({**FILES, path: data + b"x"}.items()))
        seen.add(case_digest([(f"{name}x" if name == path else name, one) for name, one in FILES.items()]))
        seen.add(case_digest([(name, one) for name, one in FILES.items() if name != path]))
    assert len(seen) == 1 + 3 * len(FILES)


def test_facts_digests_and_bytes_say_the_same() -> None:
    facts = [FileFact(path, 0, hashlib.sha256(canonical(path, data)).hexdigest()) for path, data in FILES.items()]
    assert case_digest(facts) == case_digest([(fact.path, fact.sha256) for fact in facts]) == case_digest(FILES.items())


@pytest.mark.parametrize(
    "entries",
    [
        [("a", b""), ("a", b"x")],
        [("", b"")],
        [("/a", b"")],
        [("a//b", b"")],
        [("../a", b"")],
        [("a/./b", b"")],
        [("a\\b", b"")],
        [("a\nb", b"")],
        [("a", "abc")],
        [("a", "A" * 64)],
    ],
)
def test_what_is_no_list_of_a_case_is_refused(entries: list[tuple[str, bytes | str]]) -> None:
    with pytest.raises(ValueError, match=r"path|SHA-256"):
        case_digest(entries)


def test_the_digest_of_limits_is_that_of_its_name_and_its_text() -> None:
    assert limits_digest('{"µ":1}') == hashlib.sha256('asfound limits digest 1\n{"µ":1}'.encode()).hexdigest()
    assert limits_digest("{}") != limits_digest("{} ")
    # No case has the digest of any limits: the first lines differ.
    assert case_list([]) == "asfound case digest 1\n"
