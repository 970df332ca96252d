"""What a piece of evidence is made of, and which explanations it can speak to.

A finding is taken apart into the tests whose readings it cites and the things that were seen, pictured, recorded or
told. A test speaks only to what its protocol says it reaches, narrowed by the plan; what was looked at speaks for
itself. A picture of a bench belongs to the test it was taken at, and speaks no further than that test.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property

from asfound.account import Account, Independence, accounts, broken_custody, independence
from asfound.model.facts import Facts
from asfound.model.ids import sort_key
from asfound.model.number import ValueKind
from asfound.model.prose import read_prose
from asfound.model.reasoning import Explanation, Need
from asfound.model.testimony import EvidenceKind
from asfound.model.things import ItemRole, Seen
from asfound.model.verdict import SECOND_INSTRUMENT, Result
from asfound.model.weighing import Link
from asfound.model.work import Reading
from asfound.verdicts.second import compared_sheets
from asfound.weigh.intermittent import teller
from asfound.weigh.source import Kind, Source

_ANSWERS_NOTHING = frozenset({ValueKind.BLANK, ValueKind.NOT_MEASURED, ValueKind.NOT_OBTAINABLE})
_PICTURES = frozenset({EvidenceKind.PHOTOGRAPH, EvidenceKind.VIDEO, EvidenceKind.DRAWING})


class Ground:
    """A case and what is held against it, with the lookups that weighing asks for again and again.

    `gone` are records taken away for a strike: they count as if they did not stand in the case.
    """

    def __init__(self, facts: Facts, gone: frozenset[str] = frozenset(), whole: Ground | None = None) -> None:
        self.facts = facts
        self.case = facts.case
        self.gone = gone
        self._whole = whole
        self._sources: dict[str, tuple[Source, ...]] = {}
        self._hangs_on: dict[str, frozenset[str]] = {}
        self._answered: dict[str, bool] = {}
        # What a test can reach is settled by protocol and plan, which no strike takes away.
        self._reach: dict[str, frozenset[str]] = {} if whole is None else whole._reach
        self._flaws: dict[tuple[str, int, str], tuple[Link, ...]] = {}

    @property
    def whole(self) -> Ground:
        """The case with all its records; itself where nothing was taken away."""
        return self if self._whole is None else self._whole

    def without(self, gone: frozenset[str], facts: Facts | None = None) -> Ground:
        """The same case without some records. `facts` are those whose verdicts were computed without them."""
        return Ground(facts or self.facts, gone, self)

    def alive(self, ref: str) -> bool:
        """Whether a record was not taken away, nor the sheet it stands on."""
        if not self.gone or ref in self.gone:
            return not self.gone
        reading = self.case.reading.get(ref) if ref[:1] == "R" else None
        return reading is None or reading.sheet not in self.gone

    def rows(self, sheet: str) -> tuple[Reading, ...]:
        """The readings of a sheet that stand and were not taken away."""
        if sheet in self.gone:
            return ()
        rows = self.case.standing(sheet)
        return tuple(row for row in rows if row.id not in self.gone) if self.gone else rows

    @cached_property
    def accounts(self) -> Mapping[str, Account]:
        """The custody account of each item; empty where a line could not be read, since nothing follows then."""
        if self._whole is not None:
            return self._whole.accounts
        return {} if broken_custody(self.case) else accounts(self.case)

    @cached_property
    def told_intermittent(self) -> str:
        """The account or statement that tells of something that comes and goes; empty where none does."""
        if self._whole is not None and not any(ref[:1] == "W" for ref in self.gone):
            return self._whole.told_intermittent
        return teller(self.case, self.alive)

    def kept(self, key: tuple[str, int, str], compute: Callable[[str], tuple[Link, ...]]) -> tuple[Link, ...]:
        """What is wrong with a piece of evidence, remembered by explanation, need and evidence.

        It is taken from the whole where a strike left the evidence as it was.
        """
        if self._whole is not None and self.untouched(key[2]) and not self._clocks_gone:
            return self._whole.kept(key, compute)
        if key not in self._flaws:
            self._flaws[key] = compute(key[2])
        return self._flaws[key]

    @cached_property
    def _clocks_gone(self) -> bool:
        return any(ref[:1] == "K" for ref in self.gone)

    @cached_property
    def independence(self) -> Independence:
        """Whether who examined has ties, and whether somebody else looked again."""
        return independence(self.case) if self._whole is None else self._whole.independence

    @cached_property
    def exemplars(self) -> frozenset[str]:
        """Things to compare with, which are not those of the event."""
        if self._whole is not None:
            return self._whole.exemplars
        return frozenset(ref for ref, item in self.case.items.items() if item.role is ItemRole.EXEMPLAR)

    @cached_property
    def compared(self) -> Mapping[str, tuple[Result, ...]]:
        """Each sheet that was compared with another instrument's → the comparisons, from either side.

        They are those of the whole case: what contradicts a reading is not answered by being taken away.
        """
        if self._whole is not None:
            return self._whole.compared
        found: dict[str, list[Result]] = {}
        for result in self.facts.results:
            if result.kind == SECOND_INSTRUMENT and result.sheet in self.case.sheets:
                for name in compared_sheets(result, self.case):
                    found.setdefault(name, []).append(result)
        return {name: tuple(results) for name, results in found.items()}

    def beside(self, name: str, comparison: Result) -> str:
        """The other sheet of a comparison."""
        mine, other = compared_sheets(comparison, self.case)
        return mine if mine != name else other

    @cached_property
    def pictures_of(self) -> dict[str, frozenset[str]]:
        """Evidence taken at a test → the planned tests it was taken at. What shows a thing as found is its own."""
        found: dict[str, set[str]] = {}
        for sheet in self.case.sheets.values():
            for ref in sheet.evidence:
                evidence = self.case.evidence.get(ref)
                if evidence is not None and not evidence.as_found:
                    found.setdefault(ref, set()).add(sheet.test)
        return {ref: frozenset(tests) for ref, tests in found.items()}

    def reach(self, planned: str) -> frozenset[str]:
        """The topics a planned test can speak to: the protocol's, narrowed by the plan, never widened."""
        known = self._reach.get(planned)
        if known is None:
            test, chosen = self.facts.protocol_test(planned), self.facts.planned(planned)
            known = frozenset(test.reaches) if test is not None else frozenset()
            if chosen is not None and chosen.reaches is not None:
                known &= frozenset(chosen.reaches)
            self._reach[planned] = known
        return known

    def capable(self, planned: str, ref: str, topics: Iterable[str]) -> bool:
        """Whether a planned test can speak to an explanation.

        Where the explanation names no topic there is only the plan's own word for it: the explanations which, before
        the results were in, it said the test would separate.
        """
        wanted = frozenset(topics)
        if wanted:
            return bool(wanted & self.reach(planned))
        chosen = self.facts.planned(planned)
        return chosen is not None and ref in chosen.separates

    def hears(self, source: Source, ref: str, topics: Iterable[str]) -> bool:
        """Whether a part of a piece of evidence can speak to an explanation.

        What was observed speaks for itself, a test where it reaches, a model to what it models.
        """
        if source.kind is Kind.MODELLED:
            return bool(frozenset(topics) & frozenset(self.facts.working[source.refs[0]].reaches))
        return source.kind is not Kind.TEST or self.capable(source.test, ref, topics)

    def done(self, planned: str) -> bool:
        """Whether a planned test has a reading that says something."""
        return any(self.answered(name) for name, _ in self.case.sheets_of(planned))

    def answered(self, sheet: str) -> bool:
        """Whether a sheet has a reading that says something; looked up once where no single reading was taken away."""
        if sheet in self.gone:
            return False
        if self._whole is not None and not any(ref[:1] == "R" for ref in self.gone):
            return self._whole.answered(sheet)
        if sheet not in self._answered:
            self._answered[sheet] = answers(self.rows(sheet))
        return self._answered[sheet]

    # --- what a record is made of

    def sources(self, ref: str) -> tuple[Source, ...]:
        """What a finding or any other record of evidence is made of; empty for what is no evidence."""
        if ref not in self._sources:
            self._sources[ref] = ()  # a finding that cites itself rests on nothing
            self._sources[ref] = self._gather(ref) if self._whole is None else self._left(self._whole.sources(ref), ref)
        return self._sources[ref]

    def untouched(self, ref: str) -> bool:
        """Whether a strike left a piece of evidence as it was: what is said of it by its sources alone still holds."""
        return self._whole is not None and self.sources(ref) is self._whole.sources(ref)

    def hangs_on(self, ref: str) -> frozenset[str]:
        """A piece of evidence, what it is made of, the sheets of its readings, and those these were compared with.

        Without any, it is not the same.
        """
        found = self._hangs_on.get(ref)
        if found is None:
            cited = [one for source in self.sources(ref) for one in source.refs]
            read = {name for one in cited if (name := self.sheet_of(one))}
            beside = {self.beside(name, one) for name in read for one in self.compared.get(name, ())}
            found = self._hangs_on[ref] = frozenset((ref, *cited, *read, *beside))
        return found

    def _left(self, whole: tuple[Source, ...], ref: str) -> tuple[Source, ...]:
        """What a strike leaves of a record.

        A finding needs a reading of every test it had one of, and one observation if it had any; without, it falls.
        """
        if ref in self.gone:
            return ()
        if self._whole is not None and self.gone.isdisjoint(self._whole.hangs_on(ref)):
            return whole
        left: list[Source] = []
        for source in whole:
            refs = tuple(one for one in source.refs if self.alive(one))
            if source.kind is Kind.MODELLED and len(refs) < len(source.refs):
                return ()  # a model that lacks one of its inputs says nothing
            if source.measured and not any(one[:1] != "E" for one in refs):
                return ()
            if refs:
                left.append(Source(source.kind, source.test, refs, source.items))
        observed = any(not source.measured for source in whole)
        return () if observed and all(source.measured for source in left) else tuple(left)

    def _gather(self, ref: str) -> tuple[Source, ...]:
        finding = self.case.findings.get(ref)
        if finding is None:
            return tuple(self._single(ref))
        if self._lost(finding.rests_on):
            return ()
        cited = [*finding.rests_on]
        cited += [one for one in read_prose(finding.text).refs if one[:1] == "F" and one not in cited]
        tests: dict[str, list[str]] = {}
        items: dict[str, dict[str, None]] = {}
        others: dict[tuple[Kind, tuple[str, ...]], Source] = {}
        for one in cited:
            for source in self.sources(one) if one[:1] == "F" else self._single(one):
                if source.kind is Kind.TEST:
                    tests.setdefault(source.test, []).extend(source.refs)
                    items.setdefault(source.test, {}).update(dict.fromkeys(source.items))
                else:
                    others.setdefault((source.kind, source.refs), source)
        made = [Source(Kind.TEST, name, tuple(dict.fromkeys(refs)), tuple(items[name])) for name, refs in tests.items()]
        return (*made, *others.values())

    def _lost(self, cited: Iterable[str]) -> bool:
        """Whether a finding cites a result that no longer comes out, or for some test nothing but void readings.

        As with a strike, what is left of it does not show the same.
        """
        stands: dict[str, bool] = {}
        for ref in cited:
            if ref[:1] == "Y" and ref not in self.facts.result:
                return True
            reading = self.case.reading.get(ref)
            sheet = self.case.sheets.get(reading.sheet) if reading is not None else None
            if reading is not None and sheet is not None:
                stands[sheet.test] = stands.get(sheet.test, False) or not reading.void
        return not all(stands.values())

    def _single(self, ref: str) -> Iterator[Source]:
        case, letter = self.case, ref[:1]
        if ref in self.facts.working:
            yield from self._modelled(ref)
        elif letter in {"R", "S", "Y"}:
            yield from self._measured(ref)
        elif letter == "P" and self.case.plan is not None:
            for name, _ in case.sheets_of(ref.removeprefix("P-")):
                yield from self._measured(name)
        elif letter == "V":
            row = next((one for one in case.inspection if one.id == ref), None)
            if row is not None and row.seen is not Seen.COULD_NOT:
                yield Source(Kind.SEEN, "", (ref,), (row.item,))
        elif letter == "E":
            yield from self._filed(ref)
        elif letter == "W" and ref in case.statements:
            yield Source(Kind.TOLD, "", (ref,))
        elif letter in {"A", "C", "G", "H", "L", "T", "U"} and case.exists(ref):
            yield Source(Kind.RECORDED, "", (ref,))

    def _modelled(self, ref: str) -> Iterator[Source]:
        """A calculation: by what it models, or, where it models nothing of its own, by what went into it."""
        worked = self.facts.working[ref]
        if not worked.answers:
            return
        parts = [source for one in worked.of if one != worked.ref for source in self._single(one)]
        if not worked.reaches:
            yield from _joined(parts)
            return
        items = tuple(dict.fromkeys(item for part in parts for item in part.items))
        yield Source(Kind.MODELLED, "", (worked.ref, *worked.of), items)

    def inputs(self, source: Source) -> tuple[Source, ...]:
        """What went into a model."""
        return tuple(_joined([part for one in source.refs[1:] for part in self._single(one)]))

    def _measured(self, ref: str) -> Iterator[Source]:
        name = self.sheet_of(ref)
        sheet = self.case.sheets.get(name)
        if sheet is None:
            return
        reading = self.case.reading.get(ref)
        if reading is not None:
            says = not reading.void and answers((reading,))
        else:
            says = ref[:1] == "Y" or self.answered(name)
        if says:
            yield Source(Kind.TEST, sheet.test, (ref,), (sheet.item,))

    def _filed(self, ref: str) -> Iterator[Source]:
        evidence = self.case.evidence.get(ref)
        if evidence is None:
            return
        bound = self.pictures_of.get(ref)
        if bound:
            # A picture of a bench at which nothing was read, or nothing stands any more, shows no outcome.
            for test in sorted(test for test in bound if self.done(test)):
                yield Source(Kind.TEST, test, (ref,), evidence.items)
        elif evidence.kind in _PICTURES:
            yield Source(Kind.PICTURED, "", (ref,), evidence.items)
        elif evidence.kind is EvidenceKind.STATEMENT:
            yield Source(Kind.TOLD, "", (ref,))
        else:
            yield Source(Kind.RECORDED, "", (ref,))

    def sheet_of(self, ref: str) -> str:
        """The sheet of a reading or derived result, or the sheet itself; empty where there is none."""
        if ref in self.case.sheets:
            return ref
        reading = self.case.reading.get(ref)
        if reading is not None:
            return reading.sheet
        result = self.facts.result.get(ref)
        return result.sheet if result is not None else ""


def _joined(parts: Iterable[Source]) -> Iterator[Source]:
    """Parts with one for each test, holding all that is cited of it."""
    tests: dict[str, Source] = {}
    for part in parts:
        if part.kind is not Kind.TEST:
            yield part
            continue
        before = tests.get(part.test, Source(Kind.TEST, part.test, (), ()))
        refs, items = dict.fromkeys((*before.refs, *part.refs)), dict.fromkeys((*before.items, *part.items))
        tests[part.test] = Source(Kind.TEST, part.test, tuple(refs), tuple(items))
    yield from tests.values()


def answers(rows: Iterable[Reading]) -> bool:
    """Whether any row says something: neither blank nor a reason for not measuring."""
    return any(row.value.kind not in _ANSWERS_NOTHING for row in rows)


def topics_of(one: Explanation, need: Need | None = None) -> tuple[str, ...]:
    """What evidence must reach to speak to an explanation, or to one of its needs."""
    if need is not None:
        found = need.topic or one.topic
        return (found,) if found else ()
    every = [one.topic, *(each.topic for each in one.needs)]
    return tuple(dict.fromkeys(topic for topic in every if topic))


def in_order(refs: Iterable[str]) -> tuple[str, ...]:
    """Ids, each once, in the order a person expects."""
    return tuple(sorted(set(refs), key=sort_key))
