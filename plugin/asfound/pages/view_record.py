"""What the whole record says beside the pages of the case: identity, things considered, what becomes of them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from markupsafe import Markup, escape
from msgspec import Struct

from asfound.account import Considered, Matter, considered
from asfound.measure import show_date, show_digest
from asfound.model.base import told
from asfound.model.things import Item, ItemRole, Seen
from asfound.model.work import GateKind
from asfound.pages.part import Facts, Part, fact
from asfound.pages.prose import linked
from asfound.pages.texts import capital, listed, plural, when
from asfound.pages.view_signatures import SignaturesPart

_SHOWN = 6


class Signatory(Struct, frozen=True):
    """Somebody whose word the report is, and what stands behind it."""

    part: str
    title: str
    qualification: Markup
    organisation: str
    signed: Markup


class Fate(Struct, frozen=True):
    """Where a thing is, how long it stays, and what became of it."""

    ref: str
    what: str
    now: str
    since: str
    until: str
    end: Markup


class RecordPartOfView(SignaturesPart, Part):
    """Parts of the whole record."""

    # --- identity

    @cached_property
    def edition_or_copy(self) -> str:
        """`Edition 2 of 2026-03-19`, or that it is a working copy."""
        return self.state if self.edition is not None else f"Working copy. {self.state}"

    @cached_property
    def identity_facts(self) -> Facts:
        """What tells this report from any other: who made it, for whom, which state, when received, worked, issued."""
        head, report, house = self.head, self.head.report, self.core.organisation
        found = fact("Report", f"Case {self.case.id}") + fact("State", self.edition_or_copy)
        found += fact("Made by", f"{house.organisation}{f', {house.address}' if house.address else ''}")
        if report is not None:
            found += fact("Examined at", report.examined_at) + fact("For", report.customer)
        received = sorted(one.at.at for one in self.case.gates.gates.values() if one.gate is GateKind.RECEIVED)
        if received:
            found += fact(
                "Items received", listed([show_date(day) for day in dict.fromkeys(x.date() for x in received)])
            )
        found += fact("Work done", self._worked_days())
        issued = show_date(self.edition.record.issued_on) if self.edition else "not issued: this is a working copy"
        found += fact("Issued", issued) + fact("Assessed as of", show_date(self.core.on))
        if report is not None:
            found += fact("Authorised by", self.texts.role(report.authorised_by) if report.authorised_by else None)
            found += fact("Deviations from the method", self.prose.line(report.deviations))
            found += fact("Sampling", report.sampling) + fact("Results from outside", report.outside_results)
        found += fact("Confidentiality", head.confidentiality)
        found += fact("SHA-256 of the case", show_digest(self.core.digests.case))
        found += fact("SHA-256 of the limits used", show_digest(self.core.digests.limits))
        return found + fact("Made with", f"asfound {self.dossier.made_with.asfound}".strip())

    def _worked_days(self) -> str:
        days = [moment.at.date() for sheet in self.case.sheets.values() for moment in (sheet.from_, sheet.to)]
        days += [row.at.at.date() for row in self.case.inspection if row.at is not None]
        if not days:
            return ""
        first, last = min(days), max(days)
        return show_date(first) if first == last else f"{show_date(first)} to {show_date(last)}"

    @cached_property
    def running(self) -> tuple[Markup, Markup, Markup]:
        """What runs along the edges of a printed sheet, ready to stand in a string of a style sheet."""
        foot = f"Assessed as of {show_date(self.core.on)}"
        if self.head.confidentiality is not None:
            foot += f". {capital(str(self.head.confidentiality))}"
        digest = f"SHA-256 of the case {show_digest(self.core.digests.case, 16)}"
        return _in_style(f"Case {self.case.id}. {self.state}"), _in_style(digest), _in_style(foot)

    # --- what was not looked at

    @cached_property
    def not_examined(self) -> list[Markup]:
        """What was not examined, and why: things, places, tests, settings."""
        found = [
            Markup("{} {}, not impounded: {}").format(self.link(ref), item.what, self.told(item.why_not_impounded))
            for ref, item in self.by_id(self.case.items)
            if not item.impounded
        ]
        found += [
            Markup("{} {}, could not look: {}").format(self.link(row.id), row.place, row.why or row.what)
            for row in self.case.inspection
            if row.seen is Seen.COULD_NOT
        ]
        if self.case.plan is not None:
            for name, test in self.case.plan.tests.items():
                title = Markup('<a href="{}">{}</a>').format(self.href(f"P-{name}"), self.test_title(name))
                if test.not_done is not None:
                    found.append(Markup("{}, not done: {}").format(title, self.told(test.not_done)))
                for cell, why in test.not_obtainable.items():
                    found.append(
                        Markup("{}, not obtainable at {}: {}").format(
                            title, cell.replace("_", " ").replace("=", " ", 1), why
                        )
                    )
        scene = self.case.scene
        if scene is not None and scene.settings_not_obtainable is not None:
            found.append(Markup("Settings as found: {}").format(self.told(scene.settings_not_obtainable)))
        return [Markup(str(one).rstrip(". ") + ".") for one in found]

    # --- everything considered

    @cached_property
    def _considered(self) -> tuple[Considered, ...]:
        sets = [f"{one.document}, {one.edition}" for one in self.core.sets.values()]
        return considered(self.case, self.core.instruments, sets, self.core.verdicts, self.core.results)

    @cached_property
    def considered(self) -> list[tuple[str, list[tuple[Markup, Markup]]]]:
        """Everything considered, under what it is: the thing, and what relies on it."""
        found = []
        for matter in Matter:
            rows = [(self._considered_as(one), self._relied(one)) for one in self._considered if one.matter is matter]
            if rows:
                found.append((capital(str(matter)), rows))
        return found

    @cached_property
    def considered_words(self) -> str:
        """One sentence over all that was considered."""
        used = sum(1 for one in self._considered if one.used)
        rest = len(self._considered) - used
        said = f"{capital(plural(len(self._considered), 'thing'))} considered; something concluded relies on {used}"
        return f"{said}, and {plural(rest, 'was', 'were')} looked at and bear no finding." if rest else f"{said}."

    def _considered_as(self, one: Considered) -> Markup:
        if not one.ref:
            return Markup(escape(one.what))
        shows = self.case.evidence[one.ref].shows if one.ref in self.case.evidence else ""
        said = self.prose.line(shows) if shows else escape(self.texts.note(one.ref))
        return Markup("{} {}").format(self.link(one.ref), said)

    def _relied(self, one: Considered) -> Markup:
        if one.matter is Matter.STANDARD:
            if one.count:
                return Markup(
                    escape(f"{plural(one.count, 'reading or result', 'readings or results')} held against it")
                )
            return Markup("chosen in the plan; it spoke to no reading")
        answer = Markup(" {}").format(linked(one.said, self.href)) if one.matter is Matter.ASKED else Markup("")
        if one.relied and one.matter is Matter.ASKED:
            return Markup("{} ({})").format(answer, self._some(one.relied))
        if one.matter is Matter.ASKED:
            return answer
        if one.relied:
            return Markup("relied on by {}").format(self._some(one.relied))
        if one.cited_by:
            return Markup("shows {}; no finding relies on it").format(self._some(one.cited_by))
        why = Markup(": {}").format(self.prose.line(one.said)) if one.said else Markup("")
        return Markup("looked at; nothing relies on it{}").format(why)

    def _some(self, refs: Sequence[str]) -> Markup:
        links = [self.link(ref) if self.href(ref) else Markup(_FILES.get(ref, ref)) for ref in refs[:_SHOWN]]
        more = f" and {len(refs) - _SHOWN} more" if len(refs) > _SHOWN else ""
        return Markup("{}{}").format(Markup(", ").join(links), more)

    # --- what becomes of things

    @cached_property
    def fates(self) -> list[Fate]:
        """Every item: where the log leaves it, how long it is kept, what became of it."""
        return [self._fate(ref, item) for ref, item in self.by_id(self.case.items)]

    def _fate(self, ref: str, item: Item) -> Fate:
        account = self.accounts.get(ref)
        last = account.stretches[-1] if account and account.stretches else None
        now, since = "not in custody" if not item.impounded else "no line of custody says", ""
        if last is not None:
            seal = f", seal {last.seal}" if last.seal else ""
            now = f"{self.holder(last.holder) if last.holder else 'nobody known'}, {last.place}{seal}"
            since = f"since {when(last.start)}"
        until = item.retain_until or (self.head.retain_until if item.impounded else None)
        end = item.disposition
        said = Markup("") if end is None else Markup("{}, {}, {}").format(
            end.what, when(end.at), self.texts.role(end.by).lower()
        )  # fmt: skip
        if end is not None and end.releases:
            said += Markup("; released by {}").format(
                Markup(", ").join(
                    Markup("{} ({})").format(party, self._some(refs)) for party, refs in end.releases.items()
                )
            )
        kept = show_date(until) if until else ("not stated" if item.impounded else "")
        return Fate(ref, item.what, now, since, kept, said or Markup("not yet settled" if item.impounded else ""))

    # --- what a report of the event asks for

    @cached_property
    def annex_facts(self) -> list[tuple[str, Facts]]:
        """Facts of the event and of each main device that an authority's form asks for. Nothing about any duty."""
        event, head = self.head.event, self.head
        found = fact("Kind of event", capital(str(event.kind))) + fact("When, as told", event.told_at)
        found += fact("Where", event.where) + fact("First known to the organisation", event.aware_at)
        found += fact("Harmed", capital(str(head.harmed))) + fact("Outcome", head.outcome)
        found += fact("Class of the outcome, as a clinician tells it", head.outcome_class)
        groups = [("The event", found)]
        for ref, item in self.by_id(self.case.items):
            if item.role is ItemRole.MAIN_DEVICE:
                groups.append((f"{ref}, {item.what}", self._device_facts(ref, item)))
        return groups

    def _device_facts(self, ref: str, item: Item) -> Facts:
        found: Facts = []
        for name in ("maker", "model", "serial", "lot", "udi", "software", "expiry"):
            value = getattr(item, name)
            found += fact(capital(name) if name != "udi" else "UDI", told(value) if value is not None else "not stated")
        found += fact("Single use", item.single_use)
        found += fact("Last maintenance", when(item.last_maintenance.on) if item.last_maintenance else "not stated")
        end = item.disposition
        available = "no longer: " + str(end.what) if end and end.what != "kept" else (
            "yes: it is kept" if item.impounded else "no: it was not impounded"
        )  # fmt: skip
        found += fact("There to be evaluated", available)
        with_it = [one for one, other in self.by_id(self.case.items) if other.in_use_at_event and one != ref]
        if with_it:
            found += fact("In use with it", Markup(", ").join(
                Markup("{} {}").format(self.link(one), self.case.items[one].what) for one in with_it))  # fmt: skip
        return found

    # --- who signs

    @cached_property
    def signatories(self) -> list[Signatory]:
        """Examiner and reviewer, each with what qualifies them and what they signed."""
        signed = dict(zip(("examiner", "reviewer"), self.signed_by, strict=False))
        found = []
        for part, role in (("examiner", self.head.examiner), ("reviewer", self.head.reviewer)):
            person = self.head.people.get(role or "")
            gap = Markup('<span class="af-gap">not on record</span>')
            qualified = self.told(person.qualification) if person and person.qualification else gap
            title = person.title if person else "nobody is named"
            at = person.organisation or "" if person else ""
            open_ = Markup("An open case is not signed.")
            found.append(Signatory(part, title, qualified if person else Markup(""), at, signed.get(part, open_)))
        return found

    # --- what stands or falls with the case

    @property
    def worked(self) -> bool:
        """Whether anything was worked out."""
        return bool(self.core.worked)

    @property
    def concluded(self) -> bool:
        """Whether there is an opinion."""
        return self.case.conclusion is not None

    @property
    def next_steps(self) -> bool:
        """Whether the conclusion says what would settle what is open."""
        made = self.case.conclusion
        return made is not None and bool(made.would_settle or made.undetermined)


def _in_style(text: str) -> Markup:
    """A text inside a quoted string of a style sheet: what could end the string or the element is written as a code."""
    return Markup("".join(one if one.isalnum() or one in " .,:-()" else f"\\{ord(one):x} " for one in text))


_FILES = {
    "conclusion.yml": "the conclusion",
    "case.yml": "the case’s head",
    "injury.yml": "what was seen of the injury",
    "plan.yml": "the plan",
    "scene.yml": "the scene",
}
