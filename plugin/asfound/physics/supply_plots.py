"""What the calculations of rooms and their supply have to show."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.measure.show import short
from asfound.model.plots import Bar, CurveRole, Level, Plot, PlotAxis, PlotKind
from asfound.physics import shock, supply


def current(milliamperes: float) -> str:
    """A current in a sentence: mA, or µA below a hundredth of one."""
    if 0.0 < abs(milliamperes) < 0.01:
        return f"{short(milliamperes * 1e3, 2)} µA"
    return f"{short(milliamperes)} mA"


def build_up(found: supply.BuildUp, before: float, sockets: Sequence[float], alarm: float) -> Plot:
    """Hazard current socket by socket, with the level of the alarm."""
    names = [f"socket {short(one)}" for one in sockets]
    bars = [Bar("before the devices", 0.0, before, current(before))]
    bars += [
        Bar(name, start, end, f"{'+' if end >= start else '−'}{current(abs(end - start))}")
        for name, (start, end) in zip(names, found.steps, strict=True)
    ]
    said = f"In all {current(found.total)}"
    if found.crossed is None:
        said += f", below the alarm at {current(alarm)}."
    elif found.crossed < 0:
        said += f"; the alarm at {current(alarm)} is reached before any device."
    else:
        said += f"; the alarm at {current(alarm)} is reached with {names[found.crossed]}."
    start, end = found.steps[found.largest]
    said += f" The largest step is {current(end - start)}, of {names[found.largest]}."
    return Plot(
        "build-up",
        PlotKind.BUILD_UP,
        "Hazard current as the devices are added",
        said,
        PlotAxis("total hazard current", "mA", from_zero=True),
        PlotAxis("added"),
        levels=(Level("x", alarm, f"alarm at {current(alarm)}", CurveRole.LIMIT),),
        bars=tuple(bars),
        note="Sizes are added as read. What a monitor shows is a forecast of a fault and no current that flows.",
    )


def name(pair: supply.Pair) -> str:
    """A pair in words; the first of the states is the sound one."""
    device = "device sound" if pair.device == 0 else f"device as in row {pair.device + 1}"
    socket = "socket sound" if pair.socket == 0 else f"socket as in row {pair.socket + 1}"
    return f"{device}, {socket}"


def pairs(found: Sequence[supply.Pair], alarm: float) -> Plot:
    """What flows through 1 kΩ on the isolated supply, pair by pair, and whether the monitor is quiet."""
    ranked = supply.ranked(found, lambda one: one.isolated)
    bars = tuple(
        Bar(
            name(one), 0.0, one.isolated * 1e3,
            f"{current(one.isolated * 1e3)}, monitor {'quiet' if one.shown * 1e3 < alarm else 'in alarm'}",
        )
        for one in ranked
    )  # fmt: skip
    first = ranked[0]
    state = "quiet" if first.shown * 1e3 < alarm else "in alarm"
    _, felt_from, felt_to, _ = shock.LEVELS[0]
    return Plot(
        "pairs",
        PlotKind.BUILD_UP,
        "Current through 1 kΩ on the isolated supply, state by state",
        f"Most flows with {name(first)}: {current(first.isolated * 1e3)}, while the monitor is {state}.",
        PlotAxis("current through 1 kΩ", "mA", from_zero=True),
        PlotAxis("states"),
        levels=(
            Level("x", felt_from, f"felt from {short(felt_from)} mA", CurveRole.PRACTICE),
            Level("x", felt_to, f"or from {short(felt_to)} mA", CurveRole.PRACTICE),
        ),
        bars=bars,
        note="Sources differ on the current from which a hand feels; both figures are of people and of no person.",
    )


def levels_of(seconds: float) -> tuple[tuple[str, float, float, str], ...]:
    """The published levels; where it is known how long the current flowed, that of fibrillation among them."""
    if not seconds:
        return shock.LEVELS
    low, high = (1e3 * amperes for amperes in shock.fibrillation_current(seconds))
    source = "IEEE Std 80: 1 in 200 people of 50 kg, to 1 in 200 of 70 kg (from memory)"
    return (*shock.LEVELS, (f"the heart may fibrillate, within {short(seconds)} s", low, high, source))


def levels(milliamperes: float, seconds: float = 0.0) -> Plot:
    """Published levels as spans, with the current as a line across them."""
    spans = levels_of(seconds)
    bars = tuple(Bar(words, low, high, f"{short(low)} to {short(high)} mA") for words, low, high, _ in spans)
    passed = [words for words, low, _, _ in spans if milliamperes >= low]
    said = f"{current(milliamperes)} lies " + (
        f"at or above the lower end of: {'; '.join(passed)}." if passed else "below every one of them."
    )
    return Plot(
        "levels",
        PlotKind.BUILD_UP,
        "A current against published levels",
        said,
        PlotAxis("current, r.m.s.", "mA", from_zero=True),
        PlotAxis("level"),
        levels=(Level("x", milliamperes, f"as computed or read: {current(milliamperes)}", CurveRole.MEASURED),),
        bars=bars,
        note="Each span is the range over the sources, or over women and men.",
    )
