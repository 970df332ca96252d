"""Packs of every format there ever was, kept as bytes: they verify for ever, by us, by themselves, by others."""

from __future__ import annotations

import hashlib
import json
import re
import subprocess
import sys
import warnings
from dataclasses import replace
from pathlib import Path

import pytest

from asfound import seal
from asfound.assess.recompute import recompute
from asfound.cli.verify import run_verify
from asfound.model.approval import NAMESPACE
from asfound.pack import Asked, alone, verify
from asfound.pack.write import FORMAT
from tests.unit.pack.support import bundled, outcomes

warnings.filterwarnings("ignore", category=DeprecationWarning, module="bagit")

HOME = Path(__file__).resolve().parents[2] / "gold" / "packs"
KEPT = {
    "format-1.zip": "7878b12a2da25b8008b44e23914aea76603b1fcbb87c9623a153f5e98fb27151",
    "format-2.zip": "92cab32e3c91bbdbb26bcbf8ebd957708dd585486a471fe3b9d91120821035a2",
}
"""The SHA-256 of each: a pack that was handed out does not change, and is never made anew."""


@pytest.fixture(scope="module", params=sorted(KEPT))
def old(request: pytest.FixtureRequest) -> Path:
    return HOME / str(request.param)


@pytest.fixture(scope="module")
def bag(old: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Unpacked by unzip (Info-ZIP)."""
    home = tmp_path_factory.mktemp("old")
    subprocess.run(["unzip", "-q", str(old), "-d", str(home)], check=True, timeout=60)
    (top,) = home.iterdir()
    return top


def run(at: Path, *command: str, data: bytes | None = None) -> str:
    done = subprocess.run(command, cwd=at, input=data, capture_output=True, check=False, timeout=60)
    assert done.returncode == 0, (done.stdout + done.stderr).decode()
    return done.stdout.decode()


def test_every_format_is_kept_and_none_was_made_anew() -> None:
    assert {one.name: hashlib.sha256(one.read_bytes()).hexdigest() for one in HOME.glob("*.zip")} == KEPT
    assert f"format-{FORMAT}.zip" in KEPT, "a new format: python -m tests.support.old_pack keeps one of it"


def test_an_old_pack_verifies_as_a_file_and_unpacked(old: Path, bag: Path) -> None:
    keys = old.with_suffix(".signers")
    asked = Asked(signers=seal.read_signers(keys.read_bytes(), keys.name))
    for place in (old, bag):
        found = verify(place, asked)
        assert [outcomes(found)[number] for number in (1, 2, 3, 4, 5, 7)] == ["passed"] * 6, found.text()


def test_its_verdicts_are_computed_again_as_by_a_later_version(old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Limits of the package and what rules say belong to a version; what was computed from the readings does not."""
    made_with = recompute.__globals__["made_with"]
    monkeypatch.setitem(recompute.__globals__, "made_with", lambda: replace(made_with(), asfound="999"))
    from asfound.cli import verify as command

    found = verify(old, Asked(command._again))
    assert outcomes(found)[6] in ("passed", "not done"), found.text()


def test_the_command_says_so_too(old: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run_verify(str(old), str(old.with_suffix(".signers")), None, True)
    steps = json.loads(capsys.readouterr().out)["steps"]
    assert [one["outcome"] for one in steps if one["number"] in (1, 2, 3, 4, 5, 7)] == ["passed"] * 6


def test_the_verifier_it_carries_still_runs_and_ours_says_the_same(old: Path, bag: Path, tmp_path: Path) -> None:
    for place in (str(bag), str(old)):
        said = run(tmp_path, sys.executable, "-I", "-S", str(bag / "verify.py"), place)
        assert said.count(" passed ") == 5 and " failed " not in said.replace("Nothing failed.", "")
        assert bundled(Path(place))[0] == 0 and bundled(Path(place))[1].count(" passed ") == 5


def test_stock_programs_read_it(old: Path, bag: Path, tmp_path: Path) -> None:
    import bagit
    from rocrate.rocrate import ROCrate

    assert "No errors detected" in run(tmp_path, "unzip", "-t", str(old))
    assert run(bag, "sha256sum", "--check", "--strict", "SHA256SUMS").count(": OK") == len(list(_files(bag))) - 1
    assert bagit.Bag(str(bag)).validate(processes=1)
    held = {one.id for one in ROCrate(bag / "data").data_entities}
    assert held == {one.relative_to(bag / "data").as_posix() for one in _files(bag / "data")} - {
        "ro-crate-metadata.json"
    }


def _files(folder: Path) -> list[Path]:
    return [one for one in folder.rglob("*") if one.is_file()]


def test_plain_ssh_keygen_verifies_every_signature_in_it(old: Path, bag: Path, tmp_path: Path) -> None:
    """OpenSSH's own program, with the keys that lie beside the pack; and it refuses them for any other use."""
    signed = sorted((bag / "data/approvals").glob("*.json"))
    assert {json.loads(one.read_bytes())["role"] for one in signed} == {"examiner", "reviewer"}
    for one in signed:
        who = json.loads(one.read_bytes())["signer"]
        arguments = ["-f", str(old.with_suffix(".signers")), "-I", who, "-s", f"{one}.sig"]
        said = run(tmp_path, "ssh-keygen", "-Y", "verify", "-n", NAMESPACE, *arguments, data=one.read_bytes())
        assert f'Good "{NAMESPACE}" signature for {who}' in said
        for name, data in (("git", one.read_bytes()), (NAMESPACE, one.read_bytes() + b"\n")):
            refused = subprocess.run(
                ["ssh-keygen", "-Y", "verify", "-n", name, *arguments], input=data, capture_output=True, check=False
            )
            assert refused.returncode != 0


def test_the_crate_is_one_of_ro_crate_1_2(bag: Path) -> None:
    """RO-Crate 1.2: the root is ./ or an absolute address, the descriptor names it and the version, root has name,
    description, datePublished (ISO 8601) and license, every file is an entity reached by hasPart, the graph is flat and
    every @id stands once. Root and descriptor: confirmed in the text of the specification; the rest: from memory.
    """
    crate = json.loads((bag / "data/ro-crate-metadata.json").read_bytes())
    assert crate["@context"] == "https://w3id.org/ro/crate/1.2/context"
    graph = {one["@id"]: one for one in crate["@graph"]}
    assert len(graph) == len(crate["@graph"])
    descriptor = graph["ro-crate-metadata.json"]
    assert descriptor["@type"] == "CreativeWork" and descriptor["about"] == {"@id": "./"}
    assert descriptor["conformsTo"] == {"@id": "https://w3id.org/ro/crate/1.2"}
    root = graph["./"]
    assert root["@type"] == "Dataset" and root["name"] and root["description"]
    assert re.fullmatch(r"\d{4}-\d\d-\d\d", root["datePublished"]) and root["license"]["@id"] in graph
    parts = [one["@id"] for one in root["hasPart"]]
    assert len(set(parts)) == len(parts)
    for part in parts:
        assert graph[part]["@type"] == "File" and "\\" not in part and not part.startswith(("/", "../"))
        assert int(graph[part]["contentSize"]) == (bag / "data" / part).stat().st_size
    # Nothing is nested: every value that is no text is a reference to an entity, or a list of such.
    for one in graph.values():
        for value in one.values():
            for held in value if isinstance(value, list) else [value]:
                assert isinstance(held, str) or set(held) == {"@id"}


def test_the_verifier_it_carries_is_python_of_the_version_it_names(bag: Path) -> None:
    """Python 3.8, as its first lines say: the grammar of that version reads it, and so it does the one of today."""
    import ast

    for text in ((bag / "verify.py").read_bytes(), alone.verifier()):
        assert b"Python (3.8 or newer)" in text
        ast.parse(text, feature_version=(3, 8))
