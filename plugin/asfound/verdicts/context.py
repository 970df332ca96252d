"""What is known at a reading: the conditions of its row, of its sheet, of the item and what was fitted to it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from msgspec import Struct

from asfound.measure.units import OtherQuantityError, Unit, convert, unit
from asfound.model.base import Amount
from asfound.model.number import decimal_of, parted
from asfound.model.things import Item, StatedValue
from asfound.model.work import PreparedSheet, Reading, ReadingSheet

AFFIRMED = frozenset({"yes", "true"})


class Unknown(ValueError):
    """Something a limit asks for is not on record; the message says what, as a clause."""


class Setting(Struct, frozen=True):
    """All that is constant while one sheet is read. Rows add their own conditions."""

    name: str
    sheet: PreparedSheet
    units: Mapping[str, str]
    item: Item | None
    accessories: tuple[Item, ...]

    @classmethod
    def of(cls, name: str, sheet: PreparedSheet, rows: ReadingSheet, items: Mapping[str, Item]) -> Setting:
        """The setting of a sheet."""
        fitted = tuple(items[ref] for ref in sheet.accessories if ref in items)
        return cls(name, sheet, rows.units, items.get(sheet.item), fitted)

    def constant(self, name: str) -> str | None:
        """A condition that does not vary within the sheet: from the sheet, the item, then what was fitted."""
        sheet = self.sheet
        if name in sheet.constants:
            return sheet.constants[name]
        if name == "moment":
            return str(sheet.moment)
        if name == "supply" and sheet.supply is not None:
            return sheet.supply.kind
        for thing in (self.item, *self.accessories):
            if thing is not None and name in thing.characteristics:
                return thing.characteristics[name]
        return None

    def known(self, reading: Reading, name: str) -> str | None:
        """A condition at one reading, as typed; None where it is not on record."""
        text = reading.conditions.get(name)
        if text:
            return text
        return self.constant(name)

    def spoken(self, reading: Reading, name: str) -> str | None:
        """A condition at one reading with the unit its column has: 90 under `setting [W]` is `90 W`."""
        text = reading.conditions.get(name)
        if not text:
            return self.constant(name)
        return _under(text, self.units.get(name, ""))

    def matches(self, reading: Reading, name: str, wanted: str) -> bool:
        """Whether a condition at one reading is the one wanted: the same word, or the same amount in any unit."""
        return same(self.spoken(reading, name), wanted)

    def amount(self, reading: Reading, name: str, to: Unit) -> Decimal:
        """A condition as a number in a unit. Raises Unknown with the reason."""
        text = self.known(reading, name)
        if text is None:
            raise Unknown(f"{words(name)} is not recorded")
        column = self.units.get(name, "") if reading.conditions.get(name) else ""
        return number_in(text, column, to, words(name))

    def stated(self, reading: Reading, test: str) -> StatedValue:
        """The value the maker states for this test at these conditions. Raises Unknown where there is not just one."""
        if self.item is None:
            raise Unknown("the item is not on record")
        found = [
            value
            for value in self.item.stated
            if value.quantity == test
            and all(self.matches(reading, name, wanted) for name, wanted in value.when.items())
        ]
        if not found:
            raise Unknown("no value stated by the maker is on record for these conditions")
        # The most particular one speaks: a value for this mode and load before one for the mode alone.
        most = max(len(value.when) for value in found)
        best = [value for value in found if len(value.when) == most]
        if len({value.value.text for value in best}) > 1:
            raise Unknown("the maker's stated values on record contradict each other for these conditions")
        return best[0]


_NO_NOUNS = frozenset(("at", "by", "for", "from", "on", "to", "with"))


def words(name: str) -> str:
    """`rated_output` → `the rated output`; `from`, which is no noun, stays the name of a column."""
    if name in _NO_NOUNS:
        return f"the entry under “{name}”"
    return "the " + name.replace("_", " ").replace("-", " ")


def not_recorded(names: Collection[str], so: str) -> str:
    """That conditions are not on record, and what hangs on them.

    >>> not_recorded(["mode"], "the limit depends on")
    'the mode is not recorded, and the limit depends on it'
    >>> not_recorded(["from", "rated_output"], "the limits differ by")
    'the entry under “from” and the rated output are not recorded, and the limits differ by them'
    """
    verb, them = ("is", "it") if len(names) == 1 else ("are", "them")
    return f"{' and '.join(map(words, names))} {verb} not recorded, and {so} {them}"


@lru_cache(maxsize=8192)
def number_in(text: str, column_unit: str, to: Unit, what: str) -> Decimal:
    """A number typed with its unit, or under a column with one, in the unit asked for. Raises Unknown."""
    head, tail = parted(text)
    typed = tail or column_unit
    read = decimal_of(head)
    if read is None:
        raise Unknown(f'{what} is recorded as "{text}", which is not a number')
    if not typed:
        raise Unknown(f'{what} is recorded as "{text}", without a unit')
    return _turned(read, typed, to, what)


def _turned(number: Decimal, typed: str, to: Unit, what: str) -> Decimal:
    from_ = unit(typed)
    if from_ is None:
        raise Unknown(f'{what} is recorded in "{typed}", a unit this program does not know')
    try:
        return convert(number, from_, to)
    except OtherQuantityError:
        raise Unknown(f"{what} is recorded in {typed}, which cannot be turned into {to.symbol}") from None


def amount_in(amount: Amount, to: Unit, what: str) -> Decimal:
    """A record's amount in the unit asked for. Raises Unknown.

    Not by way of its text: `1e12` is written `1E+12` by Python, which is what a spreadsheet leaves of a longer number.
    """
    return _turned(amount.value, amount.unit, to, what)


@lru_cache(maxsize=16384)
def same(found: str | None, wanted: str) -> bool:
    """Whether a condition as typed is the one wanted: the same word, or the same amount in whatever unit."""
    if found is None:
        return False
    if found.strip().casefold() == wanted.strip().casefold():
        return True
    one, two = typed_amount(found), typed_amount(wanted)
    if one is None or two is None:
        return False
    if one[1] is None or two[1] is None:
        # A plan or a constant may leave the unit out: 90 beside `90 W` is the same.
        return one[0] == two[0]
    try:
        return convert(one[0], one[1], two[1]) == two[0]
    except OtherQuantityError:
        return False


@lru_cache(maxsize=8192)
def comparable(text: str, column_unit: str) -> str:
    """A condition in a form that is equal for what is `same`: `100` under a column in mL/h, `100 mL/h`, `0.1 L/h`."""
    typed = typed_amount(_under(text, column_unit))
    if typed is None:
        return text.strip().casefold()
    number, known = typed
    # An exact fraction of the coherent unit, so that no conversion can part what is equal.
    if known is None:
        return str(Fraction(number))
    return f"{Fraction(number) * known.factor + known.offset} {known.quantity}"


@lru_cache(maxsize=8192)
def _under(text: str, column: str) -> str:
    """A cell as typed, with the unit of its column where it is a bare number."""
    bare = bool(column) and decimal_of(text.strip()) is not None
    return f"{text.strip()} {column}" if bare else text


def typed_amount(text: str) -> tuple[Decimal, Unit | None] | None:
    """A number as typed and its unit, None where it has none; None for what is no amount in a unit known here."""
    head, tail = parted(text)
    read = decimal_of(head)
    if read is None:
        return None
    if not tail:
        return read, None
    known = unit(tail)
    return None if known is None else (read, known)
