"""Texts of a case, cut into sentences and clauses that still know which records they cite."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache

from msgspec import Struct

from asfound.model.case import Path
from asfound.model.facts import Facts
from asfound.model.prose import QUOTED, Node, read_prose
from asfound.model.words import Passage


class Said(Struct, frozen=True):
    """A text and where it stands.

    where     id of its record, or the name of a file of the case
    path      from there to the field
    name      what to call it in a sentence: `F-2`, `the mechanism`
    rests_on  records the text's author lists below it
    """

    where: str
    path: Path
    name: str
    text: str
    rests_on: tuple[str, ...]


class Clause(Struct, frozen=True):
    """Part of a sentence. `text` has its citations taken out; `refs` are those citations, in order."""

    text: str
    refs: tuple[str, ...]


def findings(facts: Facts) -> Iterator[Said]:
    """The texts of the findings."""
    for ref, finding in facts.case.findings.items():
        yield Said(ref, ("text",), ref, finding.text, finding.rests_on)
        if finding.note is not None:
            yield Said(ref, ("note",), ref, finding.note, finding.rests_on)


def cited_by_findings(facts: Facts) -> set[str]:
    """Every record that a finding rests on or names in its text."""
    return {ref for one in findings(facts) for ref in (*one.rests_on, *read_prose(one.text).refs)}


def opinions(facts: Facts) -> Iterator[Said]:
    """The texts of the conclusion."""
    conclusion, file = facts.case.conclusion, "conclusion.yml"
    if conclusion is None:
        return
    for name in ("mechanism", "reason"):
        part = getattr(conclusion, name)
        yield Said(file, (name, "text"), f"the {name}", part.text, part.rests_on)
    for number, fact in enumerate(conclusion.carried_by):
        yield Said(file, ("carried_by", number, "text"), f"carrying fact {number + 1}", fact.text, fact.rests_on)
    for number, point in enumerate(conclusion.stays_open):
        yield Said(file, ("stays_open", number, "text"), f"open point {number + 1}", point.text, point.rests_on)
    for name in ("limits_of_work", "would_settle"):
        text = getattr(conclusion, name)
        if text is not None:
            yield Said(file, (name,), name.replace("_", " "), text, ())


def explanations(facts: Facts) -> Iterator[Said]:
    """What is said of the rivals: why each stands as it does, and what answers a contradiction."""
    for ref, explanation in facts.case.explanations.items():
        for name in ("why", "answer"):
            text = getattr(explanation, name)
            if text is not None:
                yield Said(ref, (name,), ref, text, (*explanation.supports, *explanation.contradicts))


def summary(facts: Facts) -> Iterator[Said]:
    """The summary of the case, where there is one."""
    if facts.case.head.summary is not None:
        yield Said("case.yml", ("summary",), "the summary", facts.case.head.summary, ())


def fact_sections(facts: Facts) -> Iterator[Said]:
    """Texts that state facts: summary and account of the event, findings, captions, inspection, scene, time line."""
    yield from summary(facts)
    account = facts.case.head.event.account
    yield Said("case.yml", ("event", "account"), "the account of the event", account, ())
    yield from findings(facts)
    for ref, evidence in facts.case.evidence.items():
        yield Said(ref, ("shows",), ref, evidence.shows, ())
    for row in facts.case.inspection:
        if row.what:
            yield Said(row.id, ("what",), row.id, row.what, ())
    scene = facts.case.scene
    if scene is not None and isinstance(scene.touched_since, str):
        yield Said("scene.yml", ("touched_since",), "what was touched", scene.touched_since, ())
    for event in facts.case.timeline:
        yield Said(event.id, ("event",), event.id, event.event, ())


def said(facts: Facts) -> Iterator[Said]:
    """The texts of findings and conclusion."""
    yield from findings(facts)
    yield from opinions(facts)


def passages(facts: Facts, where: Iterable[Passage]) -> Iterator[Said]:
    """The texts a list of words is held against."""
    for passage in where:
        match passage:
            case Passage.FACTS:
                yield from fact_sections(facts)
            case Passage.CONCLUSION:
                yield from opinions(facts)
            case Passage.EXPLANATIONS:
                yield from explanations(facts)


# Private-use characters: no keyboard has them, so a citation inside running text cannot be mistaken.
_MARK = re.compile("\ue000([^\ue001]*)\ue001")
_SENTENCE = re.compile('(?<=[.!?])["”’)]*\\s+(?=["“(]?[A-Z\ue000])|\\n+')
_CLAUSE = re.compile(r"[;:]\s|,? \b(?:but|while|whereas|although)\b |, and ")
_PRONOUN = re.compile(
    r"(?:so |thus |and |also )*(?:it|they|both|all|each|this|that|these|those|none|neither|which)\b", re.I
)


def _flat(nodes: Iterable[Node], quotes: bool) -> Iterator[str]:
    for node in nodes:
        if node.kind in {"cite", "value"}:
            yield f"\ue000{node.text}\ue001"
        elif node.kind == "break":
            yield "\n"
        elif node.kind == "text" or (quotes and node.kind in {"mono", "code"}):
            yield node.text
        elif node.kind == "quote" and not quotes:
            yield "\n"
        yield from _flat(node.children if quotes or node.kind != "quote" else (), quotes)
        if node.kind in {"paragraph", "entry"}:
            yield "\n"


@lru_cache(maxsize=4096)
def sentences(text: str, quotes: bool = False) -> tuple[str, ...]:
    """Sentences, with their citations marked.

    Quoted passages and code are somebody's words, not the author's; they drop out unless `quotes` is true.
    """
    flat = "".join(_flat(read_prose(text).nodes, quotes))
    if not quotes:
        flat = QUOTED.sub(" ", flat)
    return tuple(part.strip() for part in _SENTENCE.split(flat) if part.strip())


@lru_cache(maxsize=4096)
def own_sentences(text: str) -> tuple[Clause, ...]:
    """Sentences of an opinion, in which a word or three between quotation marks are still the author's.

    Marks around a word would otherwise let it be said and not said. Longer quotations and quoted passages drop out.
    """
    nodes = [node for node in read_prose(text).nodes if node.kind != "quote"]
    flat = QUOTED.sub(lambda said: said[0] if len(said[0].split()) <= 3 else " ", "".join(_flat(nodes, True)))
    return tuple(_clause(part.strip()) for part in _SENTENCE.split(flat) if part.strip())


def _clause(marked: str) -> Clause:
    refs = tuple(dict.fromkeys(_MARK.findall(marked)))
    return Clause(re.sub(r"\s+", " ", _MARK.sub(" ", marked)).strip(), refs)


@lru_cache(maxsize=4096)
def whole_sentences(text: str, quotes: bool = False) -> tuple[Clause, ...]:
    """Sentences as clauses."""
    return tuple(_clause(sentence) for sentence in sentences(text, quotes))


@lru_cache(maxsize=4096)
def clauses(text: str) -> tuple[Clause, ...]:
    """Sentences cut at semicolons, colons, *but*, *while*, *whereas*, *although* and *, and*.

    A part that cites nothing and begins with *it*, *both*, *all* and the like speaks of what its sentence cites,
    and is given those citations.
    """
    found: list[Clause] = []
    for sentence in sentences(text):
        cited = _clause(sentence).refs
        parts = (_clause(part) for part in _CLAUSE.split(sentence) if part.strip())
        found.extend(Clause(one.text, cited) if not one.refs and _PRONOUN.match(one.text) else one for one in parts)
    return tuple(found)


def named(refs: Iterable[str], most: int = 6) -> str:
    """`R-a-1, R-a-2 and 3 more`: at most `most` names."""
    names = list(refs)
    if len(names) <= most:
        return " and ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)
    return f"{', '.join(names[:most])} and {len(names) - most} more"
