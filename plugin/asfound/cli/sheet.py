"""`asfound sheet`."""

from __future__ import annotations

import datetime as dt
import importlib.util
import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING

import click

from asfound import assess, emit
from asfound.cli.check import choose
from asfound.cli.main import stay
from asfound.cli.refusal import told_refusal
from asfound.desk import Refused

if TYPE_CHECKING:
    from asfound.sheet import Door, Listening


def run_sheet(case: str, name: str | None, host: str | None, port: int | None, root: str | None) -> int:
    """Serve the form until it is ended; the exit code."""
    if importlib.util.find_spec("flask") is None or importlib.util.find_spec("waitress") is None:
        click.echo('The form needs a web server: pip install "asfound[sheet]"', err=True)
        return 1
    from asfound.sheet import Bench, Door, NoAddress, create_app, listen
    from asfound.sheet.serve import HOST, PORT

    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    home = home.resolve()
    bench = Bench(home, choose(home, case)[0], lambda: dt.datetime.now().astimezone())
    try:
        sheets = bench.lying().sheets
        if name is not None and name not in sheets:
            known = ", ".join(sheets) or "none"
            raise click.UsageError(f"there is no sheet {name} in sheets.yml (there is {known})")
        listening = listen(host or HOST, PORT if port is None else port)
    except Refused as refused:
        return told_refusal(refused, "The form cannot be opened:")
    except NoAddress as error:
        click.echo(f"The form cannot be opened: {emit.plain(str(error))}.", err=True)
        return 1
    door = Door(listening.addresses)
    server = listening.serve(create_app(bench, door))
    if not listening.here:
        click.echo(
            f"Anybody in the network of {emit.plain(host or '')} can reach this form, and whoever reads along there "
            "sees what is typed and could go on in your name: it is not encrypted. Use a network of your own, and end "
            "the form when you leave the bench.",
            err=True,
        )
    where = f"sheet/{name}" if name else ""
    stay()
    try:
        _print(listening, door, where)
        threading.Thread(target=_on_enter, args=(listening, door, where), daemon=True).start()
        server.run()
    except KeyboardInterrupt:
        pass
    finally:
        server.close()
    click.echo("Ended. What was typed is in the files of the case; look at it, then commit it.", err=True)
    return 0


def _print(listening: Listening, door: Door, where: str) -> None:
    """The address that opens the form once."""
    to = f"?to={where}" if where else ""
    url = f"{listening.url}/enter/{door.token()}{to}"
    click.echo(url)
    if not listening.here and sys.stdout.isatty() and importlib.util.find_spec("segno") is not None:
        import segno

        segno.make(url, micro=False).terminal(compact=True)
    click.echo("It opens once. Enter prints a new one, Ctrl+C ends the form.", err=True)
    sys.stdout.flush()


def _on_enter(listening: Listening, door: Door, where: str) -> None:
    for _line in sys.stdin:
        _print(listening, door, where)
