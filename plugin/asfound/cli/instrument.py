"""`asfound instrument add`."""

from __future__ import annotations

import datetime as dt
import hashlib
import re
from pathlib import Path

import click

from asfound import assess, desk, emit
from asfound.cli.gate import ids, role
from asfound.cli.refusal import AGAIN, told_disk, told_refusal
from asfound.desk import Refused
from asfound.desk.certificate import CertificatePlan, Said, plan_certificate, write_certificate
from asfound.intake import read_bench
from asfound.intake.dcc import NoCertificate, read_dcc
from asfound.model.layout import BENCH


def run_add(
    certificate: str,
    due: str,
    ref: str | None,
    serial: str | None,
    what: str | None,
    keeper: str | None,
    as_found: str | None,
    root: str | None,
) -> int:
    """Register a certificate, or say why not; the exit code."""
    ids("--id", (ref,) if ref else ())
    if ref and not ref.startswith("M-"):
        raise click.UsageError(f'--id holds "{ref}"; the id of an instrument such as M-3 is needed')
    role("--keeper", keeper)
    if not re.fullmatch(r"\d{4}-\d{2}-\d{2}", due):
        raise click.UsageError(f'--due holds "{due}"; a date such as 2027-02-03 is needed')
    try:
        day = dt.date.fromisoformat(due)
    except ValueError:
        raise click.UsageError(f'--due holds "{due}", which is no day of the calendar') from None
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    said = Said(day, ref or "", *(" ".join((text or "").split()) for text in (serial, what, keeper, as_found)))
    try:
        plan = _written(home.resolve(), Path(certificate), said)
    except NoCertificate as wrong:
        name = emit.plain(certificate)
        click.echo("Nothing was written:", err=True)
        for one in wrong.faults:
            told = f"{name}:{one.line}:{one.column}: {one.found}; {one.needed}. {one.mend}"
            click.echo(f"  {emit.plain(told).rstrip()}", err=True)
        return 1
    except Refused as refused:
        return told_refusal(refused)
    except OSError as error:
        return told_disk(error, AGAIN)
    click.echo(f"{BENCH}/instruments.yml:{plan.line} {plan.id}")
    for line in plan.text:
        click.echo(f"    {emit.plain(line)}")
    for note in plan.notes:
        click.echo(emit.plain(note), err=True)
    return 0


def _written(home: Path, certificate: Path, said: Said) -> CertificatePlan:
    source = desk.look(certificate)
    folder = desk.real_folder(home, BENCH, make=True)
    with desk.alone(folder):
        bench = read_bench(home)
        if said.ref in bench.refs and said.ref not in bench.instruments:
            raise Refused(f"{said.ref} cannot be read as it stands", problems=bench.problems)
        data = certificate.read_bytes()
        if hashlib.sha256(data).hexdigest() != source.sha256:
            raise Refused(f"{source.shown} changed while it was read; run again")
        read = read_dcc(data)
        plan = plan_certificate(home, bench.instruments, source, read, said)
        write_certificate(home, plan)
    return plan
