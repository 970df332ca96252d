"""Find the rules, ask them all, and set what each answer weighs in this case."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Iterable, Iterator
from functools import cache

from msgspec import Struct

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem


class Rule(Struct, frozen=True):
    """A catalogue entry and the function that asks it."""

    entry: Entry
    check: Callable[[Facts], Iterator[Problem]]


@cache
def discover() -> tuple[Rule, ...]:
    """Every rule of this package, by name.

    Raises TypeError where a module has no `ENTRY` or `check`, or its file is not named after its rule, and
    ValueError where a name is taken twice: faults of ours, found at the first run and not in a court.
    """
    import asfound.rules as home

    found: dict[str, Rule] = {}
    for info in pkgutil.walk_packages(home.__path__, home.__name__ + "."):
        leaf = info.name.rpartition(".")[2]
        if info.ispkg or leaf == "machinery" or leaf.startswith("_"):
            continue
        module = importlib.import_module(info.name)
        entry, check = getattr(module, "ENTRY", None), getattr(module, "check", None)
        if not isinstance(entry, Entry) or not callable(check):
            raise TypeError(f"{info.name} lacks ENTRY or check")
        if leaf != entry.name.replace("-", "_"):
            raise TypeError(f"{info.name} holds the rule {entry.name}: name the file after it")
        if entry.name in found:
            raise ValueError(f"the rule name {entry.name} is taken twice")
        found[entry.name] = Rule(entry, check)
    return tuple(found[name] for name in sorted(found))


def topics() -> dict[str, str]:
    """Rule → the topic it stands under: the name of its folder."""
    return {rule.entry.name: rule.check.__module__.rpartition(".")[0].rpartition(".")[2] for rule in discover()}


def run(facts: Facts, rules: Iterable[Rule] | None = None) -> tuple[Problem, ...]:
    """Ask every rule but the private ones and weigh the answers.

    Integrity rules keep their level at every stage. Completeness rules of an open case become *still needed*.
    An exception lifts a reject to a warning where the rule allows it. Raises ValueError if there is no rule to
    ask, since nothing checked is not a pass.
    """
    asked = tuple((rule for rule in discover() if not rule.entry.private) if rules is None else rules)
    if not asked:
        raise ValueError("there is no rule to ask")
    found: list[Problem] = []
    for rule in asked:
        for problem in rule.check(facts):
            if problem.rule != rule.entry.name:
                raise ValueError(f"the rule {rule.entry.name} spoke as {problem.rule}")
            found.append(weigh(problem, rule.entry, facts))
    return tuple(sorted(found, key=lambda problem: problem.key))


def run_private(facts: Facts) -> tuple[Problem, ...]:
    """Ask the rules about the facility's own duties. What they say stands apart, and refuses nothing."""
    return run(facts, (rule for rule in discover() if rule.entry.private))


def weigh(problem: Problem, entry: Entry, facts: Facts) -> Problem:
    """Set the level a problem has in this case."""
    heavy = problem.level in {Level.REJECT, Level.WARN}
    if facts.case.open and entry.family is Family.COMPLETENESS and heavy:
        return problem.at(Level.NEEDED)
    if problem.level is Level.REJECT and entry.liftable:
        for ref, exception in facts.case.exceptions.items():
            if exception.rule == entry.name and exception.subject in {None, problem.subject}:
                return problem.at(Level.WARN, lifted=ref)
    return problem
