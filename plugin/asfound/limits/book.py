"""The book a case is held against: what comes with the program, and what the organisation adds.

An organisation's set stands beside the program's and never in its place. With `extends` it takes over the limits of
the set it names, each with the document it stands on, and adds limits or tightens them; a plan chooses it by its own
name. A limit that would be looser than the one it replaces needs someone who answers for it, or the tighter one stays.
"""

from __future__ import annotations

from collections.abc import Mapping

from asfound.limits.checks import UNDECIDABLE, check_limit
from asfound.limits.fault import BookFault, Path, nearest
from asfound.limits.loosen import looser
from asfound.limits.protocol_checks import check_protocol
from asfound.limits.word_lists import put_together
from asfound.measure import units
from asfound.model.limits import Book, Caution, Limit, LimitSet, Protocol, SourceStatus, Test
from asfound.model.starters import StarterList
from asfound.model.words import OwnWords, WordList


def build_book(
    packaged_sets: Mapping[str, LimitSet],
    packaged_protocols: Mapping[str, Protocol],
    overlay_sets: Mapping[str, LimitSet],
    overlay_protocols: Mapping[str, Protocol],
    *,
    cautions: Mapping[str, Caution],
    words: Mapping[str, WordList] | None = None,
    own_words: Mapping[str, OwnWords] | None = None,
    starters: Mapping[str, StarterList] | None = None,
) -> tuple[Book, tuple[BookFault, ...]]:
    """Put the book together. Sets, protocols, lists of words and starter lists are given by the path of their file.

    Returns the book and everything wrong with it, in order of file and place. Never raises on what people wrote:
    a limit that cannot decide anything is left out of the book, with its fault among the faults.
    """
    faults: list[BookFault] = []
    protocols, files = _named_protocols(packaged_protocols, overlay_protocols, faults)
    for name, protocol in protocols.items():
        faults += check_protocol(files[name], protocol, protocols, cautions)
    tests: dict[str, list[Test]] = {}
    for protocol in protocols.values():
        for name, test in protocol.tests.items():
            tests.setdefault(name, []).append(test)
    own, homes = _named_sets(packaged_sets, overlay_sets, faults)
    usable = {name: _usable(homes[name], limits, tests, faults) for name, limits in own.items()}
    merged: dict[str, LimitSet] = {}
    for name in own:
        _merge(name, own, usable, homes, merged, (), faults)
    lists, unread = put_together(words or {}, own_words or {})
    faults += unread
    # Of records that were read already; looking at them again would build what validates a book, 8 ms of each check.
    book = Book.model_construct(
        sets={name: merged[name] for name in sorted(merged)},
        protocols={name: _usable_protocol(protocols[name]) for name in sorted(protocols)},
        cautions={name: cautions[name] for name in sorted(cautions)},
        words=lists,
        starters=_named_starters(starters or {}, faults),
    )
    return book, tuple(sorted(set(faults), key=lambda fault: fault.key))


def _named_protocols(
    packaged: Mapping[str, Protocol], overlay: Mapping[str, Protocol], faults: list[BookFault]
) -> tuple[dict[str, Protocol], dict[str, str]]:
    protocols: dict[str, Protocol] = {}
    files: dict[str, str] = {}
    for file, protocol in (*sorted(packaged.items()), *sorted(overlay.items())):
        name = protocol.protocol
        if name in protocols:
            faults.append(
                BookFault(
                    file, ("protocol",), "protocol-twice",
                    f'the protocol "{name}" also stands in {files[name]}', "a name of its own is needed",
                    f"Choose another name; to build on the other, write includes: [{name}].",
                )
            )  # fmt: skip
            continue
        protocols[name], files[name] = protocol, file
    return protocols, files


def _named_starters(given: Mapping[str, StarterList], faults: list[BookFault]) -> dict[str, StarterList]:
    found: dict[str, StarterList] = {}
    files: dict[str, str] = {}
    # Paths of the program begin with its name, those of an organisation with a full stop: ours come first.
    for file, one in sorted(given.items(), key=lambda pair: (pair[0].startswith("."), pair[0])):
        if one.starter in found:
            faults.append(
                BookFault(
                    file, ("starter",), "starter-twice",
                    f'the starter list "{one.starter}" also stands in {files[one.starter]}',
                    "a name of its own is needed", "Choose another name; its lines are then asked for as well.",
                )
            )  # fmt: skip
            continue
        found[one.starter], files[one.starter] = one, file
    return {name: found[name] for name in sorted(found)}


def _named_sets(
    packaged: Mapping[str, LimitSet], overlay: Mapping[str, LimitSet], faults: list[BookFault]
) -> tuple[dict[str, LimitSet], dict[str, str]]:
    sets: dict[str, LimitSet] = {}
    homes: dict[str, str] = {}
    for file, one in (*sorted(packaged.items()), *sorted(overlay.items())):
        if one.set in sets:
            faults.append(
                BookFault(
                    file, ("set",), "limit-set-twice",
                    f'the limit set "{one.set}" also stands in {homes[one.set]}', "a name of its own is needed",
                    f"Choose another name; to build on the other, write extends: {one.set}.",
                )
            )  # fmt: skip
            continue
        sets[one.set], homes[one.set] = one, file
    return sets, homes


def _usable(file: str, one: LimitSet, tests: Mapping[str, list[Test]], faults: list[BookFault]) -> dict[str, Limit]:
    """The limits of a set that can decide something."""
    kept = {}
    for name, limit in one.limits.items():
        found = check_limit(file, one, name, tests)
        faults += found
        if not any(fault.rule in UNDECIDABLE for fault in found):
            kept[name] = limit
    return kept


def _usable_protocol(protocol: Protocol) -> Protocol:
    """Without the tests whose unit nobody knows: no reading of theirs could be shown."""
    kept = {name: test for name, test in protocol.tests.items() if units.unit(test.unit) is not None}
    return protocol if len(kept) == len(protocol.tests) else protocol.model_copy(update={"tests": kept})


def _merge(
    name: str,
    own: Mapping[str, LimitSet],
    usable: Mapping[str, dict[str, Limit]],
    homes: Mapping[str, str],
    merged: dict[str, LimitSet],
    through: tuple[str, ...],
    faults: list[BookFault],
) -> LimitSet:
    if name in merged:
        return merged[name]
    one, limits, file = own[name], usable[name], homes[name]
    base: LimitSet | None = None
    if one.extends is not None:
        if one.extends in (*through, name):
            faults.append(_extends(file, "limit-extends-circle", f'"{one.extends}" is extended by itself', own, ""))
        elif one.extends not in own:
            faults.append(
                _extends(file, "limit-extends-unknown", f'no limit set is named "{one.extends}"', own, one.extends)
            )
        else:
            base = _merge(one.extends, own, usable, homes, merged, (*through, name), faults)
    result = one.model_copy(
        update={"limits": dict(limits) if base is None else _laid_over(file, one, limits, base, faults)}
    )
    # Within a circle the first visit decides, so that each set is merged once.
    return merged.setdefault(name, result)


def _extends(file: str, rule: str, found: str, own: Mapping[str, LimitSet], meant: str) -> BookFault:
    mend = nearest(meant, own) if meant else "Take extends out of one of them."
    return BookFault(
        file, ("extends",), rule, found, "an existing set, itself standing on firm ground, is needed",
        mend or "Write the name of an existing set.",
    )  # fmt: skip


def _laid_over(
    file: str, one: LimitSet, limits: Mapping[str, Limit], base: LimitSet, faults: list[BookFault]
) -> dict[str, Limit]:
    """The base's limits, each with its authority, and the set's own over them."""
    result: dict[str, Limit] = {}
    for name, limit in base.limits.items():
        document, edition = base.authority(name)
        result[name] = limit.model_copy(update={"document": document, "edition": edition})
    for name, limit in limits.items():
        old = base.limits.get(name)
        if old is not None:
            refused = _refused(file, one, name, limit, old)
            faults += refused
            if refused:
                continue
        result[name] = limit
    return result


def _refused(file: str, one: LimitSet, name: str, new: Limit, old: Limit) -> list[BookFault]:
    if new.verified_by is not None or one.verified_by is not None:
        return []
    where: Path = ("limits", name)
    found = [
        BookFault(
            file, (*where, *path), "limit-loosened",
            f'the limit "{name}" of {one.extends} is loosened: {what}', "someone who answers for it is needed",
            "Name under verified_by, by role, who held it against its document, or tighten it again.",
        )
        for path, what in looser(new, old)
    ]  # fmt: skip
    if new.status is SourceStatus.CONFIRMED and old.status is not SourceStatus.CONFIRMED:
        found.append(
            BookFault(
                file, (*where, "status"), "limit-confirmed-by-nobody",
                f'the limit "{name}" of {one.extends} was "{old.status}" and is now "{new.status}"',
                "the role of whoever read it in its document is needed",
                "Name under verified_by who held it against a bought copy, and when under verified_on.",
            )
        )  # fmt: skip
    return found
