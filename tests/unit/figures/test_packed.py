"""The live copy in few bytes: nothing is lost, and page and loader share one ground."""

from __future__ import annotations

import json
import re

import pytest

from asfound.figures import interactive, to_json
from asfound.figures.packed import CONFIG, GROUND, LABEL, OFTEN, packed, unpacked
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


@pytest.mark.parametrize(
    ("values", "form"),
    [
        ([0.1 * n for n in range(4)] + [0.7, 1e-7], list),
        ([0.01, 0.03, 0.04, 0.06, 0.1, 0.11, 0.13, 0.14], dict),
        ([9007199254740993.0, 1.5, 2.5, 3.5, 4.5, 5.5, 6.5], list),
        ([-0.0, -0.1, 0.2, 1234567.891, -3.3, 4.4, 5.5], list),
        ([-123.4, -123.3, -123.1, 0.1, 0.2, 1234567.8, 1234567.9, 1234568.1], dict),
        (["one", "two", "one", "three", "two", "one", "one", "two", "three"], dict),
        ([["a<br>b", "#b"], ["a<br>c", "#c"], ["a", "#a"]], dict),
        ([["a<br>b", "../x/#b"], ["a<br>c", ""], ["", ""]], dict),
        ([["a", 1], ["b", 2]], list),
    ],
)
def test_every_form_of_a_list_comes_back_to_the_last_bit(values: list[object], form: type) -> None:
    figure = interactive(output())
    figure["data"] = [{"x": values}]
    text = packed(figure)
    assert unpacked(text)["data"] == [{"x": values}]
    assert type(json.loads(text)["data"][0]["x"]) is form


@pytest.mark.parametrize("number", range(len(OFTEN)))
def test_what_traces_often_say_is_left_out_and_comes_back(number: int) -> None:
    figure = interactive(output())
    figure["data"] = [{**OFTEN[number], "name": "a"}]
    text = packed(figure)
    assert json.loads(text)["data"] == [{"$c": number, "name": "a"}]
    assert unpacked(text)["data"] == figure["data"]
    figure["data"] = [{"name": "b"}, {"inner": {**OFTEN[number], "name": "c"}}, {**OFTEN[number], "name": "d"}]
    assert unpacked(packed(figure))["data"] == figure["data"]


@pytest.mark.parametrize(("name", "ours"), [("GROUND", GROUND), ("CONFIG", CONFIG), ("LABEL", LABEL), ("OFTEN", OFTEN)])
def test_the_loader_has_the_same_ground(name: str, ours: object) -> None:
    found = re.search(rf"var {name} = ([{{\[].*[}}\]]);", script())
    assert found and json.loads(found[1]) == ours
