"""The numbered steps, and what is said of them."""

# ruff: noqa: PTH100, PTH112, PTH120, PTH123

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING, NamedTuple

from asfound.pack.alone.archive import (
    BAGIT,
    FAILED,
    MANY,
    MOST_TEXT,
    NOT_DONE,
    PASSED,
    SUMS,
    TITLES,
    Bag,
    FolderBag,
    Refused,
    ZipBag,
    names_faults,
    shown,
)
from asfound.pack.alone.chain import read_chain
from asfound.pack.alone.lists import Digests, Info, counts_faults, digest_faults, layout_faults, read_info, read_lists

if TYPE_CHECKING:
    from collections.abc import Callable

# From here on this is part of the verifier that every pack carries.


NOTHING_HELD = "a redacted pack holds nothing this could be held against"


class Step(NamedTuple):
    """What became of one step. `said` are sentences."""

    number: int
    outcome: str
    said: tuple[str, ...]

    @property
    def title(self) -> str:
        return TITLES[self.number]


# The whole


class Examined(NamedTuple):
    """What was found: `info` and `bag` are None where the pack could not be read so far."""

    steps: tuple[Step, ...]
    info: Info | None
    bag: Bag | None
    digests: Digests


def examine(bag: Bag, seen: Callable[[str, bytes], None] | None = None) -> Examined:
    """Steps 1 to 5 of a pack whose files could be listed. `seen` is handed every piece of every file that is read."""
    digests = Digests()
    steps: list[Step] = []
    info = None
    try:
        if "bag-info.txt" not in bag.sizes or "bagit.txt" not in bag.sizes:
            raise Refused("bagit.txt or bag-info.txt is missing, so this is no pack")
        if bag.read("bagit.txt", MOST_TEXT) != BAGIT:
            raise Refused("bagit.txt does not say BagIt 1.0 in UTF-8 in the two lines it has in a pack")
        info = read_info(bag.read("bag-info.txt", MOST_TEXT))
        faults = layout_faults(bag, info)
        if isinstance(bag, ZipBag) and bag.top != info.name:
            faults.append(f"the top folder is {shown(bag.top)}, and the pack says that it is {info.name}")
    except Refused as error:
        faults = list(error.faults)
    told = f"{info.name}, format {info.form}, {len(bag.names)} files" if info else ""
    steps.append(step(1, faults, told))
    faults = names_faults(bag.names)
    steps.append(step(2, faults, "every name can be held by every system, and none can be taken for another"))
    if any(one.outcome != PASSED for one in steps):
        return Examined((*steps, *not_done(3, 5, "a step before it failed")), info, bag, digests)
    assert info is not None
    try:
        lists = read_lists(bag)
    except Refused as error:
        steps.append(step(3, list(error.faults)))
        return Examined((*steps, *not_done(4, 5, "a step before it failed")), info, bag, digests)
    size, _, count = info.oxum.partition(".")
    told = f"{size} bytes in {count} files of payload, each listed"
    steps.append(step(3, list(counts_faults(bag, info, lists)), told))
    unread = list(digests.take(bag, seen))
    sums = "every file has the SHA-256 and the SHA-512 that are stated; %s has the SHA-256 %s"
    told = sums % (SUMS, digests.of.get(SUMS, {}).get("sha256", ""))
    steps.append(step(4, [*unread, *digest_faults(lists, digests)], told))
    if any(one.outcome != PASSED for one in steps):
        steps += not_done(5, 5, "a step before it failed")
    elif info.kind == "redacted":
        steps += not_done(5, 5, "a redacted pack holds no chain: originals, digests and approvals were left out of it")
    else:
        said, faults = read_chain(bag, info, digests)
        steps.append(step(5, faults, *said))
    return Examined(tuple(steps), info, bag, digests)


def refused(error: Refused) -> Examined:
    """What is said of a pack whose files could not even be listed."""
    steps = (
        step(1, list(error.faults)),
        *not_done(2, 5, "the layout is not that of a pack, and nothing in it was read"),
    )
    return Examined(steps, None, None, Digests())


def step(number: int, faults: list[str], *said: str) -> Step:
    """A step that was done: failed where there are faults, each of which is said."""
    if not faults:
        return Step(number, PASSED, tuple(said))
    more = len(faults) - MANY
    return Step(number, FAILED, (*faults[:MANY], f"and {more} more") if more > 0 else tuple(faults))


def not_done(first: int, last: int, why: str) -> tuple[Step, ...]:
    """Steps that were not done, and why."""
    return tuple(Step(number, NOT_DONE, (why,)) for number in range(first, last + 1))


def told(steps: tuple[Step, ...], info: Info | None) -> str:
    """The steps as text, a line each, then what all of it shows and does not."""
    lines = []
    for one in steps:
        for place, sentence in enumerate(one.said or ("",)):
            head = f"{one.number}  {one.title:<24} {one.outcome:<9}" if place == 0 else " " * 37
            lines.append((f"{head} {sentence}").rstrip())
    return "\n".join([*lines, "", closing(steps, info)]) + "\n"


def closing(steps: tuple[Step, ...], info: Info | None) -> str:
    """One paragraph on what the steps show."""
    failed = [str(one.number) for one in steps if one.outcome == FAILED]
    if failed:
        return f"This pack does not verify: step {', '.join(failed)} failed."
    skipped = [str(one.number) for one in steps if one.outcome == NOT_DONE]
    passed = {one.number for one in steps if one.outcome == PASSED}
    words = ["Nothing failed."]
    if skipped:
        words.append(f"Not done: step {', '.join(skipped)}.")
    if info is not None and info.kind == "redacted":
        words.append(
            "This shows that the pack is whole, as it was made. It does not show who made it, nor that it tells of any "
            "case: it holds nothing by which that could be found out. Whether something in it still leads back to "
            "somebody was not looked for here; a person has to read it. What its verdicts rest on can be checked in "
            "the pack that was not redacted."
        )
    elif not passed & {7, 8}:
        words.append(
            "This shows that the pack is whole and agrees with itself. It does not show who made it: whoever can write "
            "a pack can write another that passes as much. Only signatures held against keys you have from elsewhere, "
            "the tag in the repository, or a digest noted outside the pack show that."
        )
    return " ".join(words)


def main(arguments: list[str], usage: str) -> int:
    """The command line of the bundled file."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")
    if len(arguments) > 1 or (arguments and arguments[0].startswith("-")):
        print(usage, file=sys.stderr)
        return 2
    place = arguments[0] if arguments else os.path.dirname(os.path.abspath(__file__))
    try:
        if os.path.isdir(place):
            found = examine(FolderBag(place))
        else:
            with open(place, "rb") as file:
                found = examine(ZipBag(file))
    except Refused as error:
        found = refused(error)
    except OSError as error:
        print(f"{shown(place)} cannot be opened: {error.strerror}", file=sys.stderr)
        return 2
    redacted = found.info is not None and found.info.kind == "redacted"
    rest = not_done(6, 8, NOTHING_HELD if redacted else "this needs the program asfound (asfound verify)")
    print(told((*found.steps, *rest), found.info), end="")
    return 1 if any(one.outcome == FAILED for one in found.steps) else 0
