"""A calculation as text and as JSON: what went in, what came out, how, on whose authority."""

from __future__ import annotations

import json
import math
import textwrap
from collections.abc import Iterator, Mapping
from typing import Any

from asfound.measure.show import json_doubt
from asfound.physics.calc import Answer, Calculation, Input
from asfound.physics.saying import answer_text

FORMAT = 1
WIDTH = 92


def calc_list(known: Mapping[str, Calculation]) -> str:
    """One line for each calculation."""
    width = max(len(name) for name in known)
    return "".join(f"{name:<{width}}  {one.title}\n" for name, one in known.items())


def calc_needs(of: Calculation) -> str:
    """What a calculation needs, and how it computes."""
    lines = [of.name, of.title, ""]
    lines += [_input(one) for one in of.inputs]
    if of.columns:
        titles = ",".join(f"{one.name} [{one.unit}]" if one.unit not in ("", "1") else one.name for one in of.columns)
        lines += [f"--file FILE: a table whose first row holds {titles}"]
        lines += [f"  {one.name}: {one.what}" for one in of.columns]
    if of.plots is not None:
        lines += ["--chart FILE.svg: draws what there is to see of it"]
    lines += ["", *_ground(of)]
    example = " ".join(f"{one.name}=…" for one in of.inputs if one.default is None)
    lines += ["", f"asfound calc {of.name} {example}{' --file FILE' if of.columns else ''}".rstrip()]
    return "\n".join(lines) + "\n"


def _input(one: Input) -> str:
    kind = f" [{one.unit}]" if one.unit else ""
    chosen = f": {', '.join(one.choices)}" if one.choices else ""
    default = "" if one.default is None else f"; {_plain(one.default)} where nothing is said"
    return f"{one.name}{kind}  {one.what}{chosen}{default}"


def _plain(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:g}"


def _ground(of: Calculation) -> Iterator[str]:
    yield _part("Formula", of.formula)
    yield _part("Source", f"{of.source} ({of.status})")
    for one in of.assumes:
        yield _part("Assumes", one)
    for one in of.cautions:
        yield _part("Caution", one)


def calc_ground(of: Calculation, given: Mapping[str, str], file: str = "") -> list[str]:
    """What went in, and the ground of the result, one line each, for a place that breaks lines itself."""
    fed = [
        f"{one.name} {typed}"
        if (typed := given.get(one.name)) is not None
        else f"{one.name} {_typed_default(one)} (taken)"
        for one in of.inputs
    ]
    lines = [f"Inputs: {', '.join([*fed, *([f'file {file}'] if file else [])])}."] if fed or file else []
    lines += [f"Formula: {of.formula}", f"Source: {of.source} ({of.status})"]
    return lines + [f"Assumes: {one}" for one in of.assumes] + [f"Caution: {one}" for one in of.cautions]


def _part(head: str, text: str) -> str:
    return textwrap.fill(text, WIDTH, initial_indent=f"{head:<9}", subsequent_indent=" " * 9)


def calc_text(of: Calculation, given: Mapping[str, str], answers: tuple[Answer, ...], file: str = "") -> str:
    """Inputs as they were typed, results, and their ground."""
    lines = [of.title, ""]
    for one in of.inputs:
        typed = given.get(one.name)
        said = typed if typed is not None else f"{_typed_default(one)} (taken, since nothing was said)"
        lines.append(f"{one.name}: {said}")
    if file:
        lines.append(f"file: {file}")
    lines.append("")
    for answer in answers:
        lines.append(_part("", f"{answer.name}: {answer_text(answer)}").strip())
        if answer.said:
            lines.append(textwrap.fill(answer.said, WIDTH, initial_indent="    ", subsequent_indent="    "))
    lines += ["", *_ground(of)]
    return "\n".join(lines) + "\n"


def _typed_default(one: Input) -> str:
    assert one.default is not None
    shown = _plain(one.default)
    return f"{shown} {one.unit}".strip() if one.unit else shown


def calc_json(of: Calculation, given: Mapping[str, str], answers: tuple[Answer, ...], file: str = "") -> str:
    """The same for programs; numbers with all the digits a double has, doubts with six."""
    data: dict[str, Any] = {
        "format": FORMAT,
        "calculation": of.name,
        "given": {one.name: given[one.name] if one.name in given else _typed_default(one) for one in of.inputs},
        "file": file or None,
        "answers": [_answer(one) for one in answers],
        "formula": of.formula,
        "source": of.source,
        "status": of.status,
        "assumes": list(of.assumes),
        "cautions": list(of.cautions),
    }
    return json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def _answer(one: Answer) -> dict[str, Any]:
    doubt = None if one.doubt is None else float(json_doubt(one.doubt))
    free = None if math.isinf(one.dof) else float(json_doubt(one.dof))
    return {
        "name": one.name, "value": one.value, "unit": one.unit, "low": one.low, "high": one.high, "doubt": doubt,
        "k": None if one.doubt is None else float(json_doubt(one.k)), "dof": free, "said": one.said,
    }  # fmt: skip
