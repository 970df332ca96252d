"""A form over a case at the bench, and a browser that came in."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from asfound.sheet import Bench, Door, create_app
from asfound.sheet.writing import Writer
from tests.support.bench import Clock, bench_case

HOST = "127.0.0.1:8377"
OWN = {"Host": HOST, "Origin": f"http://{HOST}", "Sec-Fetch-Site": "same-origin"}


@dataclass
class Form:
    """One running form and one browser."""

    home: Path
    clock: Clock
    bench: Bench
    door: Door
    writer: Writer
    client: Any

    def get(self, path: str, headers: Mapping[str, str] = OWN) -> Any:
        return self.client.get(path, headers=dict(headers), base_url=f"http://{HOST}")

    def post(self, path: str, headers: Mapping[str, str] = OWN, **body: Any) -> Any:
        return self.client.post(path, json=body, headers=dict(headers), base_url=f"http://{HOST}")

    def value(self, row: str, value: str, expected: str = "", sheet: str = "S-output", **more: Any) -> Any:
        body = {"row": row, "value": value, "expected": expected, "by": "examiner", **more}
        return self.post(f"/sheet/{sheet}/value", **body)

    def begin(self, sheet: str = "S-output", instrument: str = "M-1 power") -> None:
        answer = self.post(f"/sheet/{sheet}/begin", instrument=instrument, by="examiner")
        assert answer.status_code == 200, answer.json

    def file(self, name: str = "output") -> str:
        return (self.home / "readings" / f"{name}.csv").read_bytes().decode("utf-8")

    def line(self, row: str, name: str = "output") -> str:
        return next(line for line in self.file(name).splitlines() if line.startswith(f"{row},"))


@pytest.fixture
def make(tmp_path: Path) -> Callable[..., Form]:
    """Makes a form; `wait` is how long it waits for another run that writes."""

    def made(wait: float = 0.0, step: Callable[[str], None] | None = None, **case: Any) -> Form:
        home = bench_case(tmp_path, **case)
        clock = Clock()
        bench, door = Bench(tmp_path, home, clock), Door([HOST, "localhost:8377"])
        writer = Writer(bench, wait) if step is None else Writer(bench, wait, step)
        form = Form(home, clock, bench, door, writer, create_app(bench, door, writer).test_client())
        assert form.get(f"/enter/{door.token()}").status_code == 200
        return form

    return made


@pytest.fixture
def form(make: Callable[..., Form]) -> Form:
    """A form whose sheet of output power is begun."""
    made = make()
    made.begin()
    return made
