"""Charts of a case: which readings belong on which, and the one sentence each of them says."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from decimal import Decimal

from msgspec import structs

from asfound.figures.kinds import (
    Floor,
    Row,
    Tolerance,
    Window,
    contact_monitor_window,
    deviation,
    leakage_by_condition,
    output_against_setting,
)
from asfound.figures.spec import Axis, Bound, Chart, LineRole, Mark, Point, Series
from asfound.measure import convert, percent_deviation, show_measured, show_number, show_percent, unit, with_unit
from asfound.measure.show import show_condition, show_doubt
from asfound.model.limits import LimitKind, Test
from asfound.model.number import ValueKind, decimal_of
from asfound.model.verdict import Outcome, Verdict
from asfound.model.work import PlannedTest, Reading, Sheet
from asfound.pages.texts import Texts, capital, doubt_in, status_words

_MOMENT = re.compile(r"\d{4}-\d\d-\d\d")
_MANY = 16
"""Rows of a chart from which each is named by no more than tells it apart."""
_BAD = {Outcome.FAIL, Outcome.CONDITIONAL_FAIL}


def charts_of(texts: Texts, planned: str, test: Test) -> tuple[Chart, ...]:
    """The charts of a planned test, one per sheet (and per mode, where a sheet has several)."""
    return texts.once((charts_of, planned), lambda: tuple(_charts(texts, planned, test)))


def _charts(texts: Texts, planned: str, test: Test) -> Iterator[Chart]:
    case = texts.case
    if test.chart == "none" or case.plan is None:
        return
    plan, base = case.plan.tests[planned], planned.partition("--")[0]
    alike = [name for name, sheet in case.sheets.items() if sheet.test.partition("--")[0] == base]
    for name, sheet in sorted(case.sheets_of(planned)):
        rows = case.standing(name)
        if not rows:
            continue
        maker = {"output against setting": _against_setting, "by condition": _by_condition, "trip window": _window}
        for chart in maker[test.chart](texts, name, sheet, plan, test, rows):
            # Whoever listens knows charts of one test apart by their titles alone.
            title = f"{chart.title}, {name}" if len(alike) > 1 else chart.title
            yield structs.replace(
                chart, title=title, note=" ".join([*_marks(chart), *([chart.note] if chart.note else [])])
            )


def _marks(chart: Chart) -> Iterator[str]:
    """What the marks at the readings of a chart mean, of those it bears."""
    points = [point for series in chart.series for point in series.points]
    if any(point.doubt for point in points):
        yield "Bars show the doubt of the reading (k = 2, or more where it was read a few times over)."
    if any(point.bound is not Bound.EXACT for point in points):
        yield "An arrow leads to where the value lies of a reading that is known on one side only."


def known(texts: Texts, sheet: Sheet, reading: Reading, name: str) -> str:
    """A condition at a reading: from its row, else from the sheet."""
    return reading.conditions.get(name) or sheet.constants.get(name) or ""


def _number(text: str) -> Decimal | None:
    return decimal_of(text.strip().partition(" ")[0])


def _value(texts: Texts, reading: Reading, test: Test) -> Decimal | None:
    to, from_ = unit(test.unit), unit(reading.unit)
    if reading.value.number is None or reading.value.kind is ValueKind.COUNT or to is None or from_ is None:
        return None
    return convert(reading.value.number, from_, to) if from_.quantity is to.quantity else None


def _judged(texts: Texts, reading: Reading) -> Verdict | None:
    """The verdict that gives a reading its bounds on a chart: on a limit with numbers, the heaviest first."""
    spoken = [
        verdict
        for verdict in texts.verdicts.get(reading.id, ())
        if verdict.subject == reading.id
        and verdict.limit is not None
        and (verdict.lower is not None or verdict.upper is not None)
        and not _monotonic(texts, verdict)
    ]
    return next(iter(sorted(spoken, key=lambda verdict: (verdict.outcome not in _BAD, verdict.limit is None))), None)


def _monotonic(texts: Texts, verdict: Verdict) -> bool:
    return verdict.limit is not None and texts.core.limits[verdict.limit.id].sense == "monotonic"


def _doubt(texts: Texts, reading: Reading) -> float | None:
    for verdict in texts.verdicts.get(reading.id, ()):
        if (doubt := doubt_in(verdict, reading)) is not None:
            return doubt
    return None


def _point(texts: Texts, reading: Reading, test: Test, x: float, y: float, measured: Decimal, x_text: str) -> Point:
    symbol = unit(test.unit)
    bound = {ValueKind.BELOW: Bound.BELOW, ValueKind.ABOVE: Bound.ABOVE}.get(reading.value.kind, Bound.EXACT)
    # What is known on one side only was not measured: its number is a mark of the instrument and has no doubt to show.
    doubt = _doubt(texts, reading) if bound is Bound.EXACT else None
    return Point(
        x, y, _sign(bound) + show_measured(measured, doubt, symbol).partition("\u00a0\u00b1")[0],
        doubt=doubt, doubt_text=show_doubt(doubt, symbol).lstrip("\u00b1\u00a0") if doubt else "",
        x_text=x_text, ref=reading.id, outcome=texts.outcome(reading.id), excluded=reading.void, bound=bound,
    )  # fmt: skip


def _sign(bound: Bound) -> str:
    return {Bound.BELOW: "<\u00a0", Bound.ABOVE: ">\u00a0"}.get(bound, "")


def _against_setting(
    texts: Texts, name: str, sheet: Sheet, plan: PlannedTest, test: Test, rows: Sequence[Reading]
) -> Iterator[Chart]:
    modes = list(dict.fromkeys(known(texts, sheet, row, "mode") for row in rows))
    for number, mode in enumerate(modes, start=1):
        mine = [row for row in rows if known(texts, sheet, row, "mode") == mode]
        ident = f"chart-{name.removeprefix('S-')}" + (f"-{number}" if len(modes) > 1 else "")
        yield from _one_mode(texts, ident, sheet, plan, test, mine, mode)


def _one_mode(
    texts: Texts, ident: str, sheet: Sheet, plan: PlannedTest, test: Test, rows: Sequence[Reading], mode: str
) -> Iterator[Chart]:
    symbol = unit(test.unit)
    unit_text = symbol.si_text if symbol else test.unit
    series: dict[str, list[Point]] = {}
    strays: dict[str, list[Point]] = {}
    edges: dict[float, tuple[float, float]] = {}
    share: float | None = None
    percent: Decimal | None = None
    used: tuple[float, Decimal, Reading] | None = None
    speaking: Verdict | None = None
    for row in rows:
        setting, y = _number(known(texts, sheet, row, "setting")), _value(texts, row, test)
        if setting is None or y is None:
            continue
        label = ", ".join(
            f"{key.replace('_', ' ')} {row.conditions[key]}" if key == "port" else row.conditions[key]
            for key in row.conditions
            if key not in {"setting", "mode", "load"} and row.conditions[key]
        )
        x_text = f"{show_number(setting)} {texts.case.readings[row.sheet].units.get('setting', '')}".strip()
        series.setdefault(label, []).append(_point(texts, row, test, float(setting), float(y), y, x_text))
        verdict = _judged(texts, row)
        if verdict is not None and verdict.lower is not None and verdict.upper is not None:
            speaking = speaking or verdict
            low, high = float(verdict.lower), float(verdict.upper)
            edges[float(setting)] = (low, high)
            if low + high:
                share = (high - low) / (high + low)
        reference = Decimal(repr(sum(edges[float(setting)]) / 2)) if float(setting) in edges else setting
        stray = percent_deviation(y, reference)
        if stray is not None:
            doubt = _doubt(texts, row)
            point = _point(texts, row, test, float(setting), float(stray), y, x_text)
            if doubt is not None and reference and point.bound is Bound.EXACT:
                relative: float | None = abs(doubt / float(reference)) * 100
            else:
                relative = None
            strays.setdefault(label, []).append(_as_percent(point, stray, relative))
        if used is None and plan.as_used and _as_used(texts, sheet, row, plan):
            used = (float(setting), y, row)
    if not series:
        return
    tolerance, floor, note = None, _floor(texts, sheet, speaking, rows), _note(texts, speaking, test)
    curve: list[tuple[float, float]] = []
    if share is not None and 0 < share < 1:
        percent = Decimal(f"{share * 100:.4g}")
        around = texts.core.limits[speaking.limit.id].around if speaking and speaking.limit else "setting"
        of = "setting" if around == "setting" else "the maker's value"
        tolerance = Tolerance(share, f"\u2212{percent}\u00a0% of {of}", f"+{percent}\u00a0%")
        curve = [(x, (low + high) / 2) for x, (low, high) in sorted(edges.items())]
        if around == "setting":
            curve = [(0.0, 0.0), *curve]
    words = ", ".join(part for part in (mode, _load(sheet)) if part)
    title = f"{test.title}: {words}" if words else test.title
    mark = None if used is None else Mark(used[0], float(used[1]), f"as used: {_plain(used[1], test)}")
    x = Axis("setting" + (f", {words}" if words else ""), texts.case.readings[rows[0].sheet].units.get("setting", ""))
    yield output_against_setting(
        ident, title, _said(texts, rows, "At every setting tried the output", test),
        [Series(label, tuple(points)) for label, points in series.items()],
        x=x, y=Axis(test.told_as, unit_text), note=note, curve=curve, curve_label="setting" if curve else "",
        tolerance=tolerance, floor=floor, as_used=mark,
    )  # fmt: skip
    if strays and percent is not None:
        furthest = max((point for points in strays.values() for point in points), key=lambda point: abs(point.y))
        yield deviation(
            f"{ident}-deviation", f"Deviation from the setting: {words}" if words else "Deviation from the setting",
            f"The furthest reading strays {show_percent(furthest.y, signed=True)}, at {furthest.x_text}.",
            [Series(label, tuple(points)) for label, points in strays.items()],
            x=x, limit=float(percent), lower_label=f"\u2212{percent}\u00a0%", upper_label=f"+{percent}\u00a0%",
            zero_label="no deviation", note=note, floor=floor,
        )  # fmt: skip


def _as_percent(point: Point, stray: Decimal, doubt: float | None) -> Point:
    said = _sign(point.bound) + show_percent(stray, signed=True)
    return structs.replace(
        point, text=said, doubt=doubt, doubt_text="" if doubt is None else show_percent(doubt),
    )  # fmt: skip


def _as_used(texts: Texts, sheet: Sheet, row: Reading, plan: PlannedTest) -> bool:
    return all(
        _same(known(texts, sheet, row, name), value)
        for name, value in plan.as_used.items()
        if known(texts, sheet, row, name)
    )


def _same(one: str, two: str) -> bool:
    if one.casefold() == two.casefold():
        return True
    a, b = _number(one), _number(two)
    return a is not None and a == b


def _floor(texts: Texts, sheet: Sheet, verdict: Verdict | None, rows: Sequence[Reading]) -> Floor | None:
    spoken = [v for row in rows for v in texts.verdicts.get(row.id, ()) if v.limit is not None]
    for one in (verdict, *spoken):
        limit = texts.core.limits.get(one.limit.id) if one is not None and one.limit is not None else None
        item = texts.case.items.get(sheet.item)
        if limit is None or limit.exempt is None or item is None:
            continue
        whole = _number(item.characteristics.get(limit.exempt.of, ""))
        if whole is not None:
            part = whole * limit.exempt.at_or_below_percent / 100
            name = limit.exempt.of.replace("_", " ").removesuffix(" output")
            return Floor(float(part), f"no requirement at or below {limit.exempt.at_or_below_percent} % of {name}")
    return None


def _load(sheet: Sheet) -> str:
    return sheet.constants.get("load", "").replace("ohm", "Ω")


def _plain(value: Decimal, test: Test) -> str:
    return with_unit(show_number(value), unit(test.unit))


def _note(texts: Texts, verdict: Verdict | None, test: Test) -> str:
    parts: list[str] = []
    if verdict is not None and verdict.limit is not None:
        ref = verdict.limit
        clause = f", {ref.clause}" if ref.clause else ""
        parts.append(f"Limit: {ref.document}{clause}, {status_words(ref.status)}.")
    if test.cannot_reach:
        parts.append(capital(test.cannot_reach.rstrip(".")) + ".")
    return " ".join(parts)


def _said(texts: Texts, rows: Sequence[Reading], subject: str, test: Test) -> str:
    """One sentence: where the readings lie with regard to their limits."""
    judged = [verdict for row in rows if (verdict := _judged(texts, row)) is not None]
    bad = [verdict for verdict in judged if verdict.outcome in _BAD]
    open_ = {row.id for row in rows if texts.not_assessable(row.id)}
    if not judged:
        why = "the limit that speaks to it is not assessable" if open_ else "no limit speaks to it"
        how = test.told_as if test.read_from else "as measured"
        return f"{subject} is shown {how}; {why}."
    if bad:
        # One verdict may stand for several readings, of which the worst is judged; a value inside stays inside.
        out = {row.id for row in rows for one in bad if row.id in (one.subject, *one.members) and _outside(row, one)}
        if len(rows) == len(out):
            return f"{'The one reading lies' if len(out) == 1 else f'All {len(out)} readings lie'} outside the limit."
        lies = "lies outside its limit" if len(out) == 1 else "lie outside their limits"
        return f"{len(out)} of {len(rows)} readings {lies}."
    unsure = [verdict for verdict in judged if verdict.outcome is Outcome.CONDITIONAL_PASS]
    left = f"; of {len(open_)} of {len(rows)} readings a limit is not assessable" if open_ else ""
    if unsure:
        by = f"in {len(unsure)} of {len(judged)} readings by less than its doubt"
        return f"{subject} lies within its limits, {by}{left}."
    # A reading that is judged with a worse one of its group has a limit too; one that none speaks to has not.
    spoken = {ref for one in judged for ref in (one.subject, *one.members)}
    without = sum(row.id not in spoken and row.id not in open_ for row in rows)
    if without:
        none = f"to {without} of {len(rows)} readings none speaks"
        return f"{subject} lies within its limits where there are any; {none}{left}."
    return f"{subject} lies within its limits{left}."


def _outside(row: Reading, verdict: Verdict) -> bool:
    from_, to = unit(row.unit), unit(verdict.unit)
    if row.id == verdict.subject or row.value.number is None or from_ is None or to is None:
        return row.id == verdict.subject
    y = convert(row.value.number, from_, to)
    return (verdict.lower is not None and y < verdict.lower) or (verdict.upper is not None and y > verdict.upper)


def _row_name(texts: Texts, name: str, row: Reading, told: Collection[str] | None = None) -> str:
    """The conditions of a row in words, or only those that are `told`."""
    units = texts.case.readings[name].units
    # A moment names no condition, and makes a label long: the row itself holds it.
    given = [(one, text) for one, text in row.conditions.items() if text and not _MOMENT.match(text)]
    said = [show_condition(one, text, units.get(one, "")) for one, text in given if told is None or one in told]
    return ", ".join(said) or f"row {row.row}"


def _telling(texts: Texts, name: str, rows: Sequence[Reading]) -> Collection[str] | None:
    """Of many rows the first conditions that tell them apart: each in full makes a chart higher than its page.

    What the others were stands in the table of readings. None: all are told.
    """
    if len(rows) <= _MANY:
        return None
    kept: list[str] = []
    for one in dict.fromkeys(one for row in rows for one in row.conditions):
        before = len({_row_name(texts, name, row, kept) for row in rows}) if kept else 1
        found = {_row_name(texts, name, row, [*kept, one]) for row in rows}
        if len(found) > before:
            kept.append(one)
        if len(found) == len(rows):
            return kept
    return None


def _by_condition(
    texts: Texts, name: str, sheet: Sheet, plan: PlannedTest, test: Test, rows: Sequence[Reading]
) -> Iterator[Chart]:
    symbol = unit(test.unit)
    unit_text = symbol.si_text if symbol else test.unit
    told = _telling(texts, name, rows)
    made = [_condition_row(texts, row, test, _row_name(texts, name, row, told)) for row in rows]
    judged = next((verdict for row in rows if (verdict := _judged(texts, row)) is not None), None)
    yield leakage_by_condition(
        f"chart-{name.removeprefix('S-')}", test.title, _said(texts, rows, "Every reading", test),
        made, label=test.told_as, unit=unit_text, note=_note(texts, judged, test),
    )  # fmt: skip


def _condition_row(texts: Texts, row: Reading, test: Test, label: str) -> Row:
    y = _value(texts, row, test)
    if y is None:
        words = {ValueKind.NOT_MEASURED: "not measured", ValueKind.NOT_OBTAINABLE: "not obtainable"}.get(
            row.value.kind, row.value.text or "no value"
        )
        return Row(label, words=words, why=row.value.why, ref=row.id)
    verdict = _judged(texts, row)
    point = _point(texts, row, test, float(y), 0.0, y, label)
    edge = None if verdict is None else verdict.lower if verdict.upper is None else verdict.upper
    if verdict is None or edge is None:
        return Row(label, (point,), ref=row.id)
    assert verdict.limit is not None
    role = LineRole.PRACTICE if verdict.limit.kind is LimitKind.COMMON_PRACTICE else LineRole.LIMIT
    return Row(
        label, (point,), ref=row.id, limit=float(edge), limit_text=texts.limit_words(verdict),
        limit_role=role,
    )  # fmt: skip


def _window(
    texts: Texts, name: str, sheet: Sheet, plan: PlannedTest, test: Test, rows: Sequence[Reading]
) -> Iterator[Chart]:
    groups: dict[str, list[Point]] = {}
    window: Window | None = None
    for row in rows:
        y = _value(texts, row, test)
        if y is None:
            continue
        label = _row_name(texts, name, row)
        groups.setdefault(label, []).append(_point(texts, row, test, float(y), 0.0, y, label))
        verdict = _judged(texts, row)
        if window is None and verdict is not None and verdict.lower is not None and verdict.upper is not None:
            assert verdict.limit is not None
            practice = verdict.limit.kind is LimitKind.COMMON_PRACTICE
            said = f"{'common practice' if practice else verdict.limit.document}, {texts.limit_words(verdict)}"
            window = Window(float(verdict.lower), float(verdict.upper), said)
    if not groups:
        return
    result = next((one.text for one in texts.core.results if one.sheet == name and one.kind == "trip window"), "")
    judged = next((verdict for row in rows if (verdict := _judged(texts, row)) is not None), None)
    yield contact_monitor_window(
        f"chart-{name.removeprefix('S-')}", test.title, result or _said(texts, rows, "Every trip value", test),
        [Row(label, tuple(points)) for label, points in groups.items()], window=window, note=_note(texts, judged, test),
    )  # fmt: skip


__all__ = ["charts_of", "known"]
