"""Whether a device's log is whole, and whether it reaches back to the event."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from asfound.measure.show import short
from asfound.model.plots import Plot
from asfound.physics import gas_plots as plots
from asfound.physics import log_gaps
from asfound.physics.calc import Answer, Calculation, Column, Input, Rows

NAMED = 4
"""Places named in a sentence; the rest are counted."""


def _state(given: Mapping[str, Any], rows: Rows) -> log_gaps.LogState:
    return log_gaps.log_state(rows["number"], rows["time"], given["interval"])


def _places(gaps: Sequence[log_gaps.Gap], seconds: bool = False) -> str:
    named = [
        f"between {gap.after} and {gap.before}" + (f" ({short(gap.seconds)} s)" if seconds else "")
        for gap in gaps[:NAMED]
    ]
    more = len(gaps) - len(named)
    return ", ".join(named) + (f" and {more} more" if more else "")


def _holds(given: Mapping[str, Any], found: log_gaps.LogState) -> tuple[float, str]:
    """How long before the event the record begins, and what that says."""
    before, full = log_gaps.reaches_back(found, given["capacity"], given["event"])
    if before < 0.0:
        return before, "The record begins after the event: of the event itself it says nothing."
    if given["event"] > found.last:
        return before, "The record ends before the event: of the event itself it says nothing."
    gap = found.around(given["event"])
    if gap is not None:
        return before, f"The event lies in a gap of {short(gap.seconds)} s, between {gap.after} and {gap.before}."
    full_said = " The store is full, so that nothing older can be asked of it." if full else ""
    return before, f"The record covers the event, and no gap lies there.{full_said}"


def _log(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
    found = _state(given, rows)
    before, said = _holds(given, found)
    twice = ", ".join(str(one) for one in found.twice[:NAMED])
    longest = found.gaps[0].seconds if found.gaps else found.usual
    lost = f"Missing {_places(found.missing)}." if found.missing else "No number is left out."
    back = f"It goes back {_places(found.backwards)}." if found.backwards else "It never goes back."
    wide = f"Longer than usual {_places(found.gaps, True)}." if found.gaps else "No interval is longer than is usual."
    return (
        Answer("entries", float(found.rows), "1", key="entries"),
        Answer("numbers that are missing", float(found.left_out), "1", said=lost, key="missing"),
        Answer(
            "numbers that stand twice", float(len(found.twice)), "1", said=f"{twice}." if twice else "", key="twice"
        ),
        Answer("places at which the time goes back", float(len(found.backwards)), "1", said=back, key="backwards"),
        Answer("middle interval", found.usual, "s", key="interval"),
        Answer("intervals longer than is usual", float(len(found.gaps)), "1", said=wide, key="gaps"),
        Answer("longest of them, or the middle one", longest, "s", key="longest"),
        Answer("time the record spans", (found.last - found.first) / 60.0, "min", key="span"),
        Answer("time from its first entry to the event", before / 60.0, "min", said=said, key="reaches-back"),
    )


def _draw(given: Mapping[str, Any], rows: Rows, answers: Sequence[Answer]) -> tuple[Plot, ...]:
    found = _state(given, rows)
    said = {one.slug: one for one in answers}
    marks = [(gap.start, float(gap.after), f"{gap.before - gap.after - 1} missing") for gap in found.missing]
    marks += [(gap.start, float(gap.after), "time goes back") for gap in found.backwards]
    marks += [(gap.start, float(gap.after), f"then nothing for {short(gap.seconds)} s") for gap in found.gaps[:NAMED]]
    words = " ".join(said[one].said for one in ("missing", "backwards", "reaches-back"))
    return (plots.entries(rows, given["event"], words, marks),)


CALCULATIONS = (
    Calculation(
        "log-completeness",
        "Whether a log is whole and reaches back to the event",
        (
            Input("event", "s", "the event, on the log's own count of seconds"),
            Input("interval", "s", "longest interval that is usual; 0 takes three times the middle one", 0.0),
            Input("capacity", "", "entries the store holds; 0 where it is not known", 0.0),
        ),
        "Differences of numbers and of times, in order of number",
        "common practice, no source",
        "common practice, no source",
        (
            "Entries are numbered one after another, and the number was not set back.",
            "A unit that writes only when something happens has long intervals that are no loss.",
        ),
        _log,
        columns=(
            Column("number", "1", "number of each entry"),
            Column("time", "s", "its time on the log's own count of seconds"),
        ),
        cautions=(
            "A log that is whole holds what the device believed, not what reached the patient.",
            "Numbers without a gap do not show that nothing was left out before they were given.",
        ),
        plots=_draw,
    ),
)
