"""Packs and their repository tampered with by somebody who knows git, keys and the format: each found, in words."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from asfound.model.approval import NAMESPACE
from tests.rules.signing import line, sign
from tests.rules.support import CASE
from tests.unit.cli.support import apart
from tests.unit.pack.support import archive, bundled, files_of, sealed, unpacked

from .story import Story, copy, tell
from .test_packs import Files, verify

pytestmark = pytest.mark.xdist_group("story")
NAME = "edition/base/3"
TOP = "base-edition-3"


@pytest.fixture(scope="module")
def story(tmp_path_factory: pytest.TempPathFactory) -> Story:
    return tell(tmp_path_factory.mktemp("tampered") / "repository")


@pytest.fixture(scope="module")
def pack(story: Story, tmp_path_factory: pytest.TempPathFactory) -> Path:
    home = tmp_path_factory.mktemp("out")
    done = apart(home, "pack", "base", "--edition", "3", "--root", str(story.root))
    assert done.code == 0, done.err
    return home / f"{TOP}.zip"


@pytest.fixture(scope="module")
def keys(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("keys") / "signers"
    place.write_text(line("examiner-1") + line("second"))
    return place


def test_stock_programs_read_the_pack_of_an_edition(pack: Path, keys: Path, tmp_path: Path) -> None:
    """Info-ZIP, GNU coreutils, the reference implementation of BagIt, and OpenSSH, each by itself."""
    import bagit

    said = subprocess.run(["unzip", "-t", str(pack)], capture_output=True, text=True, check=True, timeout=60).stdout
    assert "No errors detected" in said
    subprocess.run(["unzip", "-q", str(pack), "-d", str(tmp_path)], check=True, timeout=60)
    bag = tmp_path / TOP
    subprocess.run(["sha256sum", "--quiet", "--strict", "-c", "SHA256SUMS"], cwd=bag, check=True, timeout=60)
    assert bagit.Bag(str(bag)).validate(processes=1)
    signed = sorted((bag / "data/approvals").glob("*.json"))
    assert len(signed) == 4
    for one in signed:
        who = json.loads(one.read_bytes())["signer"]
        subprocess.run(
            ["ssh-keygen", "-Y", "verify", "-n", NAMESPACE, "-f", str(keys), "-I", who, "-s", f"{one}.sig"],
            input=one.read_bytes(), check=True, capture_output=True, timeout=60,
        )  # fmt: skip
    done, steps = verify(tmp_path, bag, "--signers", str(keys))
    assert done.code == 0 and [steps[one][0] for one in range(1, 8)] == ["passed"] * 7


def dumped(data: object) -> bytes:
    return (json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n").encode()


def rested(files: Files, name: str, text: bytes) -> Files:
    """Another approval put under a name, and edition 3 made to rest on it."""
    import hashlib

    place = "data/editions/3/edition.json"
    record = json.loads(files[place])
    for one in record["approvals"]:
        if f"data/{one['path']}" == name:
            one["sha256"] = hashlib.sha256(text).hexdigest()
    return files | {name: text, place: dumped(record)}


EXAMINER = "data/approvals/examiner-examiner-1-3.json"


def replayed(files: Files) -> Files:
    """The approval of the edition before, with its own good signature, under the name of this one."""
    old = sorted(name for name in files if name.startswith("data/approvals/examiner-") and name.endswith(".json"))
    assert EXAMINER in old and len(old) == 2
    (before,) = [name for name in old if name != EXAMINER]
    return rested(files, EXAMINER, files[before]) | {f"{EXAMINER}.sig": files[f"{before}.sig"]}


def of_another_case(files: Files) -> Files:
    """A statement the examiner truly signed, about another case."""
    text = dumped(json.loads(files[EXAMINER]) | {"case": "another"})
    return rested(files, EXAMINER, text) | {f"{EXAMINER}.sig": sign(text, "examiner-1")}


def own_keys(files: Files) -> Files:
    """The list of keys in the pack edited, and the approval signed anew by the one who edited it."""
    held = files["data/asfound/allowed_signers"].replace(
        line("examiner-1").encode(), line("examiner-1", of="nobody").encode()
    )
    assert held != files["data/asfound/allowed_signers"]
    signed = [name for name in files if name.startswith("data/approvals/examiner-") and name.endswith(".json")]
    anew = {f"{name}.sig": sign(files[name], "nobody") for name in signed}
    return files | anew | {"data/asfound/allowed_signers": held}


REPLAYED: dict[str, tuple[Callable[[Files], Files], int, str]] = {
    "an approval of the edition before": (replayed, 5, "speaks of another state of the case"),
    "an approval of another case": (of_another_case, 5, "speaks of another state of the case"),
    "keys edited in the same change": (own_keys, 7, "the key that signed is not listed"),
}


@pytest.mark.parametrize("name", REPLAYED)
def test_what_is_replayed_or_signed_with_other_keys_is_found(name: str, pack: Path, keys: Path, tmp_path: Path) -> None:
    change, number, said = REPLAYED[name]
    files = sealed(change(files_of(pack)))
    for place in (archive(tmp_path / "forged.zip", files, top=TOP), unpacked(tmp_path / TOP, files)):
        done, steps = verify(tmp_path, place, "--signers", str(keys))
        assert done.code == 1 and [one for one in steps if steps[one][0] == "failed"] == [number], steps
        assert said in steps[number][1], steps[number]
        code, told = bundled(place)
        # Signatures are beyond the verifier of one file, and it says that it did not look.
        assert (code, said in told) == ((1, True) if number == 5 else (0, False))
        assert "7  signatures               not done" in told


def test_keys_edited_in_the_same_change_would_pass_with_the_list_in_the_pack(pack: Path, tmp_path: Path) -> None:
    """Why no list that came with a pack is taken: taken out of it by hand, it proves whatever its maker liked."""
    files = sealed(own_keys(files_of(pack)))
    taken = tmp_path / "signers"
    taken.write_bytes(files["data/asfound/allowed_signers"])
    place = archive(tmp_path / "forged.zip", files, top=TOP)
    _, steps = verify(tmp_path, place, "--signers", str(taken))
    assert steps[7][0] == "passed"
    assert "your list of keys has those of the list in the pack; be sure that it came another way" in steps[7][1]


def _renamed(own: Story) -> None:
    """The tag of edition 2 under the name of edition 3: what it says of itself gives it away."""
    own.repo.git("update-ref", f"refs/tags/{NAME}", own.repo.git("rev-parse", "refs/tags/edition/base/2"))


def _under_another_name(own: Story) -> None:
    own.repo.git("update-ref", "refs/tags/edition/base/9", own.repo.git("rev-parse", f"refs/tags/{NAME}"))
    own.repo.git("update-ref", "-d", f"refs/tags/{NAME}")


def _replaced(own: Story) -> None:
    """A moved tag, and a replacement that shows plain git the true commit where it leads."""
    before = own.commits["issue edition 2"]
    own.repo.git("tag", "-f", "-a", "-m", "moved", NAME, before)
    own.repo.git("replace", before, own.commits["issue edition 3"])
    assert own.repo.git("ls-tree", "--name-only", f"{NAME}^{{commit}}", f"{CASE}/editions/3/").count("\n") == 1


def _replaced_file(own: Story) -> None:
    """The frozen dossier in the true commit shown as another by a replacement; the commit itself is as it was."""
    at = f"{own.commits['issue edition 3']}:{CASE}/editions/3/dossier.json"
    other = own.repo.git("hash-object", "-w", "--stdin", data="{}\n")
    own.repo.git("replace", own.repo.git("rev-parse", at), other)
    assert own.repo.git("cat-file", "blob", at) == "{}"


TAGS: dict[str, tuple[Callable[[Story], None], str, str]] = {
    "renamed": (_renamed, "failed", f"the tag {NAME} says of itself that it is edition/base/2"),
    "under another name": (
        _under_another_name, "failed", f"the tag edition/base/9 says of itself that it is {NAME}",
    ),
    "moved, and hidden by a replaced commit": (_replaced, "failed", "does not hold this edition"),
    "as it was, with a replaced file": (_replaced_file, "passed", "holds this very edition"),
}  # fmt: skip


@pytest.mark.parametrize("name", TAGS)
def test_what_is_done_to_the_tag_is_seen(name: str, story: Story, pack: Path, tmp_path: Path) -> None:
    change, outcome, said = TAGS[name]
    own = copy(story, tmp_path / "own")
    change(own)
    _, steps = verify(tmp_path, pack, "--repo", str(own.root))
    assert steps[8][0] == outcome and said in steps[8][1], steps[8]


def test_replaced_objects_and_a_hostile_configuration_change_no_fact_in_a_pack_and_start_nothing(
    story: Story, pack: Path, tmp_path: Path
) -> None:
    own = copy(story, tmp_path / "own")
    spy = tmp_path / "spy"
    spy.write_text(f"#!/bin/sh\ntouch {tmp_path}/started\nexit 0\n")
    spy.chmod(0o755)
    hooks = tmp_path / "hooks"
    hooks.mkdir()
    for name in ("post-checkout", "reference-transaction", "post-index-change"):
        (hooks / name).write_text(spy.read_text())
        (hooks / name).chmod(0o755)
    _replaced_file(own)
    at = f"{own.commits['issue edition 2']}:{CASE}/readings/flow.csv"
    own.repo.git("replace", own.repo.git("rev-parse", at), own.repo.git("hash-object", "-w", "--stdin", data="x\n"))
    (own.root / ".git/info").mkdir(exist_ok=True)
    (own.root / ".git/info/attributes").write_text("* diff=spy filter=spy ident eol=crlf\n")
    for key, value in {
        "core.fsmonitor": str(spy), "core.hooksPath": str(hooks), "core.pager": str(spy), "diff.external": str(spy),
        "diff.spy.textconv": str(spy), "filter.spy.clean": str(spy), "filter.spy.smudge": str(spy),
        "gpg.program": str(spy), "log.showSignature": "true", "core.sshCommand": str(spy), "core.autocrlf": "true",
        "color.ui": "always", "core.abbrev": "7", "i18n.logOutputEncoding": "UTF-16",
    }.items():  # fmt: skip
        own.repo.git("config", key, value)
    (tmp_path / "started").unlink(missing_ok=True)
    plain = apart(tmp_path, "pack", "base", "--edition", "2", "--out", "plain.zip", "--root", str(story.root))
    assert plain.code == 0, plain.err
    for number, name in ((3, "three.zip"), (2, "two.zip")):
        done = apart(tmp_path, "pack", "base", "--edition", str(number), "--out", name, "--root", str(own.root))
        assert done.code == 0, done.err
    for one, other in ((tmp_path / "three.zip", pack), (tmp_path / "two.zip", tmp_path / "plain.zip")):
        ours, theirs = files_of(one), files_of(other)
        differing = {name for name in ours if name.startswith("data/") and ours[name] != theirs[name]}
        # That there are replacements, which nobody followed, is a fact of the history, and the one thing told besides.
        assert set(ours) == set(theirs) and differing <= {"data/history.json", "data/ro-crate-metadata.json"}
        told, plainly = (json.loads(files["data/history.json"]) for files in (ours, theirs))
        more = [gap for gap in told["gaps"] if gap not in plainly["gaps"]]
        assert len(more) == 1 and "replace" in more[0], more
        assert told | {"gaps": []} == plainly | {"gaps": []}
    _, steps = verify(tmp_path, pack, "--repo", str(own.root))
    assert steps[8][0] == "passed"
    assert not (tmp_path / "started").exists()
    # The trap is a trap: an ordinary call springs it.
    subprocess.run(["git", "-C", str(own.root), "diff", "HEAD~1"], capture_output=True, check=False)
    assert (tmp_path / "started").exists()


def test_no_draft_of_an_opinion_is_anywhere_in_a_pack_unless_asked_for(story: Story, tmp_path: Path) -> None:
    """A sentence thought, committed, and dropped before anything was issued: in no file of the pack, whatever it is."""
    own = copy(story, tmp_path / "own")
    secret = "xylophonic"
    head, conclusion = own.home / "case.yml", own.home / "conclusion.yml"
    before, plain = head.read_bytes(), conclusion.read_bytes()
    head.write_bytes(before.replace(b"summary: ", f"summary: A {secret} pump explains it. ".encode(), 1))
    assert head.read_bytes() != before
    conclusion.write_bytes(plain.replace(b"text: ", f"text: A {secret} thought. ".encode(), 1))
    own.commit(f"think of something {secret}")
    head.write_bytes(before)
    conclusion.write_bytes(plain)
    own.commit("drop that again")
    for more in ((), ("--with-drafts",)):
        out = tmp_path / f"draft{len(more)}.zip"
        done = apart(tmp_path, "pack", "base", "--draft", "--on", "2026-03-22", "--out", str(out), *more,
                     "--root", str(own.root))  # fmt: skip
        assert done.code == 0, done.err
        holding = {name for name, data in files_of(out).items() if secret.encode() in data}
        assert holding == ({"data/history.json"} if more else set())
