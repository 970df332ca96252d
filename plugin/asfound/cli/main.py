"""The command line. A command's module is loaded when it is called, so that `--version` stays quick."""

from __future__ import annotations

import atexit
import gc
import importlib
import os
import sys

import click

VARIABLE = "_ASFOUND_COMPLETE"
"""Set by the script of a shell that completes; click reads it."""
EXIT_USAGE = 2
EXIT_FAULT = 3
EXIT_PIPE = 141
COLLECTED = (1_000_000, 20, 50)
"""How many objects come to be before rubbish is looked for, and how often the older ones are looked through with it.

Checking a case makes half a million, and keeps them: to look through them as they come took 40 ms of 1.0 s."""
STAYING = (20_000, *COLLECTED[1:])
"""The same for a command that stays, and makes some rubbish with every answer."""

COMMANDS: dict[str, str] = {
    "approve": "asfound.cli.cmd_approve",
    "audit-site": "asfound.cli.cmd_audit_site",
    "calc": "asfound.cli.cmd_calc",
    "check": "asfound.cli.cmd_check",
    "compare": "asfound.cli.cmd_compare",
    "completion": "asfound.cli.cmd_completion",
    "doctor": "asfound.cli.cmd_doctor",
    "document": "asfound.cli.cmd_document",
    "evidence": "asfound.cli.cmd_evidence",
    "explain": "asfound.cli.cmd_explain",
    "gate": "asfound.cli.cmd_gate",
    "hook": "asfound.cli.cmd_hook",
    "init": "asfound.cli.cmd_init",
    "instrument": "asfound.cli.cmd_instrument",
    "issue": "asfound.cli.cmd_issue",
    "log": "asfound.cli.cmd_log",
    "new": "asfound.cli.cmd_new",
    "normalise": "asfound.cli.cmd_normalise",
    "pack": "asfound.cli.cmd_pack",
    "plan": "asfound.cli.cmd_plan",
    "render": "asfound.cli.cmd_render",
    "schema": "asfound.cli.cmd_schema",
    "sheet": "asfound.cli.cmd_sheet",
    "status": "asfound.cli.cmd_status",
    "trace": "asfound.cli.cmd_trace",
    "table": "asfound.cli.cmd_table",
    "tags": "asfound.cli.cmd_tags",
    "verify": "asfound.cli.cmd_verify",
    "verify-site": "asfound.cli.cmd_verify_site",
    "without": "asfound.cli.cmd_without",
}
"""Name of a command → the module that holds it as `command`. In the order in which help lists them."""


class _Lazy(click.Group):
    """A group that knows its commands by name and loads one when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        module = COMMANDS.get(cmd_name)
        if module is None:
            return None
        found = importlib.import_module(module).command
        assert isinstance(found, click.Command)
        if ctx.resilient_parsing and VARIABLE in os.environ:
            from asfound.cli.completing import teach

            return teach(found)
        return found

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The commands in the order of the work, each with its first sentence whole."""
        from asfound.cli.front import grouped

        width = max(map(len, COMMANDS))
        for head, names in grouped(list(COMMANDS)):
            rows = []
            for name in names:
                found = self.get_command(ctx, name)
                said = (found.get_short_help_str(500) if found is not None else "").partition(". ")[0]
                rows.append((f"{name:<{width}}", said if said.endswith(".") else f"{said}."))
            with formatter.section(head):
                formatter.write_dl(rows)

    def invoke(self, ctx: click.Context) -> object:
        """Run a command. Somebody who closes the pipe, as `head` does, is no problem of a case, and gets no message."""
        try:
            return super().invoke(ctx)
        except BrokenPipeError:
            # What is still in the buffer must not be written, and complained of, on the way out.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            sys.exit(EXIT_PIPE)


def _version(context: click.Context, _parameter: click.Parameter, asked: bool) -> None:
    if not asked or context.resilient_parsing:
        return
    from importlib.metadata import version

    click.echo(f"asfound {version('asfound')}")
    context.exit()


@click.command(
    cls=_Lazy, invoke_without_command=True, no_args_is_help=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)  # fmt: skip
@click.option(
    "--version", is_flag=True, expose_value=False, is_eager=True, callback=_version, help="Show the version and exit."
)
@click.option("--debug", is_flag=True, help="Show where a fault of the program came from.")
@click.pass_context
def cli(context: click.Context, debug: bool) -> None:
    """From a folder of evidence to a cross-examined report.

    `asfound` alone tells the five things people do. The whole manual is part of every site that is built.

    \b
    asfound new
    asfound check cases/my-case
    asfound explain custody-gap
    """
    if context.invoked_subcommand is None:
        from asfound.cli.front import five_things

        click.echo(five_things())


def _plain(said: object) -> str:
    from asfound.model.plain import plain

    return "\n".join(plain(line) for line in str(said).splitlines())


def _cases(wrong: click.ClickException) -> str:
    """Which cases there are, for somebody who named none where one is needed; else nothing."""
    if not isinstance(wrong, click.MissingParameter) or wrong.ctx is None or wrong.param is None:
        return ""
    if wrong.param.name != "case":
        return ""
    from asfound.cli.completing import cases_here

    return cases_here(wrong.ctx)


def stay() -> None:
    """Said by a command that stays until somebody ends it."""
    gc.set_threshold(*STAYING)


def main() -> None:
    """Run, and turn what happens into an exit code. A fault of ours never shows as a traceback unless asked for."""
    from asfound.cli.codepage import mind_code_pages, read_names_as_utf_8

    # A command makes much that it keeps and little rubbish, and ends soon: looking it all through for circles as often
    # as the interpreter does by itself is more than a tenth of a check.
    gc.set_threshold(*COLLECTED)
    # On the way out it would look twice through all there is, to give back what the system takes anyway: 85 ms of a
    # second. Nothing waits for that: what is written is closed where it is written.
    atexit.register(gc.freeze)
    # What a record says is not for add-ons of the library that reads it, which it would take from any package that is
    # installed; to look for them it reads what every package says of itself, 10 ms with 145 of them.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    read_names_as_utf_8()
    mind_code_pages()
    if os.environ.get(VARIABLE, "").startswith("powershell"):
        from click.shell_completion import add_completion_class

        from asfound.cli.completing import PowerShellComplete

        add_completion_class(PowerShellComplete)
    try:
        cli.main(standalone_mode=False, prog_name="asfound")
    except click.Abort:
        click.echo("Stopped.", err=True)
        sys.exit(130)
    except click.ClickException as wrong:
        said = _plain(_cases(wrong) or wrong.message)
        wrong.message = said  # type: ignore[misc]  # what was typed is quoted in it
        wrong.show()
        sys.exit(EXIT_USAGE)
    except Exception as error:
        if "--debug" in sys.argv:
            raise
        click.echo(
            f"asfound met a fault of its own: {type(error).__name__}: {_plain(error)}\n"
            "Nothing was changed. Run again with --debug and report what it prints.",
            err=True,
        )
        sys.exit(EXIT_FAULT)
