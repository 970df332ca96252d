"""The plan, the order of work, authority and independence: what the template of that page asks."""

from __future__ import annotations

from functools import cached_property

from markupsafe import Markup
from msgspec import Struct

from asfound.account import ReportPart, report_parts
from asfound.model.base import Moment, told
from asfound.model.limits import Test
from asfound.model.prose import quotations
from asfound.model.reasoning import Explanation
from asfound.model.work import DecisionRule, PlannedTest, Tier
from asfound.pages.part import Facts, Part, fact
from asfound.pages.prose import linked
from asfound.pages.texts import capital, listed, plural, when

RULE_WORDS = {
    DecisionRule.SIMPLE: "simple acceptance: a reading is taken as it stands; near a limit as many as half of such "
    "verdicts may be wrong",
    DecisionRule.GUARD_BAND: "guard band: only a reading that is inside by more than its doubt passes plainly",
}


class Done(Struct, frozen=True):
    """A line in the order of work."""

    at: Moment
    ref: str
    what: str
    items: tuple[str, ...]
    by: str
    outcome: str
    refs: tuple[str, ...] = ()
    note: str | None = None
    gate: bool = False
    anchor: bool = False
    alters: str = ""


class WorkPart(Part):
    """Parts of the page about the work."""

    @cached_property
    def plan_words(self) -> str:
        """When the plan was written and by which rule verdicts are given."""
        plan = self.case.plan
        if plan is None:
            return ""
        width = "" if plan.guard_factor == "1" or plan.decision_rule is DecisionRule.SIMPLE else (
            f" The guard band is {plan.guard_factor} of the expanded doubt."
        )  # fmt: skip
        return (
            f"Written {when(plan.written_at)} by the {self.texts.role(plan.written_by).lower()}, before the results: "
            f"{plural(len(plan.tests), 'test')}. Verdicts follow the rule of {RULE_WORDS[plan.decision_rule]}.{width}"
        )

    @cached_property
    def plan_refs(self) -> tuple[str, ...]:
        """Evidence that the plan came first."""
        plan = self.case.plan
        return plan.sealed.evidence if plan and plan.sealed else ()

    @cached_property
    def plan_notes(self) -> list[str]:
        """Seal, protocols, limit sets."""
        plan = self.case.plan
        if plan is None:
            return []
        notes = [f"protocols: {listed([self._protocol(name) for name in plan.protocols])}"]
        notes.append(f"limits: {listed([self._set(name) for name in plan.limit_sets])}")
        if plan.sealed is not None:
            notes.append(f"sealed {when(plan.sealed.at)}: {plan.sealed.how}")
        return notes

    def _protocol(self, name: str) -> str:
        known = self.core.protocols.get(name)
        return known.title if known else name

    def _set(self, name: str) -> str:
        known = self.core.sets.get(name)
        return f"{known.document}, {known.edition}" if known else name

    def test_of(self, name: str) -> Test | None:
        """The protocol's test behind a planned one."""
        base = name.partition("--")[0]
        return next((one.tests[base] for one in self.core.protocols.values() if base in one.tests), None)

    def test_title(self, name: str) -> str:
        """A planned test in words."""
        test = self.test_of(name)
        extra = name.partition("--")[2].replace("-", " ")
        title = test.title if test else name.replace("-", " ")
        return f"{title} ({extra})" if extra else title

    def test_outcome(self, name: str, planned: PlannedTest) -> Markup:
        """What became of a planned test: sheets, or the reason why not."""
        sheets = [ref for ref, _ in self.by_id(dict(self.case.sheets_of(name)))]
        if sheets:
            links = Markup(", ").join(self.link(ref) for ref in sheets)
            return Markup("done: {}").format(links)
        if planned.not_done is not None:
            return Markup('<span class="af-gap">not done: {}</span>').format(linked(told(planned.not_done), self.href))
        return Markup('<span class="af-gap">not done, and not said why</span>')

    @cached_property
    def order(self) -> list[Done]:
        """Gates, altering steps and sheets, by time."""
        found = [
            Done(gate.at, ref, capital(str(gate.gate)), gate.items, gate.by, gate.outcome or "", gate.rests_on,
                 gate.note, gate=True, anchor=True)
            for ref, gate in self.case.gates.gates.items()
        ]  # fmt: skip
        found += [
            Done(step.at, ref, step.what, step.items, step.by, "",
                 step.evidence, step.why, anchor=True,
                 alters="" if step.tier is Tier.NONE else f"alters the evidence: {step.tier}")
            for ref, step in self.case.gates.steps.items()
        ]  # fmt: skip
        found += [
            Done(sheet.from_, ref, self.test_title(sheet.test), (sheet.item, *sheet.accessories), sheet.by,
                 plural(len(self.case.standing(ref)), "reading"), (), None)
            for ref, sheet in self.case.sheets.items()
        ]  # fmt: skip
        return sorted(found, key=lambda one: (one.at.at, not one.gate, one.ref))

    @cached_property
    def authority_facts(self) -> Facts:
        """Who asked, who allowed it, when the examiner first touched anything."""
        head = self.head
        found: Facts = []
        if head.asked is not None:
            found += fact("Asked", f"{self.texts.role(head.asked.by)}, {when(head.asked.at)}, {head.asked.how}")
        if head.authority is not None:
            later = f"; confirmed {when(head.authority.confirmed_at)}" if head.authority.confirmed_at else ""
            said = f"{self.texts.role(head.authority.by)}, {when(head.authority.at)}, {head.authority.how}{later}"
            found += fact("Authority to examine", said)
        found += fact("First touch", head.first_touch)
        found += fact("Jurisdiction", listed(list(head.jurisdiction)))
        return found + fact("Earlier events and recalls", head.earlier_events)

    @cached_property
    def independence_facts(self) -> Facts:
        """Who examined and who reviewed, with which qualification and which tie."""
        head = self.head
        found: Facts = []
        for name, role in (("Examiner", head.examiner), ("Reviewer", head.reviewer)):
            person = head.people.get(role or "")
            if person is not None:
                trained = f"; {told(person.qualification)}" if person.qualification else ""
                found += fact(name, f"{person.title}{trained}")
        if head.declaration is not None:
            made = head.declaration
            ties = listed([tie.replace("_", " ") for tie in made.ties]) or "none"
            more = f" {self.prose.line(made.mitigation)}" if made.mitigation else ""
            said = Markup("Ties declared {}: {}. Paid by {}.{}").format(when(made.at), ties, made.paid_by, Markup(more))
            found += fact("Independence", said)
        return found

    def told_notes(self, text: str) -> tuple[str, ...]:
        """What the margin says beside words that are somebody else's."""
        return ("words in quotation marks are told, not found",) if quotations(text) else ()

    @cached_property
    def report_parts(self) -> tuple[ReportPart, ...]:
        """What a report must carry, and where it stands here."""
        return report_parts(self.case, self.core.organisation)

    @cached_property
    def explanations(self) -> list[tuple[str, Explanation]]:
        """Explanations, those with most against them first: contradictions before support."""
        return sorted(self.by_id(self.case.explanations), key=lambda pair: -len(pair[1].contradicts))

    opinion_cautions = ("fail-is-not-the-cause", "pass-is-not-exoneration", "scope")
