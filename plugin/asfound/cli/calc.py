"""`asfound calc`."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from typing import Any

import click

from asfound import emit
from asfound.cli.calc_charts import target_of, write_charts
from asfound.cli.calc_series import Asked, rows_of
from asfound.cli.codepage import echo_data
from asfound.emit.as_calc import calc_json, calc_list, calc_needs, calc_text
from asfound.physics.calc import Calculation, calculations, evaluate
from asfound.physics.saying import read_typed


def run_calc(
    name: str | None, typed: Sequence[str], asked: Asked, form: str, chart: str | None = None, replace: bool = False
) -> int:
    """List, explain or compute; the exit code. Every wrong input is told at once."""
    known, file = calculations(), asked.file
    if chart is None and replace:
        raise click.UsageError("--replace is for a file that --chart names.")
    if name is None:
        if chart is not None:
            raise click.UsageError("--chart needs a calculation; `asfound calc` lists them.")
        click.echo(calc_list(known), nl=False)
        return 0
    if name not in known:
        near = difflib.get_close_matches(name, known, n=1)
        hint = f' Did you mean "{near[0]}"?' if near else " `asfound calc` lists all."
        raise click.UsageError(f'there is no calculation "{name}".{hint}')
    of = known[name]
    target = None if chart is None else target_of(of, chart)
    if file is None and asked.more:
        raise click.UsageError("--column, --from, --to and --along are for a file that --file names.")
    if not typed and file is None and target is None:
        click.echo(calc_needs(of), nl=False)
        return 0
    values, doubts, dofs, shown = _given(of, typed)
    rows: Mapping[str, Any] | None = None
    if of.columns:
        if file is None:
            raise click.UsageError(f"{of.name} needs --file. `asfound calc {of.name}` says what stands in it.")
        rows, problems = rows_of(of, asked)
        if problems:
            for _, said in emit.text(problems):
                click.echo(said, err=True)
            return 1
    elif file is not None:
        raise click.UsageError(f"{of.name} takes no file.")
    try:
        answers = evaluate(of, values, rows, doubts, None, dofs)
    except ValueError as error:
        raise click.UsageError(f"{of.name}: {error}.") from None
    shown_file = asked.said()
    drawn = () if target is None else write_charts(of, shown, values, rows, answers, target, shown_file, replace)
    if form == "json":
        echo_data(calc_json(of, shown, answers, shown_file))
    else:
        click.echo(calc_text(of, shown, answers, shown_file), nl=False)
    for place in drawn:
        click.echo(f"{place} is written.", err=True)
    return 0


def _given(
    of: Calculation, typed: Sequence[str]
) -> tuple[dict[str, Any], dict[str, float], dict[str, float], dict[str, str]]:
    values: dict[str, Any] = {}
    doubts: dict[str, float] = {}
    dofs: dict[str, float] = {}
    shown: dict[str, str] = {}
    wrong: list[str] = []
    for text in typed:
        name, sign, value = text.partition("=")
        name = name.strip()
        one = of.input(name)
        if not sign or one is None:
            names = ", ".join(each.name for each in of.inputs) or "none"
            wrong.append(f'"{text}" is no input of {of.name}; its inputs are: {names}')
        elif name in shown:
            wrong.append(f"{name} is given twice")
        else:
            shown[name] = value.strip()
            read = read_typed(one, value.strip())
            if read.fault:
                wrong.append(read.fault)
            else:
                values[name] = read.value
                if read.twice is not None:
                    doubts[name] = read.twice
                if read.dof is not None:
                    dofs[name] = read.dof
    missing = [one.name for one in of.inputs if one.default is None and one.name not in shown]
    if missing:
        wrong.append(f"{' and '.join(missing)} {'is' if len(missing) == 1 else 'are'} not given")
    if wrong:
        raise click.UsageError("; ".join(wrong) + ".")
    return values, doubts, dofs, shown
