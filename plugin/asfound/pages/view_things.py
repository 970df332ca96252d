"""Items, custody, scene, accounts, inspection, evidence: what the templates of those pages ask."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from itertools import groupby

from markupsafe import Markup, escape

from asfound.account import Account, accounts, standing
from asfound.measure import unit, with_unit
from asfound.model.base import told
from asfound.model.ids import sort_key
from asfound.model.testimony import Evidence, Statement, TimelineRow
from asfound.model.things import CustodyLine, InspectionRow, Item, Seen, Setting
from asfound.pages.custody import custody_chart
from asfound.pages.part import Facts, Part, fact
from asfound.pages.pictures import Picture
from asfound.pages.texts import amount, capital, listed, plural, when


class ThingsPart(Part):
    """Parts of the pages about things and testimony."""

    @cached_property
    def items(self) -> list[tuple[str, Item]]:
        """Items in order."""
        return self.by_id(self.case.items)

    def identity(self, item: Item) -> Markup:
        """Model, serial, lot, as far as they are on record."""
        pairs = [("model", item.model), ("serial", item.serial), ("lot", item.lot), ("expiry", item.expiry)]
        said = [f"{name} {told(value)}" for name, value in pairs if value is not None]
        return Markup("<br>").join(escape(one) for one in said) or Markup("not stated")

    def item_facts(self, ref: str, item: Item) -> Facts:
        """What else is on record of an item."""
        found: Facts = []
        for name, value in (
            ("On the tag", item.description),
            ("Software", item.software),
            ("Owner", item.owner),
            ("UDI", item.udi),
            ("Condition on collection", item.condition_on_collection),
            ("Condition on receipt", item.condition_on_receipt),
            ("Seal on receipt", item.seal_on_receipt),
            ("Biohazard", item.biohazard),
            ("Modifications", item.modifications),
            ("Recalls looked for", item.recalls_checked),
        ):
            found += fact(name, value)
        found += self._states(ref, item)
        if item.cleaned is not None:
            why = f"; {self.prose.line(item.cleaned_why)}" if item.cleaned_why else ""
            found += fact("Cleaned", Markup("{}{}").format("yes" if item.cleaned else "no", Markup(why)))
        if item.last_maintenance is not None:
            last = item.last_maintenance
            found += fact("Last maintenance", f"{when(last.on)}, {told(last.by)}: {told(last.result)}")
        for name, text in item.characteristics.items():
            found += fact(capital(name.replace("_", " ")), text)
        for stated in item.stated:
            at = listed([f"{name} {text}" for name, text in stated.when.items()])
            found += fact(f"Stated by the maker, {stated.quantity.replace('-', ' ')}",
                          f"{amount(stated.value)}{f' at {at}' if at else ''} ({stated.source})")  # fmt: skip
        return found

    def _states(self, ref: str, item: Item) -> Facts:
        """When its state changed, until when it is kept, and what became of it."""
        account = self.accounts.get(ref)
        found: Facts = []
        if account is not None:
            of = standing(self.case, account)
            found += fact("First moved", of.moved_at)
            found += fact("Received for examination", of.received_at)
            if of.altered_at is not None:
                found += fact("Altered", Markup("{}, {}").format(when(of.altered_at), self.link(of.altered_by)))
        found += fact("Kept until", item.retain_until or (self.head.retain_until if item.impounded else None))
        end = item.disposition
        if end is not None:
            by = self.texts.role(end.by).lower()
            links = Markup(", ").join(
                Markup("{}: {}").format(party, Markup(" ").join(self.link(one) for one in refs))
                for party, refs in end.releases.items()
            )
            said = Markup("{}, {}, {}").format(end.what, when(end.at), by)
            found += fact("In the end", Markup("{}; released by {}").format(said, links) if links else said)
        return found

    # --- custody

    @property
    def accounts(self) -> Mapping[str, Account]:
        """The account of each thing."""
        return accounts(self.case)

    @cached_property
    def keeping_facts(self) -> Facts:
        """The hold for joint examination, and how each store keeps what is in it."""
        found: Facts = []
        hold = self.head.held
        if hold is not None:
            items = listed(list(hold.items)) or "all items"
            until = f", ended {when(hold.ended_at)}" if hold.ended_at else ", not ended"
            found += fact(
                "Held for joint examination",
                Markup("{} since {}{}: {}").format(items, when(hold.since), until, Markup(self.prose.line(hold.why))),
            )
        for store in self.head.storage:
            parts = [f"temperature {told(store.temperature)}"] if store.temperature is not None else []
            if store.access:
                parts.append(f"opened by {listed([self.texts.role(one) for one in store.access])}")
            parts += [f"on charge: {told(store.charging)}"] if store.charging is not None else []
            found += fact(f"Store: {store.place}", "; ".join(parts) or "not stated")
        return found

    @cached_property
    def custody_words(self) -> str:
        """One sentence over the custody."""
        lines = self.case.custody
        items = {item for line in lines for item in line.items}
        return (
            f"{capital(plural(len(lines), 'line'))} over {plural(len(items), 'item')}. "
            "A store is sealed and locked; between two lines an item stays where the earlier one left it."
        )

    @cached_property
    def custody_figure(self) -> Markup:
        """The bands of custody; empty where the log has no times."""
        chart = self.texts.once(custody_chart, lambda: custody_chart(self.texts))
        return self.draw(chart) if chart else Markup("")

    def holder(self, name: str) -> str:
        """Who held an item: a role, or the sealed store."""
        return "sealed store" if name == "store" else self.texts.role(name)

    def seals(self, line: CustodyLine) -> str:
        """Seals before and after."""
        if not line.seal_before and not line.seal_after:
            return "none"
        return f"{line.seal_before or 'none'} → {line.seal_after or 'none'}"

    def signed(self, line: CustodyLine) -> Markup:
        """Who signed for giving and for receiving; a missing signature in words. A role may hold a comma."""
        ends = []
        for end, signer in (("given", line.signed_out), ("received", line.signed_in)):
            who = escape(self.texts.role(signer)) if signer else Markup('<span class="af-gap">not signed</span>')
            ends.append(Markup("{}: {}").format(end, who))
        return Markup("<br>").join(ends)

    # --- scene

    @cached_property
    def injury_facts(self) -> Facts:
        """What clinicians saw."""
        seen = self.case.injury
        if seen is None:
            return []
        found = fact("First seen", f"{when(seen.first_seen_at)}, {self.texts.role(seen.seen_by).lower()}")
        for number, one in enumerate(seen.lesions, start=1):
            parts = [one.site, *(told(value) for value in (one.shape, one.edge) if value)]
            if one.size:
                parts.append(amount(one.size))
            if one.distance_to_device:
                parts.append(f"distance to the device: {told(one.distance_to_device)}")
            found += fact("Lesion" if len(seen.lesions) == 1 else f"Lesion {number}", "; ".join(parts))
        for name, value in (
            ("Skin before", seen.skin_before),
            ("Depth as charted", seen.depth_as_charted),
            ("Position of the body", seen.body_position),
            ("Time in position", seen.time_in_position),
            ("Solutions used", seen.solutions_used),
            ("Pooling seen", seen.pooling_seen),
            ("Poor blood flow", seen.perfusion_low),
            ("Sensation", seen.sensation),
            ("Drugs that affect skin", seen.drugs_affecting_skin),
        ):
            found += fact(name, value)
        if seen.evidence:
            found += fact("Evidence", Markup(" ").join(self.link(ref) for ref in seen.evidence))
        return found

    @staticmethod
    def setting_unit(one: Setting) -> str:
        """What stands behind the value of a setting: its unit as everywhere else, or as somebody spelt it."""
        known = unit(one.unit) if one.unit else None
        return with_unit("", known) if known else f"\u00a0{one.unit}" if one.unit else ""

    @cached_property
    def scene_facts(self) -> Facts:
        """When the scene was recorded, and what came after."""
        scene = self.case.scene
        if scene is None:
            return []
        found: Facts = []
        if scene.recorded_at is not None:
            found += fact("Recorded", f"{when(scene.recorded_at)}, {self.texts.role(scene.recorded_by).lower()}")
        found += fact("First change of power after it", scene.first_power_change_at)
        found += fact("First move after it", scene.first_move_at)
        return found

    # --- accounts

    def statement_notes(self, one: Statement) -> list[str]:
        """When an account was taken and when the examiner saw it."""
        notes = [f"taken {when(one.taken_at)} by the {self.texts.role(one.taken_by).lower()}"]
        if one.time_quoted:
            notes.append(f"time quoted: {one.time_quoted}")
        if one.opened_to_examiner_at is not None:
            notes.append(f"opened to the examiner {when(one.opened_to_examiner_at)}")
        if one.touched_controls:
            notes.append(f"touched controls: {one.touched_controls}")
        return notes

    @cached_property
    def timeline(self) -> list[TimelineRow]:
        """Events by the time their clock showed."""
        return sorted(self.case.timeline, key=lambda one: (one.at.at, one.id))

    # --- inspection

    @cached_property
    def inspection_words(self) -> str:
        """One sentence over the inspection."""
        rows = self.case.inspection
        if not rows:
            return "No inspection is on record."
        counts = {seen: sum(1 for row in rows if row.seen is seen) for seen in Seen}
        return (
            f"{capital(plural(len(rows), 'place'))} looked at: something found at {counts[Seen.FOUND]}, "
            f"nothing seen at {counts[Seen.NOTHING]}, could not look at {counts[Seen.COULD_NOT]}. "
            "Nothing seen is an answer; an empty line is not."
        )

    @cached_property
    def inspection_by_item(self) -> list[tuple[str, list[InspectionRow]]]:
        """Inspection rows by item, in the order they were written."""
        ordered = sorted(self.case.inspection, key=lambda row: (sort_key(row.item), sort_key(row.id)))
        return [(item, list(rows)) for item, rows in groupby(ordered, key=lambda row: row.item)]

    def inspected_title(self, ref: str) -> str:
        """`I-1, electrosurgical generator`."""
        item = self.case.items.get(ref)
        return f"{ref}, {item.what}" if item else ref

    # --- evidence

    @cached_property
    def evidence(self) -> list[tuple[str, Evidence]]:
        """Every registered file, in order."""
        return self.by_id(self.case.evidence)

    @cached_property
    def pictures(self) -> list[tuple[str, Evidence, Picture]]:
        """Pictures that can be shown."""
        return [(ref, one, self._pictures[ref]) for ref, one in self.evidence if ref in self._pictures]

    @cached_property
    def pictured(self) -> frozenset[str]:
        """Ids whose anchor is the picture."""
        return frozenset(self._pictures)

    def keeper(self, one: Evidence) -> str:
        """Who keeps a file that is not in the repository."""
        kept = one.kept_elsewhere
        return f"{self.texts.role(kept.keeper)}, {kept.place}" if kept else "not stated"

    def size(self, one: Evidence) -> str:
        """How large a file is."""
        known = self.case.files.get(one.file) if one.file else None
        if known is None:
            return self._told_size(one.kept_elsewhere.size) if one.kept_elsewhere else "not in the case folder"
        return _bytes(known.size)

    @staticmethod
    def _told_size(typed: str) -> str:
        """The size of a file kept elsewhere as it was typed; a bare count is one of bytes."""
        count = typed.removesuffix("bytes").strip()
        return _bytes(int(count)) if count.isascii() and count.isdigit() else typed


def _bytes(size: int) -> str:
    """A size of a file as it is read: bytes below a thousand, else kilobytes or megabytes of a thousand."""
    if size < 1000:
        return f"{size} bytes"
    return f"{size / 1e3:.0f}\u00a0kB" if size < 1_000_000 else f"{size / 1e6:.1f}\u00a0MB"
