"""A dossier's records in words: values with their doubt, and what a margin note says of each record."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from functools import cached_property
from typing import Any, TypeVar

from asfound.figures.parts import PASS_AND_OPEN
from asfound.measure import (
    show_chance,
    show_date,
    show_limit,
    show_measured,
    show_time,
    show_typed,
    show_value,
    unit,
    with_unit,
)
from asfound.model.base import Amount, Moment, NotKnown, told
from asfound.model.dossier import Dossier
from asfound.model.ids import kind_of
from asfound.model.limits import SourceStatus
from asfound.model.number import ValueKind
from asfound.model.prose import read_prose
from asfound.model.verdict import Outcome, Verdict
from asfound.model.work import Reading

_WEIGHT = {
    Outcome.FAIL: 0,
    Outcome.CONDITIONAL_FAIL: 1,
    Outcome.CONDITIONAL_PASS: 2,
    Outcome.NOT_ASSESSABLE: 3,
    Outcome.PASS: 4,
    Outcome.NO_REQUIREMENT: 5,
}
_Made = TypeVar("_Made")


class Texts:
    """Words for the records of one dossier; computed once, used by every page."""

    def __init__(self, dossier: Dossier) -> None:
        self.dossier = dossier
        self.core = dossier.core
        self.case = dossier.core.case
        self._made: dict[Hashable, Any] = {}
        self._measured: dict[str, str] = {}

    def once(self, name: Hashable, make: Callable[[], _Made]) -> _Made:
        """What is the same on whichever page of the case it is shown, made where it is first asked for."""
        if name not in self._made:
            self._made[name] = make()
        made: _Made = self._made[name]
        return made

    @cached_property
    def verdicts(self) -> dict[str, tuple[Verdict, ...]]:
        """Verdicts by the record they speak of: a reading, or a derived result."""
        found: dict[str, list[Verdict]] = {}
        for verdict in self.core.verdicts:
            for ref in dict.fromkeys((verdict.subject, *verdict.members)):
                found.setdefault(ref, []).append(verdict)
        return {ref: tuple(verdicts) for ref, verdicts in found.items()}

    @cached_property
    def results(self) -> dict[str, object]:
        """Derived results by id."""
        return {result.id: result for result in self.core.results}

    @cached_property
    def worked(self) -> dict[str, str]:
        """Figures of what was worked out, by the ids of their results."""
        return {answer.id: answer.text for one in self.core.worked for answer in one.answers}

    def worst(self, ref: str) -> Verdict | None:
        """The heaviest verdict on a record that rests on a limit; None where none does."""
        spoken = [verdict for verdict in self.verdicts.get(ref, ()) if verdict.limit is not None]
        return min(spoken, key=lambda verdict: _WEIGHT[verdict.outcome], default=None)

    def outcome(self, ref: str) -> str:
        """What the verdicts on a record come to, in words; empty where no limit speaks to it.

        That one limit is not assessable does not hide that another was met, nor the other way round.
        """
        worst = self.worst(ref)
        if worst is None:
            return ""
        met = any(one.limit is not None and one.outcome is Outcome.PASS for one in self.verdicts[ref])
        return PASS_AND_OPEN if met and worst.outcome is Outcome.NOT_ASSESSABLE else str(worst.outcome)

    def not_assessable(self, ref: str) -> bool:
        """Whether a limit speaks to a record that cannot be held against it."""
        spoken = self.verdicts.get(ref, ())
        return any(one.limit is not None and one.outcome is Outcome.NOT_ASSESSABLE for one in spoken)

    def role(self, name: str | None) -> str:
        """A person, by what the role is called."""
        if not name:
            return "not stated"
        person = self.case.head.people.get(name)
        return person.title if person else name.replace("-", " ")

    def value(self, ref: str) -> str:
        """Value and unit of a reading or a result, as prose prints it."""
        reading = self.case.reading.get(ref)
        if reading is not None:
            return show_value(reading.value, unit(reading.unit))
        result = next((one for one in self.core.results if one.id == ref), None)
        if result is None:
            return ref
        if ref in self.worked:
            return self.worked[ref]
        if result.value is None:
            return result.text
        symbol = unit(result.unit) if result.unit != "1" else None
        # What is cited must not end in digits its doubt takes back.
        return show_measured(result.value, result.doubt or None, symbol, computed=True)

    def plain(self, text: str) -> str:
        """Prose as plain words, its values printed and its citations left out."""
        said = [
            self.value(node.text) if node.kind == "value" else node.text
            for node in read_prose(text).walk()
            if node.kind in {"text", "mono", "code", "value"}
        ]
        return " ".join("".join(said).split())

    def measured(self, reading: Reading) -> str:
        """A reading with its doubt: `88.4 W ± 3.8 W`."""
        known = self._measured.get(reading.id)
        if known is None:
            known = self._measured[reading.id] = self._with_doubt(reading)
        return known

    def _with_doubt(self, reading: Reading) -> str:
        symbol = unit(reading.unit)
        for verdict in self.verdicts.get(reading.id, ()):
            if reading.value.kind is not ValueKind.NUMBER or _scaled(verdict):
                continue
            doubt = doubt_in(verdict, reading)
            value = verdict.value if verdict.subject == reading.id else reading.value.number
            # What is counted whole has a doubt of nought, and is printed as it was counted.
            if doubt and value is not None:
                return show_measured(value, doubt, unit(verdict.unit))
        return show_value(reading.value, symbol)

    def limit_words(self, verdict: Verdict) -> str:
        """The bounds compared with: `at most 500 µA`."""
        return show_limit(verdict.lower, verdict.upper, unit(verdict.unit), verdict.strict, verdict.strict)

    def authority(self, verdict: Verdict) -> str:
        """`IEC 62353:2014, 5.3.2.2; from memory, not confirmed by this organisation`."""
        ref = verdict.limit
        if ref is None:
            return ""
        parts = [ref.document, ref.clause] if ref.clause else [ref.document]
        said = ", ".join(parts)
        if ref.status is not SourceStatus.CONFIRMED:
            said += f"; {status_words(ref.status)}"
        return said

    def chance(self, verdict: Verdict) -> str:
        """The chance that the true value meets the limit."""
        return show_chance(verdict.chance)

    def note(self, ref: str) -> str:
        """What a margin note says of a record, after its id."""
        record = self.case.records.get(ref)
        letter = ref[:1]
        if letter == "R" and isinstance(record, Reading):
            return self._reading_note(record)
        if letter == "Y":
            return next((one.text for one in self.core.results if one.id == ref), "derived result")
        if letter == "M":
            instrument = self.core.instruments.get(ref)
            return instrument.what if instrument else "instrument"
        if record is None:
            return kind_of(ref)
        say = getattr(self, f"_note_{letter}", None)
        return say(record) if say else kind_of(ref)

    def _reading_note(self, reading: Reading) -> str:
        parts = [self.measured(reading)]
        if reading.value.kind is ValueKind.COUNT:
            parts += [
                f"{name} {said}"
                for one in self.core.results
                if one.kind == "trials" and reading.id in one.of
                for name, said in one.numbers
            ]
        outcome = self.outcome(reading.id)
        if outcome:
            parts.append(outcome)
        sheet = self.case.sheets.get(reading.sheet)
        if sheet is not None:
            parts.append(sheet.instrument)
        if reading.void:
            parts.append("void")
        return ", ".join(parts)

    def _note_Z(self, record: object) -> str:  # noqa: N802
        return str(getattr(record, "asks", "calculation"))

    def _note_E(self, record: object) -> str:  # noqa: N802
        taken = getattr(record, "taken_at", None)
        kind = str(getattr(record, "kind", "evidence"))
        return f"{kind}, {when(taken)}" if taken else kind

    def _note_V(self, record: object) -> str:  # noqa: N802
        seen = str(getattr(record, "seen", ""))
        return f"{getattr(record, 'place', '')}: {getattr(record, 'what', '') or seen}"

    def _note_I(self, record: object) -> str:  # noqa: N802
        return str(getattr(record, "what", "item"))

    def _note_W(self, record: object) -> str:  # noqa: N802
        return f"account of the {self.role(getattr(record, 'by', None)).lower()}"

    def _note_X(self, record: object) -> str:  # noqa: N802
        return f"{str(getattr(record, 'explanation', '')).rstrip('.')}: {getattr(record, 'status', '')}"

    def _note_C(self, record: object) -> str:  # noqa: N802
        return f"custody, {getattr(record, 'kind', '')}"

    def _note_G(self, record: object) -> str:  # noqa: N802
        return f"{getattr(record, 'gate', '')}, {when(getattr(record, 'at', None))}"

    def _note_T(self, record: object) -> str:  # noqa: N802
        return str(getattr(record, "event", "event"))

    def _note_A(self, record: object) -> str:  # noqa: N802
        value = told(getattr(record, "value", None))
        return f"{getattr(record, 'control', 'setting')}: {value} {getattr(record, 'unit', None) or ''}".strip()

    def _note_K(self, record: object) -> str:  # noqa: N802
        return str(getattr(record, "what", "clock"))

    def _note_H(self, record: object) -> str:  # noqa: N802
        return str(getattr(record, "kind", "service history"))


def doubt_in(verdict: Verdict, reading: Reading) -> float | None:
    """The expanded doubt a verdict holds of a reading, in its unit; None where it holds none."""
    if verdict.subject == reading.id:
        return verdict.doubt
    typed = unit(reading.unit)
    # Judged with another, a reading stands as it was typed.
    return dict(verdict.beside).get(reading.id) if typed is not None and typed.symbol == verdict.unit else None


def _scaled(verdict: Verdict) -> bool:
    return any(step.startswith("scaled") for step in verdict.steps)


def status_words(status: SourceStatus) -> str:
    """How well a source was read, in words a reader can weigh."""
    return {
        SourceStatus.CONFIRMED: "confirmed",
        SourceStatus.SECONDARY: "from a secondary source",
        SourceStatus.FROM_MEMORY: "from memory, not yet confirmed by this organisation",
        SourceStatus.COMMON_PRACTICE: "common practice, no source",
    }[status]


def when(value: object) -> str:
    """A moment, a day, or the reason why there is none."""
    import datetime as dt

    if isinstance(value, Moment):
        return show_time(value.at)
    if isinstance(value, dt.date):
        return show_date(value)
    if isinstance(value, NotKnown):
        return value.words
    return "not stated" if value is None else str(value)


def amount(value: Amount | None) -> str:
    """An amount as printed."""
    return "not stated" if value is None else with_unit(show_typed(str(value.value)), unit(value.unit))


def plural(count: int, one: str, many: str = "") -> str:
    """`one exception`, `two warnings`, `14 readings`: small numbers in words."""
    names = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
    said = names[count] if count < len(names) else str(count)
    return f"{said} {one if count == 1 else many or one + 's'}"


def capital(text: str) -> str:
    """The first letter raised, the rest left alone."""
    return text[:1].upper() + text[1:]


def listed(words: Sequence[str], join: str = "and") -> str:
    """`a, b and c`."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {join} {words[-1]}"
