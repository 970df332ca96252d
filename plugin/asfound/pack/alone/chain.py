"""Whether files, dossier, editions and approvals of a pack belong together."""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Any

from asfound.pack.alone.archive import MOST_JSON, Bag, Refused, as_bytes, shown
from asfound.pack.alone.lists import Digests, Info

if TYPE_CHECKING:
    from collections.abc import Iterator

# From here on this is part of the verifier that every pack carries.

# The chain of editions

APART = ("approvals", "editions")
SAID_AFTERWARDS = (
    "amendment-without-reason", "approval-signer-unknown", "approval-unverified", "approval-void",
    "basis-changed-after-results", "edition-altered", "edition-chain-broken", "edition-missing-number",
    "edition-rules-differ", "edition-tag-missing", "edition-tag-moved", "evidence-replaced", "exception-unauthorised",
    "fact-changed-after-results", "plan-after-results", "plan-changed-after-results", "reading-changed",
    "record-taken-out", "reviewer-not-provable", "reviewer-signed-own-work", "statements-opened-early",
)  # fmt: skip
"""Rules that speak of signatures, editions and the history: they come after a core, and are in no digest of one."""


def case_digest(files: dict[str, str]) -> str:
    """The case digest, version 1, from the digest of each file's canonical bytes."""
    lines = [f"{files[name]}  {name}\n" for name in sorted(files, key=as_bytes)]
    return sha256(("asfound case digest 1\n" + "".join(lines)).encode("utf-8"))


def core_digest(core: dict[str, Any]) -> str:
    """The core digest, version 1: without approvals, and without what rules said of what comes afterwards."""
    apart = tuple(f"{core['case']['folder']}/{name}/" for name in APART)
    said = [
        one
        for one in core["problems"]
        if one["rule"] not in SAID_AFTERWARDS and not one["span"]["path"].startswith(apart)
    ]
    bare = dict(core)
    bare.update(approvals=[], problems=said)
    return sha256(("asfound core digest 1\n" + compact(bare)).encode("utf-8"))


def limits_digest(core: dict[str, Any]) -> str:
    """The limits digest, version 1, of the limits and protocols a core holds."""
    held = {"limits": core["limits"], "protocols": core["protocols"]}
    return sha256(("asfound limits digest 1\n" + compact(held)).encode("utf-8"))


def compact(data: Any) -> str:
    """JSON in the form that digests are taken of."""
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"), sort_keys=True)


def sha256(data: bytes) -> str:
    """SHA-256 in small hexadecimal digits."""
    return hashlib.sha256(data).hexdigest()


def read_json(bag: Bag, name: str, settled: bool = False) -> dict[str, Any]:
    """A JSON object; with `settled`, only in the form in which it is written. Raises Refused."""
    try:
        text = bag.read(name, MOST_JSON).decode("utf-8")
        data = json.loads(text)
        if not isinstance(data, dict):
            raise ValueError
        if settled and json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n" != text:
            raise ValueError
    except (ValueError, RecursionError):
        raise Refused(f"{name} is not what asfound writes") from None
    return data


def read_chain(bag: Bag, info: Info, digests: Digests) -> tuple[list[str], list[str]]:
    """Step 5: what was found out, and what failed."""
    said: list[str] = []
    faults: list[str] = []
    try:
        core = read_json(bag, "data/dossier.json")["core"]
        if core["case"]["head"]["case"] != info.case:
            faults.append("data/dossier.json is about another case")
        stated = core["digests"]
        found = case_digest(digests.case)
        if found != stated["case"]:
            faults.append("the files of the case are not those the dossier was computed from")
        if limits_digest(core) != stated["limits"]:
            faults.append("the limits in the dossier do not have the digest it states")
        made = {"case_digest": found, "limits_digest": stated["limits"], "core_digest": core_digest(core)}
        numbers = sorted({int(name.split("/")[2]) for name in bag.names if name.startswith("data/editions/")})
        faults += edition_faults(bag, info, digests, numbers, made)
    except Refused as error:
        faults += error.faults
    except (KeyError, TypeError, AttributeError, ValueError):
        faults.append("the dossier, or an edition, is not what asfound writes")
    if faults:
        return said, faults
    said.append(f"the files of the case are those the dossier was computed from (case digest {found})")
    if numbers:
        last = numbers[-1]
        one = digests.of[f"data/editions/{last}/edition.json"]["sha256"]
        many = f"editions 1 to {last} each hold" if last > 1 else "edition 1 begins the chain and holds"
        said.append(f"{many} what the next rests on; edition.json of edition {last} has the SHA-256 {one}")
    else:
        said.append("no edition has been issued")
    if not info.edition:
        said.append("this is a draft: nobody has issued it")
    return said, faults


def edition_faults(
    bag: Bag,
    info: Info,
    digests: Digests,
    numbers: list[int],
    made: dict[str, str],
) -> Iterator[str]:
    """What stands against the chain of editions. Raises Refused, KeyError and the like for what cannot be read."""
    if info.edition and (not numbers or numbers[-1] != info.edition):
        yield f"this says that it is edition {info.edition}, and that is not the newest it holds"
        return
    before = ""
    for place, number in enumerate(numbers, 1):
        folder = f"data/editions/{number}"
        if place != number:
            yield f"edition {place} is missing"
            return
        if f"{folder}/edition.json" not in bag.sizes or f"{folder}/dossier.json" not in bag.sizes:
            yield f"edition {number} is not whole"
            return
        record = read_json(bag, f"{folder}/edition.json", settled=True)
        if record["format"] != 1:
            yield f"edition {number} has a format that cannot be read here"
            return
        if (record["case"], record["number"]) != (info.case, number):
            yield f"edition {number} says of itself that it is another"
        if (record["previous"], record["previous_digest"]) != (number - 1, before):
            yield f"edition {number} does not rest on the edition before it as that lies here"
        before = digests.of[f"{folder}/edition.json"]["sha256"]
        if digests.of[f"{folder}/dossier.json"]["sha256"] != record["dossier"]:
            yield f"the dossier of edition {number} is not the one that was issued"
        core = read_json(bag, f"{folder}/dossier.json")["core"]
        held = (core["digests"]["case"], core["digests"]["limits"], core_digest(core), limits_digest(core))
        if held != (record["case_digest"], record["limits_digest"], record["core_digest"], record["limits_digest"]):
            yield f"edition {number} states digests that are not those of its dossier"
        yield from approval_faults(bag, digests, record)
        if number == info.edition:
            if digests.of["data/dossier.json"]["sha256"] != record["dossier"]:
                yield f"data/dossier.json is not the dossier of edition {number}"
            if record["case_digest"] != made["case_digest"]:
                yield f"the files of the case are not those edition {number} was issued for"


def approval_faults(bag: Bag, digests: Digests, record: dict[str, Any]) -> Iterator[str]:
    """What stands against the approvals an edition rests on, short of their signatures."""
    for one in record["approvals"]:
        name = f"data/{one['path']}"
        if name not in bag.sizes or not name.startswith("data/approvals/"):
            yield f"the approval {shown(one['path'])}, on which edition {record['number']} rests, is missing"
            continue
        if digests.of[name]["sha256"] != one["sha256"]:
            yield f"the approval {shown(one['path'])} is not the one on which edition {record['number']} rests"
            continue
        signed = read_json(bag, name, settled=True)
        same = [signed[key] == record[key] for key in ("case", "case_digest", "core_digest")]
        if not all(same) or (signed["role"], signed["signer"]) != (one["role"], one["signer"]):
            yield f"the approval {shown(one['path'])} speaks of another state of the case"
