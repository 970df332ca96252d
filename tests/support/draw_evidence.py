"""Draw the photographs of the demonstration cases. Nothing here was ever photographed: the case is invented.

Run `python -m tests.support.draw_evidence` in the repository to write them all again; with the same Pillow the
bytes are the same. Each function draws one picture, named as its file.
"""

from __future__ import annotations

import importlib
import sys
from collections.abc import Callable
from pathlib import Path

from tests.support import pictures_bench as bench
from tests.support import pictures_place as place
from tests.support.drawing import Board

FOLDER = "cases/return-pad-lesion/evidence/photographs"


PICTURES: dict[str, Callable[[Board], None]] = {
    "theatre-overall": place.theatre_overall,
    "generator-front": place.generator_front,
    "generator-display": place.generator_display,
    "pad-plug-in-place": place.pad_plug_in_place,
    "wall-socket": place.wall_socket,
    "bin-with-pad": place.bin_with_pad,
    "used-pad-at-collection": place.used_pad_at_collection,
    "used-pad-sealed": place.used_pad_sealed,
    "sealed-cases": place.sealed_cases,
    "generator-rear": bench.generator_rear,
    "cord-and-plug": bench.cord_and_plug,
    "foot-switch": bench.foot_switch,
    "foot-switch-below": bench.foot_switch_below,
    "cable-clamp": bench.cable_clamp,
    "gel-print": bench.gel_print,
    "leading-edge": bench.leading_edge,
    "gel-tracing": bench.gel_tracing,
    "unused-pad": bench.unused_pad,
    "pouch-label": bench.pouch_label,
    "monitor-leads": bench.monitor_leads,
    "used-handpiece": bench.used_handpiece,
    "prep-bottle": bench.prep_bottle,
    "bench-output": bench.bench_output,
    "bench-monitor": bench.bench_monitor,
}
"""Pictures of the return-pad case, by file name."""

HOUR_ONE: dict[str, Callable[[Board], None]] = {
    "bed-place": place.hour_one_overall,
    "pump-front": place.hour_one_display,
}
"""Pictures of the hour-one case, by file name."""


def draw(picture: Callable[[Board], None]) -> bytes:
    """One picture as JPEG."""
    board = Board()
    picture(board)
    return board.jpeg()


def main(root: Path) -> None:
    """Write every picture below the repository's root."""
    every = [(FOLDER, PICTURES), ("tests/cases/hour-one/evidence/photographs", HOUR_ONE)]
    for path in sorted(Path(__file__).parent.glob("pictures_*.py")):
        # A case draws its own in a module that says where they go.
        module = importlib.import_module(f"tests.support.{path.stem}")
        if hasattr(module, "FOLDER"):
            every.append((module.FOLDER, module.PICTURES))
    for folder, pictures in every:
        (root / folder).mkdir(parents=True, exist_ok=True)
        for name, picture in pictures.items():
            (root / folder / f"{name}.jpg").write_bytes(draw(picture))


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path())
