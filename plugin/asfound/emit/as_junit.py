"""Problems as a JUnit report: a suite a case, a test a problem, in the common form that hosts read (no one standard).

GitLab takes reports below 30 MB and shows only the first of tests with the same name (its documentation, read second
hand), so names are unique and the report ends well below. Nothing in it holds a time or a machine's name.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from xml.sax.saxutils import escape, quoteattr

from asfound.emit.told import HEAVY, Item, Told, items, left_out
from asfound.model.plain import plain
from asfound.problems import Level

MOST_BYTES = 25_000_000
_NO_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What no XML 1.0 document may hold (production 2, Char), escaped or not."""


def junit(cases: Iterable[Told], heavy: Collection[Level] = HEAVY, most: int = MOST_BYTES) -> str:
    """The report. A problem of a `heavy` level is a failure, a thing still needed is skipped, others pass with a text.

    A case against which nothing stands has one test, which passes. Worst first within a case; at most `most` bytes
    of tests, and the last test of the report says how many had no room.
    """
    told = list(cases)
    tests: dict[str, list[tuple[str, str]]] = {one.folder: [] for one in told}
    room, left, full = most, 0, False
    names: set[str] = set()
    for one in items(told):
        kind, said = _test(one, heavy, names)
        full = full or len(said.encode("utf-8")) > room
        if full:
            left += 1
            continue
        room -= len(said.encode("utf-8"))
        tests[one.told.folder].append((kind, said))
    suites = [
        _suite(one.case, tests[one.folder] or [("", _passed(one, left, one.problems != ()))]) for one in told
    ]  # fmt: skip
    if left:
        suites.append(_suite("more", [("skipped", _more(left))]))
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<testsuites name="asfound check">\n{"".join(suites)}</testsuites>\n'
    )


def _suite(name: str, tests: list[tuple[str, str]]) -> str:
    kinds = [kind for kind, _ in tests]
    counts = f'tests="{len(tests)}" failures="{kinds.count("failure")}" errors="0" skipped="{kinds.count("skipped")}"'
    return f" <testsuite name={_attribute(name)} {counts}>\n{''.join(said for _, said in tests)} </testsuite>\n"


def _passed(one: Told, left: int, some: bool) -> str:
    said = f"{len(one.problems)} things are left out" if some and left else "nothing stands against it"
    name = _attribute(f"{one.folder}: {said}")
    return f"  <testcase classname={_attribute(one.case)} name={name}/>\n"


def _more(left: int) -> str:
    said = _attribute(left_out(left))
    return f'  <testcase classname="more" name={said}>\n   <skipped message={said}/>\n  </testcase>\n'


def _test(one: Item, heavy: Collection[Level], names: set[str]) -> tuple[str, str]:
    problem = one.problem
    about = problem.subject or problem.span.path.removeprefix(f"{one.told.folder}/")
    name, number = f"{problem.rule} {about}", 1
    while (key := f"{one.told.folder}\0{name}") in names:
        number += 1
        name = f"{problem.rule} {about} ({number})"
    names.add(key)
    said = _attribute(f"{problem.found}; {problem.needed}.")
    body = _text("\n".join(filter(None, (plain(problem.headline()), plain(problem.mend)))))
    level = _attribute(str(problem.level))
    if problem.level in heavy:
        kind, inner = "failure", f"<failure type={level} message={said}>{body}</failure>"
    elif problem.level is Level.NEEDED:
        kind, inner = "skipped", f"<skipped type={level} message={said}>{body}</skipped>"
    else:
        kind, inner = "", f"<system-out>{body}</system-out>"
    line = f' line="{problem.span.line}"' if problem.span.line else ""
    head = f"classname={_attribute(one.told.case)} name={_attribute(name)} file={_attribute(problem.span.path)}{line}"
    return kind, f"  <testcase {head}>\n   {inner}\n  </testcase>\n"


def _clean(text: str) -> str:
    return _NO_XML.sub(lambda found: f"<U+{ord(found[0]):04X}>", text)


def _text(text: str) -> str:
    return escape(_clean(text))


def _attribute(text: str) -> str:
    return quoteattr(_clean(plain(text)))
