"""The packaged limits for patient warming against the published figures, one row a figure.

Written out by hand, not taken from the data. Of IEC 60601-2-35, ASTM F2196 and the tables 23 and 24 of IEC 60601-1 no
text was read: every figure of theirs is `from memory`, those of the first two remembered with doubt. Of ISO 13732-1 the
scope was read (confirmed) and two figures were read elsewhere (secondary).
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from asfound.limits import build_book, packaged
from asfound.limits.protocol_checks import closure
from asfound.model.limits import Book, Fixed, LimitKind, Sense
from asfound.model.verdict import Outcome
from asfound.model.work import Tier
from tests.reference.test_limits_at_work import computed, verdicts

MEMORY, SECOND = "from memory", "secondary source"
PAD, AIR, PARTS, HOT = "iec-60601-2-35-2020", "astm-f2196", "iec-60601-1-temperatures", "iso-13732-1-2006"

# IEC 60601-1, tables 23 and 24: metal, glass, plastic; 48 and 43 for each of them (from memory).
TOUCHED = {"below 1 s": (74, 80, 86), "1 s to 10 s": (56, 66, 71), "10 s to 1 min": (51, 56, 60)}
APPLIED = {"below 1 min": (51, 56, 60)}
LONG = {("touchable", "1 min and more"): 48, ("applied", "1 min to 10 min"): 48, ("applied", "10 min and more"): 43}
MATERIALS = ("metal", "glass", "plastic")
# ISO 13732-1: limit, degC, status. 65 to 70 at 1 s and 48 at 10 min were read elsewhere.
THRESHOLDS = {
    "metal-one-second": ("65", SECOND),
    "metal-one-minute": ("51", MEMORY),
    "glass-one-minute": ("56", MEMORY),
    "plastic-one-minute": ("60", MEMORY),
    "ten-minutes": ("48", SECOND),
    "eight-hours": ("43", MEMORY),
}
# The cells of tables 23 and 24 by name: a short contact by material, a long one whatever the material.
BY_MATERIAL = ("touched-at-once", "touched-seconds", "touched-to-a-minute", "applied-below-a-minute")
ANY_MATERIAL = ("touched-longer", "applied-to-ten-minutes", "applied-longer")
CELLS = {f"{cell}-{material}" for cell in BY_MATERIAL for material in MATERIALS} | {*ANY_MATERIAL}
SPOKEN = (
    {(PARTS, name) for name in CELLS}
    | {(HOT, name) for name in THRESHOLDS}
    | {(PAD, "surface-normal"), (PAD, "cut-out"), (AIR, "blanket-mean")}
)
"""Every limit that is held against its source here; `test_limits.py` asks for it."""


@pytest.fixture(scope="module")
def book() -> Book:
    have = packaged()
    made, faults = build_book(have.sets, have.protocols, {}, {}, cautions=have.cautions)
    assert faults == ()
    return made


def degrees(book: Book, set_name: str, name: str) -> Decimal:
    limit = book.sets[set_name].limits[name]
    assert limit.sense is Sense.AT_MOST and isinstance(limit.bound, Fixed) and limit.bound.value.unit == "°C"
    return limit.bound.value.value


def held(book: Book, part: str, contact: str, material: str) -> Decimal:
    """The one bound of tables 23 and 24 that speaks to such a part."""
    at = {"part": part, "contact": contact, "material": material}
    found = [
        name
        for name, limit in book.sets[PARTS].limits.items()
        if all(at[condition] in allowed for condition, allowed in limit.when.items())
    ]
    assert len(found) == 1, found
    return degrees(book, PARTS, found[0])


def test_tables_of_touched_and_applied_parts(book: Book) -> None:
    """Table 23 and table 24 of IEC 60601-1, cell by cell (from memory); one bound to a cell, none left over."""
    cells = 0
    for part, table in (("touchable", TOUCHED), ("applied", APPLIED)):
        for contact, row in table.items():
            for material, want in zip(MATERIALS, row, strict=True):
                assert held(book, part, contact, material) == want
                cells += 1
    for (part, contact), want in LONG.items():
        assert {held(book, part, contact, material) for material in MATERIALS} == {Decimal(want)}
        cells += 1
    assert len(book.sets[PARTS].limits) == cells
    assert {str(one.status) for one in book.sets[PARTS].limits.values()} == {MEMORY}


@pytest.mark.parametrize(
    ("set_name", "name", "want", "kind"),
    [
        # Surface at most 41 degC in normal use, cut-out at most 43 degC (IEC 60601-2-35, from memory, uncertain).
        (PAD, "surface-normal", "41", LimitKind.PRODUCT_STANDARD),
        (PAD, "cut-out", "43", LimitKind.PRODUCT_STANDARD),
        # Mean contact at most 48 degC (ASTM F2196, from memory, uncertain): by its own arrangement, for reference.
        (AIR, "blanket-mean", "48", LimitKind.TYPE_TEST),
    ],
)
def test_blankets_and_pads(book: Book, set_name: str, name: str, want: str, kind: LimitKind) -> None:
    limit = book.sets[set_name].limits[name]
    assert (degrees(book, set_name, name), limit.kind, str(limit.status)) == (Decimal(want), kind, MEMORY)
    assert "ncertain" in str(limit.note), "what is remembered with doubt says so"


def test_thresholds_of_burns_give_no_verdict(book: Book) -> None:
    """ISO 13732-1 sets no limits for products (scope, confirmed), so every line of it is for reference."""
    limits = book.sets[HOT].limits
    assert {name: (str(degrees(book, HOT, name)), str(one.status)) for name, one in limits.items()} == THRESHOLDS
    assert all(one.kind.reference_only for one in limits.values())


def test_no_limit_of_these_sets_is_unwatched(book: Book) -> None:
    """A figure that stands in the data and not in this file would be nobody's."""
    assert set(book.sets[PAD].limits) == {"surface-normal", "cut-out"}
    assert set(book.sets[AIR].limits) == {"blanket-mean"}
    assert {(one, name) for one in (PAD, AIR, PARTS, HOT) for name in book.sets[one].limits} == SPOKEN


@pytest.mark.parametrize(("shown", "outcome"), [("41.0", Outcome.PASS), ("41.1", Outcome.FAIL)])
def test_pad_surface_at_work(book: Book, shown: str, outcome: Outcome) -> None:
    """The very bound is allowed; the state need not be recorded to be held to it (computed)."""
    made = computed(book, [PAD], "pad-surface", "degC", [(shown, {"setting": "high", "point": "5"})])
    assert verdicts(made)["surface-normal"][0] is outcome


def test_single_fault_is_not_held_to_normal_use(book: Book) -> None:
    reading = ("42.0", {"setting": "high", "point": "5", "state": "single fault"})
    made = computed(book, [PAD], "pad-surface", "degC", [reading])
    assert {one.outcome for one in made.verdicts} == {Outcome.NO_REQUIREMENT}


def test_the_spot_of_the_event_has_no_limit(book: Book) -> None:
    """No published limit is written for a hose without its blanket: the spot is for the dose, and not for a pass."""
    spots = {"spot-temperature", "spot-swap", "pad-spot", "pad-swap", "sensor-lifted"}
    assert not [
        (one.set, name) for one in book.sets.values() for name, limit in one.limits.items() if spots & {*limit.tests}
    ]


@pytest.mark.parametrize("name", ["warming-forced-air", "warming-blanket"])
def test_order_of_work(book: Book, name: str) -> None:
    """The record before function, the spot as it lay before what the maker means, driven hot or bent last.

    Source: ASTM E860-22, 4.1 (confirmed) for not altering first; the rest is common practice, no source.
    """
    protocol = book.protocols[name]
    tests = {key: test for one in closure(name, book.protocols) for key, test in book.protocols[one].tests.items()}
    own = {
        key for one in closure(name, book.protocols) if one.startswith("warming") for key in book.protocols[one].tests
    }
    place = {key: at for at, key in enumerate(protocol.order)}
    assert own <= set(place), "every test of warming has its place"
    spot, meant = ("spot-temperature", "outlet-temperature") if name.endswith("air") else ("pad-spot", "pad-surface")
    assert place["as-laid-distance"] == 0
    for record in ("warmer-log", "warmer-entries"):
        assert max(place["protective-earth"], place["touch-current"]) < place[record] < place[spot] < place[meant]
    altering = [place[key] for key in own if tests[key].alters is Tier.CHANGES]
    assert all(at == len(place) - 1 for at in altering)
    hot = [place[key] for key in own if "cut-out-t" in key or key in {"pad-cut-out", "air-cut-out-delay"}]
    assert min(hot) > max(place[key] for key in own if tests[key].functional)


@pytest.mark.parametrize("name", ["warming", "warming-forced-air", "warming-blanket"])
def test_every_test_says_what_a_pass_does_not_show(book: Book, name: str) -> None:
    for key, test in book.protocols[name].tests.items():
        assert test.cannot_reach and test.bench_checks and test.reaches, key
    outlet = book.protocols["warming-forced-air"].tests["outlet-temperature"]
    assert "hot-air-contact" not in outlet.reaches, "a pass at the outlet never reaches skin under a bare hose"
