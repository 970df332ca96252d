"""What the command line says of itself, as data: for the manual, which may be published without it."""

from __future__ import annotations

import importlib
import inspect
import re
from collections.abc import Iterator
from typing import Any

import click

from asfound.cli.main import COMMANDS
from asfound.pages import Command, Option


def commands() -> tuple[Command, ...]:
    """Every command in the order of the alphabet, those below another behind it."""
    return tuple(told for name in sorted(COMMANDS) for told in _told(name, _load(name)))


def _load(name: str) -> click.Command:
    found = importlib.import_module(COMMANDS[name]).command
    assert isinstance(found, click.Command)
    return found


def _told(name: str, command: click.Command) -> Iterator[Command]:
    context = click.Context(command, info_name=name)
    words, examples = parts(command.help or "")
    options = tuple(_option(one, context) for one in command.params if isinstance(one, click.Option) and not one.hidden)
    usage = " ".join(one for one in command.collect_usage_pieces(context) if one != "[OPTIONS]")
    if options:
        usage = f"[OPTIONS] {usage}"
    yield Command(name, usage.strip(), words, examples, options)
    if isinstance(command, click.Group):
        for inner in sorted(command.commands):
            yield from _told(f"{name} {inner}", command.commands[inner])


def parts(text: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The paragraphs of a help text, and its lines to type: those of the blocks that begin with `\\b`."""
    words, examples = [], []
    for block in re.split(r"\n[ \t]*\n", inspect.cleandoc(text).partition("\f")[0]):
        if block.lstrip().startswith("\b"):
            examples += [line.rstrip() for line in block.lstrip().removeprefix("\b").strip("\n").splitlines()]
        elif block.strip():
            words.append(" ".join(block.split()))
    return tuple(words), tuple(examples)


def _option(one: click.Option, context: click.Context) -> Option:
    told: dict[str, Any] = one.get_help_extra(context)  # type: ignore[assignment]
    record = one.get_help_record(context)
    written = ", ".join((*one.opts, *one.secondary_opts))
    takes = "" if one.is_flag else str(one.make_metavar(context)).strip("[]").replace("|", ", ")
    words = (one.help or "").strip() if record else ""
    if "range" in told:
        takes = f"{takes} ({told['range']})"
    return Option(written, takes, words, str(told.get("default", "")), one.required)
