"""The first page: three front doors in sentences, the claim, what carries it, gaps, coverage."""

from __future__ import annotations

import re
from functools import cached_property

from markupsafe import Markup, escape
from msgspec import structs

from asfound.figures import Chart, figure, still
from asfound.figures.palette import SITE
from asfound.measure.show import show_time
from asfound.model.base import told
from asfound.model.event import Harmed
from asfound.model.ids import sort_key
from asfound.model.limits import Test
from asfound.model.reasoning import Opinion
from asfound.model.things import ItemRole
from asfound.model.work import GateKind
from asfound.pages.charts import charts_of
from asfound.pages.prose import linked
from asfound.pages.texts import capital, listed, plural, when
from asfound.pages.view_duties import DutiesPart, lower
from asfound.pages.view_signatures import SignaturesPart
from asfound.problems import Level, Problem

CUSTODY_RULES = {"custody-gap", "custody-overlap", "seal-mismatch", "reading-while-elsewhere", "custody-line-unsigned"}
ORDER_RULES = {"power-before-inspection", "connected-before-safe", "damaged-and-energised", "gate-before-its-ground"}
_SETTINGS = 3
"""Settings a door has room for; the others are one click away."""
_SHEETS = 3
"""Sheets it has room for."""
_FITTED = frozenset((ItemRole.ACCESSORY, ItemRole.CONSUMABLE, ItemRole.CABLE, ItemRole.BATTERY))
"""What is fitted to a device, or carries what it gives; a cord and a wrapping are not asked for."""
_NOTHING = re.compile(r"(?:nothing|none|no item|not applicable)\b", re.IGNORECASE)
"""How a store says that nothing there is on charge; any other words are told, so that a doubt is never hidden."""
_SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[A-Z])")


def _first_sentence(text: str) -> str:
    return _SENTENCE.split(text.strip(), maxsplit=1)[0]


class FrontPart(SignaturesPart, DutiesPart):
    """Parts of the summary."""

    @cached_property
    def doors(self) -> list[tuple[str, list[Markup]]]:
        """Three short columns: who reads, and the answers that reader asks for first."""
        return [
            ("For whoever manages the risk", self._for_risk()),
            ("For counsel and experts", self._for_counsel()),
            ("For the maker and the regulator", self._for_maker()),
        ]

    def _for_risk(self) -> list[Markup]:
        first = self.risk_lines[0]
        why = self.head.others_at_risk_why
        lines = [first if not why else Markup("{} {}").format(first, self.prose.line(_first_sentence(why)))]
        if self.others_told:
            lines[0] += Markup(' <a href="#others">More</a>.')
        lines += self.due_lines
        warned = [ref for ref, _ in self.warnings_sent]
        if warned:
            links = Markup(", ").join(self.link(ref) for ref in warned[:3])
            lines.append(Markup("Others were warned: {}{}.").format(links, " and more" if len(warned) > 3 else ""))
        if self.head.harmed is not Harmed.NONE:
            severity = f", {self.head.severity} severity" if self.head.severity else ""
            lines.append(Markup("Harmed: {}{}.").format(self.head.harmed, severity))
        lines.append(self._custody_sentence())
        made = self.case.conclusion
        if made is not None:
            said = Markup('<a href="#conclusion">How it happened</a>: <b>{}</b>. Why it came to be so: <b>{}</b>.')
            lines.append(said.format(made.mechanism.level, made.reason.level))
        return lines

    @cached_property
    def others_told(self) -> list[Markup]:
        """What is known of others at risk beyond the sentence of the first door; empty where that says it all."""
        why = self.head.others_at_risk_why or ""
        if not self.warnings_sent and why.strip() == _first_sentence(why):
            return []
        return self.risk_lines

    def _custody_sentence(self) -> Markup:
        if not self.case.custody:
            return Markup('<span class="af-gap">No custody is on record.</span>')
        found = [one for one in self.core.problems if one.rule in CUSTODY_RULES]
        broken = [one for one in found if one.level is Level.REJECT]
        gaps = [one for one in found if one.level is not Level.REJECT]
        at = escape(f"{self.page('items')}#custody" if not self.single else "#custody")
        if broken:
            said = f'Custody is <b class="af-out">broken</b> at {plural(len(broken), "place")}'
        elif gaps:
            said = f"Custody is whole but for {plural(len(gaps), 'accounted gap')}"
        else:
            said = "Custody is whole"
        began = [line.received_at.at for line in self.case.custody if line.received_at is not None]
        since = "" if broken or gaps or not began else f" from {show_time(min(began))} on"
        return Markup(f'<a href="{at}">{said}</a>{since}.')

    def _for_counsel(self) -> list[Markup]:
        lines = [self._independence(), self._order_sentence()]
        heavy = [one for one in self.core.problems if one.level is Level.REJECT]
        warned = [one for one in self.core.problems if one.level is Level.WARN]
        at = escape(f"{self.page('problems')}" if not self.single else "#problems")
        said = []
        if heavy:
            said.append(f'<b class="af-out">{plural(len(heavy), "reject")}</b>')
        if self.case.exceptions:
            said.append(plural(len(self.case.exceptions), "exception"))
        said.append(plural(len([one for one in warned if not one.lifted]), "warning"))
        sentence = listed(said)
        verb = "stands" if not heavy and len(said) == 1 and sentence.startswith("one ") else "stand"
        lines.append(Markup(f'<a href="{at}">{capital(sentence)}</a> {verb} against this case.'))
        weakest = self.weighing.mechanism.weakest if self.weighing is not None else None
        if weakest is not None and self.case.conclusion is not None:
            there = f"{self.page('findings')}#ceiling" if not self.single else "#ceiling"
            lines.append(
                Markup('<a href="{}">Weakest link</a>: {}').format(there, self.link_words(weakest, named_once=True))
            )
        if self.case.conclusion is not None:
            lines += self._carried_sentence(len(self.case.conclusion.carried_by), len(self.case.conclusion.stays_open))
        return lines

    @staticmethod
    def _carried_sentence(carry: int, stay: int) -> list[Markup]:
        """How many facts carry the conclusion and how many points stay open, each a way to them."""
        said = []
        if carry:
            words = capital(plural(carry, "fact"))
            said.append(
                Markup('<a href="#carries">{}</a> {} the conclusion').format(
                    words, "carries" if carry == 1 else "carry"
                )
            )
        if stay:
            words = plural(stay, "point") if carry else capital(plural(stay, "point"))
            said.append(Markup('<a href="#open">{}</a> {} open').format(words, "stays" if stay == 1 else "stay"))
        return [Markup("; ").join(said) + "."] if said else []

    def _independence(self) -> Markup:
        """What the examiner declares, as declared, and what the records show beside it."""
        made, found = self.head.declaration, self.independence
        if made is None or not found.declared:
            said = Markup('<span class="af-gap">The examiner has declared no interest, nor the lack of one.</span>')
        elif made.ties:
            names = listed([tie.replace("_", " ") for tie in made.ties])
            said = Markup('<span class="af-gap">The examiner declares a tie: {}.</span>').format(names)
        else:
            said = Markup(
                "The examiner declares that they neither maintained, set up, used, bought nor sold this equipment, nor "
                "supervise whoever used it."
            )
        for tie in found.ties:
            if not tie.declared:
                said += Markup(' <span class="af-gap">{} shows what is not declared: the examiner {}.</span>').format(
                    self.link(tie.where[0]), linked(tie.found, self.href)
                )
        return said

    def _order_sentence(self) -> Markup:
        gates = len(self.case.gates.gates)
        at = escape(self.page("work") if not self.single else "#order")
        if not gates:
            return Markup('<span class="af-gap">No gate of the work is on record.</span>')
        order = ORDER_RULES | {"impossible-time"}
        gated = (one for one in self.core.problems if one.rule in ORDER_RULES or one.subject in self.case.gates.gates)
        if any(one.rule in order for one in gated):
            broken = '<b class="af-out">the order of work was broken</b>'
            return Markup(f'<a href="{at}">{capital(plural(gates, "gate"))}</a>; {broken}.')
        inspected = any(gate.gate is GateKind.INSPECTED for gate in self.case.gates.gates.values())
        if not inspected or not self.case.sheets:
            return Markup(f'<a href="{at}">{capital(plural(gates, "gate"))}</a> passed in order.')
        # Sheets of tests are what the rule asks: a thing kept on charge in a store has power all the same.
        rest = "; no test energised a thing before it was inspected"
        return Markup(f'<a href="{at}">{capital(plural(gates, "gate"))}</a> passed in order{rest}.') + self._charged()

    def _charged(self) -> Markup:
        """What a store kept on charge, in the words of the case; empty where each says that nothing was."""
        kept = [told(store.charging).strip().rstrip(".") for store in self.head.storage if store.charging is not None]
        said = list(dict.fromkeys(one for one in kept if not _NOTHING.match(one)))
        if not said:
            return Markup("")
        at = f"{self.page('items')}#custody" if not self.single else "#custody"
        return Markup(' <a href="{}">On charge in store</a>: {}.').format(at, "; ".join(said))

    def _for_maker(self) -> list[Markup]:
        lines = []
        for ref, item in self.by_id(self.case.items):
            if item.role is not ItemRole.MAIN_DEVICE:
                continue
            parts = [f"{capital(item.what)}"]
            parts += [
                f"{name} {self._word(value)}"
                for name, value in (("model", item.model), ("software", item.software))
                if value
            ]
            lines.append(Markup("{} {}.").format(self.link(ref), ", ".join(parts)))
        if self.case.scene and self.case.scene.settings:
            settings = [
                f"{one.control} {self._word(one.value)}{self.setting_unit(one)}"
                for one in self.case.scene.settings.values()
            ]
            there = f"{self.page('scene')}#as-found" if not self.single else "#as-found"
            rest = Markup(', <a href="{}">and {} more</a>').format(there, len(settings) - _SETTINGS)
            more = rest if len(settings) > _SETTINGS else Markup("")
            said = "; ".join(settings[:_SETTINGS])
            lines.append(Markup('<a href="{}">As found</a>: {}{}.').format(there, said, more))
        repeated = [name for name, sheet in self.case.sheets.items() if sheet.as_found_settings]
        if repeated:
            # Function first, then by time: the order of a file is not that of a frozen dossier.
            repeated.sort(key=lambda name: (not self._functional(name), self.case.sheets[name].from_.at, name))
            links = Markup(", ").join(self._tried(name) for name in repeated[:_SHEETS])
            way = Markup(' and <a href="{}">{} more</a>').format(self.page("measurements"), len(repeated) - _SHEETS)
            rest = way if not self.single else Markup(" and {} more").format(len(repeated) - _SHEETS)
            more = rest if len(repeated) > _SHEETS else Markup("")
            lines.append(self._tested_line(repeated, links + more))
        if not lines:
            lines.append(Markup('<span class="af-gap">The device is not yet on record.</span>'))
        return lines

    def _tested_line(self, sheets: list[str], links: Markup) -> Markup:
        """What was tested at the settings found, and what of the event was not fitted then: the sheets tell, not a word
        of theirs that speaks for all."""
        used = {ref for ref, item in self.case.items.items() if item.in_use_at_event and item.role in _FITTED}
        fitted = [{self.case.sheets[one].item, *self.case.sheets[one].accessories} for one in sheets]
        if all(used <= some for some in fitted):
            with_all = ", with every accessory that was in use" if used else ""
            return Markup("Tested at the settings found{}: {}.").format(with_all, links)
        never = sorted(used.difference(*fitted), key=sort_key)
        if never:
            named = [Markup("{} ({})").format(self.link(ref), self.case.items[ref].what) for ref in never[:_SHEETS]]
            more = f" and {len(never) - _SHEETS} more" if len(never) > _SHEETS else ""
            told = Markup("In use, and fitted for none of these: {}{}.").format(Markup(", ").join(named), more)
        else:
            told = Markup("Not every one had all accessories fitted that were in use.")
        return Markup("Tested at the settings found: {}. {}").format(links, told)

    def _functional(self, sheet: str) -> bool:
        """Whether a sheet tells of what the thing does, and not of its safety."""
        test = self._test(self.case.sheets[sheet].test)
        return test is not None and test.functional

    def _tried(self, sheet: str) -> Markup:
        """A sheet, and in how many trials it was seen where that one count is all it holds."""
        mine = [one for one in self.core.results if one.sheet == sheet and one.kind == "trials"]
        counts = [one.text.partition(":")[0] for one in mine]
        whole = len(counts) == 1 and len(self.case.standing(sheet)) == 1
        said = Markup(" ({})").format(lower(counts[0])) if whole else Markup("")
        return Markup("{}{}").format(self.link(sheet), said)

    @staticmethod
    def _word(value: object) -> str:
        from asfound.model.base import NotKnown

        return value.words if isinstance(value, NotKnown) else str(value)

    # --- the claim

    def claim(self, opinion: Opinion) -> Markup:
        """The sentence with its level underlined: where the text says the word, there; else after it."""
        html = str(self.prose.line(opinion.text))
        word = re.compile(rf"(?<![\w>/]){re.escape(str(opinion.level))}(?!\w)", re.IGNORECASE)
        if word.search(html):
            return Markup(word.sub(lambda found: f"<em>{found.group(0)}</em>", html, count=1))
        subject = (
            "The mechanism" if self.case.conclusion and opinion is self.case.conclusion.mechanism else "The reason"
        )
        return Markup(f"{html} {subject} is <em>{escape(str(opinion.level))}</em>.")

    @cached_property
    def levels(self) -> tuple[Markup, ...]:
        """What stands beside the claim."""
        made = self.case.conclusion
        if made is None:
            return ()
        return (
            Markup("Mechanism held as {}, reason as {}, by the {}.").format(
                made.mechanism.level, made.reason.level, self.texts.role(made.by).lower()
            ),
        )

    @cached_property
    def first_chart(self) -> Markup:
        """The chart of the test in use at the event: the one that shows a reading at the settings in use."""
        plan = self.case.plan
        if plan is None:
            return Markup("")
        for name, planned in plan.tests.items():
            test = self._test(name)
            if test is None or not planned.as_used:
                continue
            for chart in charts_of(self.texts, name, test):
                if chart.marks:
                    # An id of its own: on the whole record the same chart follows among the measurements.
                    return self.draw(structs.replace(chart, id=f"first-{chart.id}"))
        return Markup("")

    def _test(self, name: str) -> Test | None:
        base = name.partition("--")[0]
        return next((one.tests[base] for one in self.core.protocols.values() if base in one.tests), None)

    def draw(self, chart: Chart) -> Markup:
        """A chart as a figure: enhanced on the site, plain in a page that stands alone."""
        made = figure(chart, self.href) if not self.single else still(chart, self.href, SITE)
        return Markup(made)

    # --- gaps

    @cached_property
    def front_problems(self) -> list[Problem]:
        """Rejects, lifted rejects and warnings, heaviest first."""
        chosen = [one for one in self.core.problems if one.level in {Level.REJECT, Level.WARN}]
        return sorted(chosen, key=lambda one: (one.level.rank, not one.lifted, one.key))

    @cached_property
    def still_needed(self) -> list[Problem]:
        """What an open case still needs."""
        return [one for one in self.core.problems if one.level is Level.NEEDED]

    reading_cautions = ("items-only", "words-of-confidence", "pass-is-not-exoneration", "scope")

    @cached_property
    def problem_words(self) -> str:
        """One sentence over all problems."""
        counts = {level: self.dossier.count(level) for level in Level}
        if not any(counts.values()):
            return "Every rule was asked, and none objects."
        names = (
            (Level.REJECT, "reject"),
            (Level.WARN, "warning"),
            (Level.NEEDED, "thing still needed"),
            (Level.NOTE, "note"),
        )
        said = [
            plural(counts[level], name, "things still needed" if "thing" in name else "")
            for level, name in names
            if counts[level]
        ]
        said_all = f"{capital(listed(said))} came back"
        return f"Every rule was asked. {said_all}. A warning does not stop a report; it is printed in it."

    @cached_property
    def problem_groups(self) -> list[tuple[str, str, list[Problem]]]:
        """Problems by level, heaviest first."""
        titles = {
            Level.REJECT: "Rejects", Level.WARN: "Warnings", Level.NEEDED: "Still needed", Level.NOTE: "Notes",
        }  # fmt: skip
        found = []
        for level, title in titles.items():
            mine = [one for one in self.core.problems if one.level is level]
            if mine:
                found.append((str(level), title, mine))
        return found

    @cached_property
    def event_notes(self) -> list[str]:
        """When and where, beside the account."""
        event = self.head.event
        notes = [
            f"kind of event: {event.kind}",
            event.where,
            when(event.told_at),
            f"time from: {when(event.time_source)}",
        ]
        if event.aware_at is not None:
            notes.append(f"known to the {self.texts.role(event.aware_by).lower()} at {when(event.aware_at)}")
        return notes
