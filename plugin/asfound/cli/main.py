"""The command line. Each command imports what it needs when it runs, so that `--version` stays quick."""

from __future__ import annotations

import sys

import click

EXIT_FOUND = 1
EXIT_USAGE = 2
EXIT_FAULT = 3


def _version(context: click.Context, _parameter: click.Parameter, asked: bool) -> None:
    if not asked or context.resilient_parsing:
        return
    from importlib.metadata import version

    click.echo(f"asfound {version('asfound')}")
    context.exit()


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.option(
    "--version", is_flag=True, expose_value=False, is_eager=True, callback=_version, help="Show the version and exit."
)
@click.option("--debug", is_flag=True, help="Show where a fault of the program came from.")
def cli(debug: bool) -> None:
    """From a folder of evidence to a cross-examined report.

    \b
    asfound check                      check every case below cases/
    asfound check cases/my-case        check one
    asfound explain custody-gap        say what a rule asks, why, and on whose authority
    """


@cli.command()
@click.argument("cases", nargs=-1, metavar="[CASE]...")
@click.option(
    "--format", "form", type=click.Choice(["text", "json", "github"]), default=None,
    help="How to print problems; github where GITHUB_ACTIONS is set, else text.",
)  # fmt: skip
@click.option("--on", metavar="DATE", help="The date to assess on, as 2026-03-19; today where nothing is said.")
@click.option(
    "--fail-on", type=click.Choice(["reject", "warn"]), default="reject", show_default=True,
    help="The lightest level that makes the exit code 1.",
)  # fmt: skip
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def check(cases: tuple[str, ...], form: str | None, on: str | None, fail_on: str, root: str | None) -> None:
    """Check cases: every problem of every file, in one run.

    A CASE is a folder or the identity of a case. Exit code 0: clean; 1: problems; 2: wrong usage.

    \b
    asfound check
    asfound check return-pad-lesion --on 2026-03-19
    asfound check --format json > problems.json
    """
    from asfound.cli.check import run_check

    sys.exit(run_check(cases, form, on, fail_on, root))


@cli.command()
@click.argument("rule", required=False)
def explain(rule: str | None) -> None:
    """Say what RULE asks, why, on whose authority, and how to mend it. Without RULE, list all.

    \b
    asfound explain power-before-inspection
    """
    from asfound.cli.explain import run_explain

    sys.exit(run_explain(rule))


def main() -> None:
    """Run, and turn what happens into an exit code. A fault of ours never shows as a traceback unless asked for."""
    for stream in (sys.stdout, sys.stderr):
        # A narrow code page or a redirected stream must not end a run on a dash or an ohm sign.
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
    try:
        cli.main(standalone_mode=False, prog_name="asfound")
    except click.exceptions.Exit as done:
        sys.exit(done.exit_code)
    except click.Abort:
        click.echo("Stopped.", err=True)
        sys.exit(130)
    except click.ClickException as wrong:
        wrong.show()
        sys.exit(EXIT_USAGE)
    except BrokenPipeError:
        # Somebody closed the pipe, as `head` does; there is nobody left to tell.
        sys.stderr.close()
        sys.exit(141)
    except Exception as error:
        if "--debug" in sys.argv:
            raise
        click.echo(
            f"asfound met a fault of its own: {type(error).__name__}: {error}\n"
            "Nothing was changed. Run again with --debug and report what it prints.",
            err=True,
        )
        sys.exit(EXIT_FAULT)
