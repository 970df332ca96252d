"""The live copy in few bytes: nothing is lost, and page and loader share one ground."""

from __future__ import annotations

import json
import re

import pytest

from asfound.figures import interactive, to_json
from asfound.figures.packed import GROUND, packed, unpacked
from asfound.pages.assets import script

from .examples import ALL, output


@pytest.mark.parametrize("make", ALL)
def test_unpacking_gives_every_number_and_word_again(make) -> None:
    figure = json.loads(to_json(interactive(make())))
    text = packed(figure)
    assert unpacked(text) == figure
    assert text == packed(json.loads(to_json(interactive(make()))))
    assert len(text) < len(to_json(figure)) - 600


@pytest.mark.parametrize(
    "values",
    [
        [1, True, 1, True, 1.0, 1, 1],
        [0, False, None, None, None, ""],
        [[1, 2], [1, 2], [3, None]],
        [[], []],
        [{"a": 1}, {"b": 2}, {}],
        [{"a": None}, {"a": 1}],
        [{}, {}],
        [{"a": [{"b": 1}, {"b": 1}]}, {"a": []}],
        [[[1], [2]], [[3], [4]]],
        [1e300, 1e300, -0.25, 12345678901234567890.0],
    ],
)
def test_lists_of_any_kind_come_back(values: list[object]) -> None:
    figure = interactive(output())
    figure["data"] = values
    found = unpacked(packed(figure))["data"]
    assert found == values and [type(a) is bool for a in found] == [type(b) is bool for b in values]


def test_a_layout_without_what_all_share_is_refused() -> None:
    figure = interactive(output())
    del figure["layout"]["xaxis"]["color"]
    with pytest.raises(ValueError, match=r"layout\.xaxis lacks color"):
        packed(figure)


def test_a_number_that_is_none_is_refused() -> None:
    figure = interactive(output())
    figure["data"][0]["x"] = [float("nan"), 1.0]
    with pytest.raises(ValueError):
        packed(figure)


def test_the_loader_has_the_same_ground() -> None:
    found = re.search(r"var GROUND = (\{.*\});", script())
    assert found and json.loads(found[1]) == GROUND
