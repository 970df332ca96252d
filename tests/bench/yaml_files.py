"""YAML with the place of every value, against the bare C loader of PyYAML on the same files."""

from __future__ import annotations

from typing import Any

import yaml

from asfound.intake import read_yaml

from .method import Line, inside, spoken

FILES, TIMES, BOUND = 1000, 7, 1.2


def texts(files: int) -> list[bytes]:
    """Records of three items a file, 61 lines, no two files alike."""
    head = "# Items of an invented case.\n"
    return [(head + "".join(_item(number * 3 + one) for one in range(3))).encode() for number in range(files)]


def _item(number: int) -> str:
    return (
        f"I-{number}:\n"
        f"  what: Electrosurgical generator, number {number}\n"
        "  role: main device\n"
        "  in_use_at_event: yes\n"
        "  impounded: yes\n"
        f"  model: Model {number % 7}\n"
        f'  serial: "{100000 + number}"\n'
        f"  firmware: {number % 5}.{number % 9}\n"
        "  found_at: beside the table, on its cart\n"
        f"  note: The cord is coiled, the plug is out; seen on shelf {number % 40}.\n"
        "  characteristics:\n"
        "    class: I\n"
        "    rated_output: 300 W\n"
        "    supply: 120 V, 60 Hz\n"
        "  stated:\n"
        "    - quantity: output-power\n"
        f"      value: {20 + number % 80} W\n"
        "      when: {mode: cut, setting: 90 W}\n"
        f"      source: manual, page {number % 90}\n"
        "  evidence: [E-1, E-2]\n"
    )


def theirs(files: list[bytes]) -> list[Any]:
    """The data alone."""
    return [yaml.load(one, yaml.CSafeLoader) for one in files]


def ours(files: list[bytes]) -> list[Any]:
    """The data, and where each of them stands. The places are dropped here, as the trees of the peer are."""
    return [read_yaml("items.yml", one).data for one in files]


def measure() -> list[Line]:
    """Both over the same thousand files."""
    files = texts(FILES)
    mine, bare = inside([lambda: ours(files), lambda: theirs(files)], TIMES)
    lines = files[0].count(b"\n")
    what = f"YAML with positions, {FILES} files of {lines} lines"
    return [Line(what, "yaml.load, CSafeLoader", mine / bare, BOUND, spoken(mine), spoken(bare))]
