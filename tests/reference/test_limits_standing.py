"""What stands around a packaged figure and decides as much as the figure: whether the document judges a device in
service, what goes before it, over which conditions the highest counts, and when it is asked at all.

Written out by hand from the scopes and tables of the documents named; where nothing else is said, from memory. The
figures themselves stand in `test_limits.py` and in the files beside it.
"""

from __future__ import annotations

import pytest

from asfound.limits import build_book, packaged
from asfound.model.limits import Book, LimitKind, Sense

IN_SERVICE, DESIGN, REFERENCE = LimitKind.IN_SERVICE, LimitKind.PRODUCT_STANDARD, LimitKind.TYPE_TEST
PRACTICE, OLD = LimitKind.COMMON_PRACTICE, LimitKind.SUPERSEDED

# IEC 62353: recurrent tests and tests after repair (scope). NFPA 99: the facility, and what stands in it, in use. IEC
# 60364-7-710: an installation. The parts of IEC 60601 and their kin: the design of a device, not its service. ISO
# 13732-1: no limits for products (scope). Studies of people and blankets: of a design. A recommendation on waste gas
# and what shops do: common practice.
KINDS = {
    IN_SERVICE: (
        "iec-62353-2014", "nfpa-99-2005", "nfpa-99-2005-gas", "nfpa-99-2012", "nfpa-99-2012-wiring", "iec-60364-7-710",
        "us-anaesthesia-checkout-1993",
    ),
    DESIGN: (
        "iec-60601-1-temperatures", "iec-60601-2-2-2017", "iec-60601-2-4-2010", "iec-60601-2-5-2009",
        "iec-60601-2-19-2020", "iec-60601-2-21-2020", "iec-60601-2-24-2012", "iec-60601-2-27-2011",
        "iec-60601-2-34-2011", "iec-60601-2-35-2020", "iec-80601-2-30-2018", "iso-10535-2006", "iso-80601-2-12-2020",
        "iso-80601-2-13-2011", "iso-80601-2-55-2018", "thermometers", "us-21-cfr-1050-10",
    ),
    REFERENCE: ("iec-60601-1-leakage", "iso-13732-1-2006", "monitor-studies", "astm-f2196"),
    OLD: ("older-us-leakage", "aami-hf18-2001"),
    PRACTICE: (
        "common-practice-anaesthesia", "common-practice-defibrillator", "common-practice-electrical",
        "common-practice-fluid-warming", "common-practice-hf", "common-practice-infusion", "common-practice-lifting",
        "common-practice-monitoring", "common-practice-tourniquet", "common-practice-ultrasound", "niosh-77-140",
    ),
}  # fmt: skip
# Lines that are of another kind than their set: a monitor of an isolated supply is a product; a value in a fault, or
# under a load no bench brings about, is of the type test; two figures for a quantity have been replaced.
OTHERWISE = {
    ("iec-60364-7-710", "monitor-impedance"): DESIGN,
    ("iec-60364-7-710", "monitor-voltage"): DESIGN,
    ("iec-60364-7-710", "monitor-current"): DESIGN,
    ("iec-60601-1-leakage", "earth-leakage-normal-edition-2"): OLD,
    ("iec-60601-1-leakage", "earth-leakage-fault-edition-2"): OLD,
    ("iec-60601-2-19-2020", "carbon-dioxide"): REFERENCE,
    ("iec-60601-2-2-2017", "duty"): REFERENCE,
    ("iec-60601-2-2-2017", "pad-thermal-under-5-kg"): REFERENCE,
    ("iec-60601-2-2-2017", "pad-thermal-5-to-15-kg"): REFERENCE,
    ("iec-60601-2-2-2017", "pad-thermal-over-15-kg"): REFERENCE,
    ("iec-60601-2-4-2010", "energy-highest"): REFERENCE,
    ("iec-80601-2-30-2018", "pressure-highest-fault"): REFERENCE,
    ("iec-80601-2-30-2018", "pressure-highest-fault-neonate"): REFERENCE,
}

# A value that shops use for want of a better one goes behind the maker's (common practice, no source). Those that are
# the maker's own figure, a yes or no, a share of the device's own output or a recommendation have nothing before them.
BEHIND_BOTH = {
    "common-practice-anaesthesia": {"vaporiser-output"},
    "common-practice-defibrillator": {"energy-against-setting", "cable-at-rest", "pads-carry", "battery-worn"},
    "common-practice-electrical": {"earth-resistance"},
    "common-practice-fluid-warming": {"fluid-temperature"},
    "common-practice-hf": {"output-against-setting", "contact-window", "contact-rise", "heating-factor"},
    "common-practice-infusion": {"rate-accuracy", "lots-agree", "occlusion-bolus-small"},
    "common-practice-monitoring": {"pressure-leak", "lead-resistor"},
    "common-practice-tourniquet": {"pressure-in-window", "deviation-alarm"},
    "common-practice-ultrasound": {"power", "time"},
}
# Where the document itself leaves the value to the accompanying papers.
BEHIND_THE_MAKER = {
    "common-practice-anaesthesia": {"oxygen-flush", "scavenging-pressure"},
    "iec-60601-2-24-2012": {"misloaded-alarm", "misloaded-set-alarm"},
    "iso-10535-2006": {"speed-rated-load", "speed-unloaded"},
    "iso-80601-2-12-2020": {"airway-pressure-shown"},
    "iso-80601-2-13-2011": {"fresh-gas-flow", "vaporiser-off"},
    "iso-80601-2-55-2018": {"oxygen-shown", "agent-shown", "carbon-dioxide-shown"},
}

# NFPA 99, 2005, 8.4.1.3, and 2012, 10.3.5 and 10.3.6: leakage is taken with the device on and off, the supply as it is
# and turned, and the highest is written down. A figure for a state of the earth is not taken over the other state; that
# of 2005 for the chassis counts both. With the earth closed the edition of 2012 does not ask for the turned supply.
HIGHEST = {
    ("nfpa-99-2005", "chassis-leakage"): {"earth", "polarity", "power"},
    ("nfpa-99-2005", "permanently-wired"): {"polarity", "power"},
    ("nfpa-99-2005", "lead-leakage-isolated-closed"): {"polarity", "power"},
    ("nfpa-99-2005", "lead-leakage-isolated-open"): {"polarity", "power"},
    ("nfpa-99-2012", "touch-current-closed"): {"power"},
    ("nfpa-99-2012", "touch-current-open"): {"polarity", "power"},
    ("nfpa-99-2012", "permanently-wired"): {"polarity", "power"},
    ("nfpa-99-2012", "lead-leakage-closed"): {"polarity", "power"},
    ("nfpa-99-2012", "lead-leakage-open"): {"polarity", "power"},
}

# ISO 13732-1, by time of contact, metal, glass and plastic apart up to a minute; ISO 81060-2, criterion 1, two figures;
# guidance in the United States of 2013, by kind of probe; IEC 80601-2-30, by patient and state; ISO 80601-2-13, leak
# at 3 kPa, which is 30 cmH2O as gauges show it; ISO 10535, with and without the load. ASTM F2196, a mean over the whole
# blanket (from memory). Of a pad in one piece a contact monitor learns nothing, legs are watched once they are spread,
# and the leak of a cuff is told by the minute: common practice, no source.
WHEN = {
    ("iso-13732-1-2006", "metal-one-second"): "contact: below 1 s; material: metal",
    ("iso-13732-1-2006", "metal-one-minute"): "contact: 10 s to 1 min|below 1 min; material: metal",
    ("iso-13732-1-2006", "glass-one-minute"): "contact: 10 s to 1 min|below 1 min; material: glass",
    ("iso-13732-1-2006", "plastic-one-minute"): "contact: 10 s to 1 min|below 1 min; material: plastic",
    ("iso-13732-1-2006", "ten-minutes"): "contact: 1 min to 10 min",
    ("iso-13732-1-2006", "eight-hours"): "contact: 10 min and more",
    ("monitor-studies", "pressure-mean"): "figure: mean error",
    ("monitor-studies", "pressure-deviation"): "figure: standard deviation",
    ("monitor-studies", "oximeter-transmission"): "probe: transmission",
    ("monitor-studies", "oximeter-reflectance"): "probe: reflectance or ear",
    ("iec-80601-2-30-2018", "pressure-highest"): "patient type: adult|child; state: normal",
    ("iec-80601-2-30-2018", "pressure-highest-neonate"): "patient type: neonate; state: normal",
    ("iec-80601-2-30-2018", "pressure-highest-fault"): "patient type: adult|child; state: single fault",
    ("iec-80601-2-30-2018", "pressure-highest-fault-neonate"): "patient type: neonate; state: single fault",
    ("iso-80601-2-13-2011", "breathing-system-leak"): "pressure: 30 cmH2O|3 kPa",
    ("iso-80601-2-13-2011", "fresh-gas-leak"): "pressure: 30 cmH2O|3 kPa",
    ("astm-f2196", "blanket-mean"): "what: mean of all points",
    ("common-practice-hf", "contact-window"): "electrode: split",
    ("common-practice-hf", "contact-rise"): "electrode: split",
    ("common-practice-lifting", "legs-stay-spread"): "position: open",
    ("common-practice-monitoring", "pressure-leak"): "time: 60 s",
    ("iso-10535-2006", "speed-rated-load"): "loading: rated load",
    ("iso-10535-2006", "speed-unloaded"): "loading: unloaded",
}


@pytest.fixture(scope="module")
def book() -> Book:
    have = packaged()
    made, faults = build_book(have.sets, have.protocols, {}, {}, cautions=have.cautions)
    assert faults == ()
    return made


def test_kind_of_authority(book: Book) -> None:
    """A design standard called an in-service limit would judge a used device by what only a new one owes."""
    own = {name: kind for kind, names in KINDS.items() for name in names}
    found = {(one.set, name): limit.kind for one in book.sets.values() for name, limit in one.limits.items()}
    assert found == {key: OTHERWISE.get(key, own[key[0]]) for key in found}
    assert set(OTHERWISE) <= set(found) and set(own) == set(book.sets)


def test_what_goes_before_a_figure(book: Book) -> None:
    found: dict[tuple[str, ...], dict[str, set[str]]] = {}
    for one in book.sets.values():
        for name, limit in one.limits.items():
            if limit.gives_way_to:
                found.setdefault(limit.gives_way_to, {}).setdefault(one.set, set()).add(name)
    assert found == {("stated value", "maker's limit"): BEHIND_BOTH, ("maker's limit",): BEHIND_THE_MAKER}


def test_over_what_the_highest_counts(book: Book) -> None:
    found = {
        (name, limit): set(one.highest_of)
        for name in ("nfpa-99-2005", "nfpa-99-2012")
        for limit, one in book.sets[name].limits.items()
        if one.highest_of and limit != "ground-resistance"
    }
    assert found == HIGHEST


@pytest.mark.parametrize(("key", "words"), WHEN.items(), ids=lambda v: "/".join(v) if isinstance(v, tuple) else "")
def test_when_it_is_asked(book: Book, key: tuple[str, str], words: str) -> None:
    pairs = (part.split(": ") for part in words.split("; "))
    assert book.sets[key[0]].limits[key[1]].when == {name: tuple(values.split("|")) for name, values in pairs}


def test_what_is_asked_of_rare_kinds_alone(book: Book) -> None:
    """IEC 60364-7-710, medical locations of group 2; IEC 60601-2-4, the highest energy there is: both from memory."""
    assert book.sets["iec-60364-7-710"].limits["socket-earth"].only == {"group": ("2",)}
    assert book.sets["iec-60601-2-4-2010"].limits["energy-highest"].only == {"setting": ("360 J",)}


def test_an_earth_is_judged_by_its_worst(book: Book) -> None:
    """Wherever the cord is flexed and however the plug is turned, the highest counts: common practice, no source."""
    found = book.sets["common-practice-electrical"].limits["earth-resistance"]
    assert set(found.highest_of) == {"polarity", "flexed at"}


def test_alarms_that_have_a_latest_time(book: Book) -> None:
    """IEC 60601-2-27, 201.12.1.101 (from memory): no beats, and a rate beyond either limit."""
    signals = book.sets["iec-60601-2-27-2011"].limits["alarm-time"].only
    assert signals == {"signal": ("no beats", "rate above its limit", "rate below its limit")}


def test_leakage_is_held_from_above(book: Book) -> None:
    """IEC 60601-1, tables 3 and 4 and 8.7.3 e (from memory): every leakage has a highest value and none a lowest, and
    10 mA without weighting hold for each of the four currents."""
    limits = book.sets["iec-60601-1-leakage"].limits
    assert {limit.sense for limit in limits.values()} == {Sense.AT_MOST}
    assert set(limits["unweighted"].tests) == {
        "earth-leakage", "touch-current", "patient-leakage", "patient-auxiliary-current",
    }  # fmt: skip
    for current in ("patient-leakage", "total-patient-leakage", "patient-auxiliary", "touch-current", "earth-leakage"):
        test = {"total-patient-leakage": "patient-leakage", "patient-auxiliary": "patient-auxiliary-current"}
        of = {limit.test for name, limit in limits.items() if name.startswith(current)}
        assert of == {test.get(current, current)}, current
