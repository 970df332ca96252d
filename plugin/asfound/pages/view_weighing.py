"""The weighing in words: the grid, why a level is no stronger, and what falls without a record."""

from __future__ import annotations

import re
from functools import cached_property

from markupsafe import Markup, escape
from msgspec import Struct

from asfound.model.ids import sort_key
from asfound.model.reasoning import Status
from asfound.model.weighing import Ceiling, Link, Side, Standing, Strike, Weighing, Weight
from asfound.pages.part import Part
from asfound.pages.prose import named
from asfound.pages.texts import capital, listed, plural

MOST_LOWER = 8
"""Records listed in a sentence; beyond them the page of strikes has them all."""

_STAYS = (
    (Status.SUPPORTED, "supported as well"),
    (Status.UNDETERMINED, "undetermined"),
    (Status.NOT_TESTED, "not tested"),
    (Status.WEAKENED, "weakened and not ruled out"),
    (Status.REFERRED, "for a clinician"),
)
"""What leaves an explanation open, and how the first page says so."""


class GridRow(Struct, frozen=True):
    """One piece of evidence and what it says of each explanation, in words."""

    ref: str
    cells: tuple[str, ...]
    against: int


class CeilingWords(Struct, frozen=True):
    """Why a part of the conclusion is no stronger. `weakest` is empty where nothing holds it down."""

    part: str
    ceiling: Ceiling
    sentence: Markup
    weakest: Markup
    others: tuple[Markup, ...]
    lighter: tuple[Markup, ...]
    raises: tuple[str, ...]
    lowers: Markup


class WeighingPart(Part):
    """Parts of the pages about explanations and conclusion."""

    @property
    def weighing(self) -> Weighing | None:
        """The case, weighed; None for one that was frozen before cases were, or that has no explanation."""
        return self.core.weighing

    @cached_property
    def standings(self) -> tuple[Standing, ...]:
        """Explanations: the fewest contradictions first, then by id; last those of which nothing speaks."""
        if self.weighing is None:
            return ()
        return tuple(
            sorted(
                self.weighing.standings,
                key=lambda one: (one.aside or not one.weights, len(self.refs_on(one, Side.AGAINST)), sort_key(one.ref)),
            )
        )

    @staticmethod
    def refs_on(one: Standing, side: Side) -> tuple[str, ...]:
        """The evidence that stands on one side of an explanation."""
        refs = {each.ref for each in one.weights if each.side is side}
        return tuple(sorted(refs, key=sort_key))

    def against(self, one: Standing) -> tuple[str, ...]:
        """What speaks against it."""
        return self.refs_on(one, Side.AGAINST)

    def pro(self, one: Standing) -> tuple[str, ...]:
        """What speaks for it."""
        return self.refs_on(one, Side.FOR)

    def silent(self, one: Standing) -> tuple[str, ...]:
        """What is listed with it and cannot speak."""
        spoken = {*self.against(one), *self.pro(one)}
        return tuple(ref for ref in self.refs_on(one, Side.CANNOT_SPEAK) if ref not in spoken)

    def status_words(self, one: Standing) -> str:
        """The status that is held, and what the evidence earns where the author wrote otherwise."""
        if one.aside:
            return f"{one.claimed}; set aside as not in play"
        if one.claimed is one.status:
            return str(one.status)
        return f"{one.claimed}, as the author holds it; the evidence earns {one.status}"

    @cached_property
    def grid(self) -> tuple[GridRow, ...]:
        """Evidence against explanations: what contradicts most comes first."""
        refs = {each.ref for one in self.standings for each in one.weights}
        rows = [self._grid_row(ref) for ref in refs]
        return tuple(sorted(rows, key=lambda row: (-row.against, sort_key(row.ref))))

    @cached_property
    def grid_heads(self) -> list[Markup]:
        """The heads of its columns."""
        return [self.link(one.ref) for one in self.standings]

    def _grid_row(self, ref: str) -> GridRow:
        cells = tuple(self._says([each for each in one.weights if each.ref == ref]) for one in self.standings)
        return GridRow(ref, cells, sum(1 for cell in cells if cell.startswith("against")))

    @staticmethod
    def _says(weights: list[Weight]) -> str:
        sides = {each.side for each in weights}
        words = [str(side) for side in (Side.AGAINST, Side.FOR) if side in sides]
        if words:
            answered = all(each.answered for each in weights if each.side is Side.AGAINST) and Side.AGAINST in sides
            return " and ".join(words) + (", answered" if answered else "")
        return str(Side.CANNOT_SPEAK) if sides else ""

    def partly_deaf(self, one: Standing) -> tuple[str, ...]:
        """Sentences on evidence that speaks in part only, or not at all."""
        return tuple(dict.fromkeys(f"{each.ref}: {self._titled(each)}." for each in one.weights if each.why))

    def _titled(self, weight: Weight) -> str:
        """Why it speaks in part only, with tests by their titles."""
        said = weight.why
        for name in sorted({*weight.by, *weight.deaf}, key=len, reverse=True):
            if self.test_of(name) is not None:
                title = self.test_title(name)
                said = re.sub(rf"(?<![\w“-]){re.escape(name)}(?![\w-])", f"“{title}”", said)
        return said

    def sentence_of(self, text: str) -> Markup:
        """A sentence of the weighing with the records it names linked."""
        return named(text, self.href)

    # --- the ceiling

    @cached_property
    def ceilings(self) -> tuple[CeilingWords, ...]:
        """Mechanism and reason, each with its weakest link."""
        if self.weighing is None:
            return ()
        return tuple(self._ceiling(part) for part in ("mechanism", "reason"))

    def _ceiling(self, part: str) -> CeilingWords:
        assert self.weighing is not None
        ceiling = self.weighing.ceiling(part)
        first, *rest = ceiling.links or (None,)
        same = [one for one in rest if one is not None and one.caps is ceiling.level]
        lighter = [one for one in rest if one is not None and one.caps is not ceiling.level]
        return CeilingWords(
            part,
            ceiling,
            self._earned(part, ceiling),
            Markup("") if first is None else self.link_words(first),
            tuple(self.link_words(one) for one in same),
            tuple(self.link_words(one) for one in lighter),
            ceiling.would_raise,
            self._lowers(ceiling),
        )

    def _earned(self, part: str, ceiling: Ceiling) -> Markup:
        made = self.case.conclusion
        held = None if made is None else (made.reason if part == "reason" else made.mechanism).level
        links = Markup(", ").join(self.link(ref) for ref in ceiling.named)
        of = Markup(" It is about {}.").format(links) if ceiling.named else Markup("")
        author = "" if held is None else (
            " The author holds it so." if held is ceiling.level else f" The author holds it as {held}."
        )  # fmt: skip
        return Markup("The evidence earns <b>{}</b>.{}{}").format(ceiling.level, author, of)

    def link_words(self, link: Link, *, named_once: bool = False) -> Markup:
        """A link of the chain as a sentence; records its sentence does not name are added.

        named_once  where it begins with a thing or an explanation, say which: the reader has not met it yet
        """
        missing = [ref for ref in link.refs if ref not in link.text]
        extra = Markup(" ({})").format(Markup(", ").join(self.link(ref) for ref in missing)) if missing else Markup("")
        text = link.text.removesuffix(".")
        said = named(text, self.href)
        if named_once and len(link.refs) == 1 and (what := self._what_is(link.refs[0])):
            said = Markup(str(said).replace("</a>", f"</a> ({escape(what)})", 1))
        return Markup("{}{}.").format(said, extra)

    def _what_is(self, ref: str) -> str:
        """What a thing or an explanation is, in its own words."""
        if ref in self.case.items:
            return self.case.items[ref].what
        one = self.case.explanations.get(ref)
        return f"{one.explanation[:1].lower()}{one.explanation[1:].rstrip('.')}" if one is not None else ""

    def _lowers(self, ceiling: Ceiling) -> Markup:
        refs = ceiling.would_lower
        if not refs:
            return Markup("")
        links = Markup(", ").join(self.link(ref) for ref in refs[:MOST_LOWER])
        more = len(refs) - MOST_LOWER
        return Markup("{} and {} more").format(links, more) if more > 0 else links

    # --- strikes

    @cached_property
    def strikes(self) -> tuple[Strike, ...]:
        """What falls with each record, the most first."""
        return self.weighing.strikes if self.weighing is not None else ()

    def struck(self, strike: Strike) -> Markup:
        """What is taken away, in words."""
        ref = strike.refs[0]
        if ref in self.head.people:
            return Markup("the work of the {}").format(self.texts.role(ref).lower())
        sheet = self.case.sheets.get(ref)
        return Markup("{} {}").format(self.link(ref), self.test_title(sheet.test) if sheet else self.texts.note(ref))

    def levels_fall(self, strike: Strike) -> list[str]:
        """Levels that fall, in words."""
        return [f"{fall.of} from {fall.before} to {fall.after}" for fall in strike.levels]

    def statuses_change(self, strike: Strike) -> list[Markup]:
        """Statuses that are others then, in words."""
        return [
            Markup("{} {} instead of {}").format(self.link(fall.of), fall.after, fall.before)
            for fall in strike.statuses
        ]

    # --- the first page

    @cached_property
    def how_strong(self) -> list[Markup]:
        """What stands in the margin of the claim: how strongly it is held, and why no more strongly."""
        if self.weighing is None or self.case.conclusion is None:
            return []
        made, ceiling = self.case.conclusion, self.weighing.mechanism
        lines = [
            Markup("Held as {} (mechanism) and {} (reason) by the {}.").format(
                made.mechanism.level, made.reason.level, self.texts.role(made.by).lower()
            )
        ]
        at = self.page("findings") if not self.single else ""
        weakest = ceiling.weakest
        if weakest is not None:
            lines.append(Markup('<a href="{}#ceiling">Weakest link</a>: {}').format(at, self.link_words(weakest)))
            lines.append(Markup("Would raise it: {}").format(capital(weakest.would_raise)))
        if self.weighing.rests_most_on:
            there = self.page("without") if not self.single else "#without"
            ref = self.weighing.rests_most_on
            said = Markup('Would lower it: the loss of {}, <a href="{}">on which most rests</a>.')
            lines.append(said.format(self.link(ref), there))
        return lines

    @cached_property
    def stays_sentence(self) -> Markup:
        """What stays open among the explanations, in one sentence."""
        if self.weighing is None:
            return Markup("")
        named_too = {*self.weighing.mechanism.named, *self.weighing.reason.named}
        open_ = [one for one in self.weighing.standings if one.ref not in named_too and not one.aside]
        groups = []
        for status, words in _STAYS:
            refs = [self.link(one.ref) for one in open_ if one.held is status]
            if refs:
                verb = "is" if len(refs) == 1 else "are"
                groups.append(Markup("{} {} {}").format(Markup(", ").join(refs), verb, words))
        if not groups:
            return Markup("")
        said = Markup("; ").join(groups)
        return Markup("Of the {}explanations {}.").format("other " if named_too else "", said)

    @property
    def strike_count(self) -> str:
        """How many records there are with which something falls."""
        return plural(len(self.strikes), "record")

    @staticmethod
    def joined(words: list[str]) -> str:
        """Words as a list in a sentence."""
        return listed(words)
