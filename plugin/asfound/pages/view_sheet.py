"""What is told of a sheet of readings before its table."""

from __future__ import annotations

from markupsafe import Markup

from asfound.measure import show_typed, unit, with_unit
from asfound.model.limits import Test
from asfound.model.work import Sheet
from asfound.pages.part import Facts, Part, fact
from asfound.pages.texts import amount, when

_READ = {
    "mark": "off the mark, not measured; it is held against limits as it stands, without a doubt, and tells how the "
    "thing was marked, not what it bore",
    "record": "from a record, not measured; what it says is no better than what, or who, wrote it",
}
"""What is said of a sheet whose values were read, by where they stand."""


class SheetPart(Part):
    """How a sheet was taken."""

    def sheet_facts(self, sheet: Sheet, test: Test) -> Facts:
        """How, when, by whom and with what a sheet was taken."""
        found = fact("Item", Markup("{} {}").format(self.link(sheet.item), self.texts.note(sheet.item)))
        if sheet.accessories:
            fitted = Markup(", ").join(
                Markup("{} {}").format(self.link(ref), self.texts.note(ref)) for ref in sheet.accessories
            )
            found += fact("Fitted", fitted)
        used = (self.link(sheet.instrument), self.texts.note(sheet.instrument), sheet.function)
        found += fact("Instrument", Markup("{} {}, {}").format(*used))
        found += fact("Taken", f"{when(sheet.from_)} to {when(sheet.to)}, {self.texts.role(sheet.by).lower()}")
        if sheet.second_reader not in (None, sheet.by):
            found += fact("Second reader", f"{self.texts.role(sheet.second_reader).lower()}, apart, and found the same")
        if test.read_from in _READ:
            found += fact("Read", _READ[test.read_from])
        if sheet.provider is not None:
            found += fact("From outside", f"taken by an external provider: {sheet.provider}")
        if sheet.constants:
            said = [f"{name.replace('_', ' ')}: {_spaced(text)}" for name, text in sheet.constants.items()]
            found += fact("The same in every row", "; ".join(said))
        if sheet.supply is not None:
            parts = [sheet.supply.kind, *(amount(one) for one in (sheet.supply.voltage, sheet.supply.frequency) if one)]
            if sheet.supply.nominal:
                parts.append(f"nominal {amount(sheet.supply.nominal)}")
            found += fact("Supply", ", ".join(parts))
        if sheet.climate is not None:
            parts = [
                amount(one)
                for one in (sheet.climate.temperature, sheet.climate.humidity, sheet.climate.pressure)
                if one
            ]
            found += fact("Climate", ", ".join(parts))
        for check in sheet.checks:
            values = ""
            if check.reference is not None and check.reading is not None:
                values = f": {amount(check.reading)} against {amount(check.reference)}"
            found += fact(
                "Bench checked", f"{when(check.at)}, {check.what}{values}, {'in order' if check.ok else 'not in order'}"
            )
        if sheet.as_found_settings:
            found += fact("As found", "taken at the as-found settings with the as-found accessories")
        if sheet.repeats_of:
            found += fact("Repeats", self.link(sheet.repeats_of))
        if sheet.evidence:
            found += fact("Evidence", Markup(" ").join(self.link(one) for one in sheet.evidence))
        return found


def _spaced(text: str) -> str:
    """An amount typed in a condition, as print; other words as they are."""
    head, _, tail = text.partition(" ")
    known = unit(tail) if tail else None
    return with_unit(show_typed(head), known) if known and numeric(head) else text


def numeric(text: str) -> bool:
    """Whether a condition is a plain number."""
    return bool(text) and text.replace(".", "", 1).replace("-", "", 1).isdigit()
