"""A starter list as YAML that can be pasted into explanations.yml."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping

from asfound.model.starters import StarterLine, StarterList


def starter_yaml(made: StarterList, lines: Mapping[str, StarterLine] | None = None, first: int = 1) -> str:
    """One explanation a line of the list, each *not tested* until somebody tests it; questions and sources as comments.

    `lines` are those to print, by default all of the list; `first` is the number of the first. Quoted texts are JSON
    strings, which YAML reads as they are.
    """
    shown = made.lines if lines is None else lines
    return "".join(f"{line}\n" for line in _lines(made, shown, first))


def _lines(made: StarterList, lines: Mapping[str, StarterLine], first: int) -> Iterator[str]:
    yield f"# {made.title}."
    for name, asked in made.questions.items():
        yield f"# Answer in case.yml, under answers: {name}: yes or no. {asked}"
    yield "# A line that is not in play goes into case.yml, under set_aside, with the record that shows it."
    yield "# One that says why it came to be so, and not how it happened, takes explains: reason, and is no rival then."
    for number, (name, line) in enumerate(lines.items(), start=first):
        when = "; ".join(f"{question}: {answer}" for question, answer in line.when.items())
        yield f"X-{number}:"
        if when:
            yield f"  # In play where {when}."
        yield f"  explanation: {_quoted(line.explanation)}"
        yield f"  line: {line.line}"
        yield f"  starters: [{name}]"
        if line.topics:
            yield f"  topic: {line.topics[0]}"
        yield "  needs:"
        for need in line.needs:
            yield f"    - claim: {_quoted(need)}"
        yield f"  would_show: {_quoted(line.would_show)}"
        yield f"  # What parts it from the others: {line.separate}"
        yield f"  # Source: {line.source} ({line.status})."
        yield "  status: not tested"
        yield f"  not_tested: {_quoted('not yet')}"


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
