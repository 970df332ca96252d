"""A pack as it is written: held against the stock programs for its formats, and byte for byte against itself."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import warnings
import zipfile
from pathlib import Path

import pytest

from asfound.model.approval import SIGNING_RULES
from asfound.model.dossier import frozen_core_digest
from asfound.model.edition import EDITION_RULES
from asfound.model.layout import KEPT_APART
from asfound.model.past import PAST_RULES
from asfound.pack import alone, verify
from tests.rules.support import CASE, Copy
from tests.unit.pack.support import TOP, archive, draft, files_of, outcomes, sealed, unpacked

warnings.filterwarnings("ignore", category=DeprecationWarning, module="bagit")


@pytest.fixture(scope="module")
def pack(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return draft(tmp_path_factory.mktemp("pack"))


@pytest.fixture(scope="module")
def bag(pack: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Unpacked by unzip (Info-ZIP), which tests every CRC as it goes."""
    home = tmp_path_factory.mktemp("bag")
    subprocess.run(["unzip", "-q", str(pack), "-d", str(home)], check=True, timeout=60)
    return home / TOP


def test_holds_the_case_byte_for_byte(pack: Path) -> None:
    files = files_of(pack)
    from tests.rules.support import BASE

    wanted = {
        place.relative_to(BASE / CASE).as_posix(): place.read_bytes()
        for place in (BASE / CASE).rglob("*")
        if place.is_file()
    }
    assert {name[len("data/case/") :]: data for name, data in files.items() if name.startswith("data/case/")} == wanted
    assert files["data/asfound/instruments.yml"] == (BASE / ".asfound/instruments.yml").read_bytes()
    assert not any("roles" in name for name in files)


def test_two_runs_in_two_places_give_the_same_bytes(tmp_path: Path, pack: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    again = draft(tmp_path / "elsewhere", "other-name.zip")
    assert again.read_bytes() == pack.read_bytes()


def test_every_step_that_can_be_done_passes_as_a_file_and_unpacked(pack: Path, bag: Path) -> None:
    for place in (pack, bag):
        found = outcomes(verify(place))
        assert [found[number] for number in (1, 2, 3, 4, 5)] == ["passed"] * 5


def test_the_verifier_in_the_pack_says_the_same_alone(pack: Path, bag: Path, tmp_path: Path) -> None:
    # -I: no environment, no site of the user; -S: nothing installed can be imported.
    for arguments in ([str(bag / "verify.py")], [str(bag / "verify.py"), str(pack)]):
        done = subprocess.run(
            [sys.executable, "-I", "-S", *arguments],
            cwd=tmp_path,
            capture_output=True,
            text=True,
            check=False,
            timeout=60,
        )
        assert done.returncode == 0, done.stdout + done.stderr
        assert done.stdout.count(" passed ") == 5 and done.stdout.count(" not done ") == 3
        for one in verify(pack).steps[:5]:
            assert all(sentence in done.stdout for sentence in one.said)
    assert not list(bag.rglob("__pycache__"))


def test_sha256sum_finds_every_file_as_listed(bag: Path) -> None:
    done = subprocess.run(
        ["sha256sum", "--check", "--strict", "SHA256SUMS"], cwd=bag, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.count(": OK") == sum(1 for one in bag.rglob("*") if one.is_file()) - 1


def test_is_a_bag_to_the_reference_implementation(bag: Path) -> None:
    """The Library of Congress's bagit (RFC 8493's authors) reads it as a valid bag."""
    import bagit

    read = bagit.Bag(str(bag))
    assert read.validate(processes=1)
    assert set(read.algorithms) == {"sha256", "sha512"}
    assert read.payload_files() and all(len(one) == 2 for one in read.payload_entries().values())


def test_is_a_crate_to_a_stock_reader(bag: Path) -> None:
    from rocrate.rocrate import ROCrate

    crate = ROCrate(bag / "data")
    root = crate.root_dataset
    assert all(root.get(name) for name in ("name", "description", "datePublished", "license"))
    assert (
        crate.metadata["conformsTo"].id == "https://w3id.org/ro/crate/1.2"
        if not isinstance(crate.metadata["conformsTo"], str)
        else crate.metadata["conformsTo"] == "https://w3id.org/ro/crate/1.2"
    )
    described = {one.id for one in crate.data_entities}
    here = {one.relative_to(bag / "data").as_posix() for one in (bag / "data").rglob("*") if one.is_file()}
    assert described == here - {"ro-crate-metadata.json"}


def test_the_archive_is_sorted_undated_and_plain(pack: Path) -> None:
    with zipfile.ZipFile(pack) as read:
        assert read.testzip() is None
        names = read.namelist()
        assert names == sorted(names, key=str.encode)
        for one in read.infolist():
            assert one.date_time == (1980, 1, 1, 0, 0, 0)
            assert (one.create_system, one.external_attr >> 16, one.extra, one.compress_type) == (3, 0o100644, b"", 0)


def test_names_outside_ascii_are_utf_8_to_others(tmp_path: Path) -> None:
    name = "evidence/Prüfplatz – Ω.txt"
    copy = Copy(tmp_path / "repository", extra={name: b"x"})
    pack = draft(tmp_path, copy=copy)
    assert files_of(pack)[f"data/case/{name}"] == b"x"
    assert outcomes(verify(pack))[5] == "passed"
    home = tmp_path / "out"
    subprocess.run(
        ["unzip", "-q", str(pack), "-d", str(home)], check=True, timeout=60, env={**os.environ, "LC_ALL": "C.UTF-8"}
    )
    assert (home / TOP / "data/case" / name).read_bytes() == b"x"


def test_digests_are_those_of_the_standard() -> None:
    """FIPS 180-4, examples of SHA-256 and SHA-512 of `abc`, and of the empty message (confirmed)."""
    for data, sha256 in (
        (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
        (b"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
        (b"hello\n", "5891b5b522d5df086d0ff0b110fbd9d21bb4fc7163af34d08286a2e846f6be03"),
    ):
        bag = _Two({"data/case/evidence/a": data})
        digests = alone.Digests()
        assert list(digests.take(bag)) == []
        assert digests.of["data/case/evidence/a"]["sha256"] == sha256
        assert digests.case["evidence/a"] == sha256
    digests = alone.Digests()
    list(digests.take(_Two({"a": b"abc"})))
    assert digests.of["a"]["sha512"].startswith("ddaf35a193617abacc417349ae204131")


class _Two(alone.Bag):
    def __init__(self, files: dict[str, bytes]) -> None:
        super().__init__()
        self.files = files
        self.names = list(files)
        self.sizes = {name: len(data) for name, data in files.items()}

    def pieces(self, name: str):  # type: ignore[no-untyped-def]
        # One byte at a time: no digest may depend on where the pieces part.
        return (self.files[name][at : at + 1] for at in range(len(self.files[name])))


def test_line_ends_of_tables_count_as_one_wherever_the_pieces_part() -> None:
    text = b"a\r\nb\r\r\nc\r"
    digests = alone.Digests()
    list(digests.take(_Two({"data/case/custody.csv": text, "data/case/evidence/custody.csv": text})))
    assert digests.case["custody.csv"] == hashlib.sha256(b"a\nb\r\nc\r").hexdigest()
    assert digests.case["evidence/custody.csv"] == hashlib.sha256(text).hexdigest()


def test_the_verifier_knows_the_rules_and_digests_of_the_program() -> None:
    assert set(alone.SAID_AFTERWARDS) == SIGNING_RULES | EDITION_RULES | PAST_RULES
    assert alone.APART == KEPT_APART
    problem = {"rule": "custody-gap", "span": {"path": "cases/x/custody.csv"}}
    core = {
        "case": {"folder": "cases/x"},
        "approvals": [1],
        "problems": [problem, {"rule": "approval-void", "span": {"path": "cases/x/case.yml"}}],
    }
    assert alone.core_digest(core) == frozen_core_digest(core)


def test_a_forger_who_makes_every_list_anew_passes_what_a_bag_can_show(pack: Path, tmp_path: Path) -> None:
    """A bag shows wholeness, not origin; so says the verifier, and the case digest is what catches the change."""
    import bagit

    files = files_of(pack)
    name = "data/case/items.yml"
    forged = sealed(files | {name: files[name] + b"# a word more\n"})
    home = unpacked(tmp_path / TOP, forged)
    assert bagit.Bag(str(home)).validate(processes=1)
    found = verify(archive(tmp_path / "forged.zip", forged))
    assert [outcomes(found)[number] for number in (1, 2, 3, 4, 5)] == ["passed"] * 4 + ["failed"]
    assert "not those the dossier was computed from" in found.text()
    # And of the untouched pack it is never said that it came from anybody.
    assert "does not show who made it" in verify(pack).text()


def test_payload_oxum_counts_octets_and_files(tmp_path: Path) -> None:
    """RFC 8493, 2.2.2: two payload files of three and five bytes are 8.2."""
    info = alone.Info("x", 0, "whole", "8.2")
    bag = _Two({"data/a": b"abc", "data/b": b"abcde"})
    lists = {name: {} for name in (*alone.MANIFESTS, *alone.TAG_MANIFESTS, alone.SUMS)}
    faults = list(alone.counts_faults(bag, info, lists))  # type: ignore[arg-type]
    assert not [one for one in faults if "payload," in one]
    # A file listed in only one of the manifests is a fault in BagIt 1.0 (2.1.3).
    lists["manifest-sha256.txt"] = {"data/a": "0" * 64, "data/b": "0" * 64}  # type: ignore[dict-item]
    said = [one for one in alone.counts_faults(bag, info, lists) if "manifest-sha512.txt" in one]  # type: ignore[arg-type]
    assert any(one.startswith("data/a") for one in said) and not any("manifest-sha256" in one for one in said)


def test_the_pack_is_not_put_over_another_file(pack: Path, tmp_path: Path) -> None:
    from asfound.cli.pack import run_pack

    copy = Copy(tmp_path / "repository")
    out = tmp_path / "draft.zip"
    out.write_bytes(b"something else")
    arguments = (str(copy.root / CASE), None, True, str(out), False, "2026-03-20", str(copy.root))
    assert run_pack(*arguments) == 1
    assert out.read_bytes() == b"something else"
    shutil.copy(pack, out)
    assert run_pack(*arguments) == 0
    assert sorted(one.name for one in tmp_path.iterdir()) == ["draft.zip", "repository"]
