"""`asfound log`."""

from __future__ import annotations

import datetime as dt
from typing import Any

import click

from asfound import desk
from asfound.cli.entering import run_entering
from asfound.cli.gate import ids, role
from asfound.desk import Desk, OneRecord

_TEXTS = ("from_place", "to_place", "purpose", "seal_before", "seal_after", "condition", "note")


def run_log(case: str, items: tuple[str, ...], root: str | None, on: str | None, **given: Any) -> int:
    """Write one hand-over down; the exit code."""
    if not items:
        raise click.UsageError("name at least one ITEM that moved")
    ids("ITEM", items)
    ids("--evidence", given["evidence"])
    for name in ("giver", "receiver", "signed_out", "signed_in"):
        role({"giver": "--from", "receiver": "--to"}.get(name, f"--{name.replace('_', '-')}"), given[name])
    if given["signed"] and (given["signed_out"] or given["signed_in"]):
        raise click.UsageError("--signed says that both signed; give it alone, or --signed-out and --signed-in")
    if given["at"] and (given["released_at"] or given["received_at"]):
        raise click.UsageError("--at is the time of both ends; give it alone, or --released-at and --received-at")

    def make(at: Desk, now: dt.datetime) -> OneRecord:
        cells, machine = _cells(items, now, given)
        return desk.plan_custody(at, cells, machine)

    return run_entering(case, root, on, make)


def _cells(items: tuple[str, ...], now: dt.datetime, given: dict[str, Any]) -> tuple[dict[str, str], bool]:
    giver, receiver = given["giver"] or "", given["receiver"] or ""
    one_end = given["released_at"] or given["received_at"]
    # Where one end was timed, the other is not filled with the time at hand: the two may lie hours apart.
    both = None if one_end else desk.when(given["at"], now)
    ends = {
        name: both.text if both else desk.when(given[name], now, f"--{name.replace('_', '-')}").text
        for name in ("released_at", "received_at")
        if both or given[name]
    }
    cells = {"items": " ".join(dict.fromkeys(items)), "kind": given["kind"], **ends}
    cells |= {"released_by": giver, "received_by": receiver}
    cells |= {name: " ".join((given[name] or "").split()) for name in _TEXTS}
    cells["signed_out"] = given["signed_out"] or (giver if given["signed"] and giver != "store" else "")
    cells["signed_in"] = given["signed_in"] or (receiver if given["signed"] and receiver != "store" else "")
    cells["evidence"] = " ".join(dict.fromkeys(given["evidence"]))
    return cells, both is not None and both.machine
