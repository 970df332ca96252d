"""What the organisation brings: instruments with their certificates, and settings that are ours to choose."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from enum import StrEnum

from pydantic import Field, field_validator

from asfound.model.base import Amount, Count, Day, Number, Record, Refs, Role, Text, Told, YesNo, fault


def _not_below_zero(value: Decimal | Amount | None) -> Decimal | Amount | None:
    """What makes up a doubt has no sign: -2 % of the reading would make it smaller, and a verdict surer, than it is."""
    size = value.value if isinstance(value, Amount) else value
    if size is not None and size < 0:
        text = value.text if isinstance(value, Amount) else value
        raise fault(
            "value-not-a-number", f'found "{text}"', "a number not below 0 is needed", "Write it without a sign."
        )
    return value


def above_zero(value: Decimal) -> Decimal:
    """A doubt is divided by its coverage factor."""
    if value <= 0:
        raise fault("value-not-a-number", f'found "{value}"', "a number above 0 is needed", "Write k as it is stated.")
    return value


def one_at_least(value: Decimal | None) -> Decimal | None:
    """Fewer degrees of freedom than one leave no distribution to take a coverage factor from."""
    if value is not None and value < 1:
        raise fault(
            "value-not-a-number", f'found "{value}"', "a number of degrees of freedom, 1 or more, is needed",
            "Write them as they are stated, or leave them out.",
        )  # fmt: skip
    return value


class Accuracy(Record):
    """Half-width of the maker's or certificate's bounds: percent of reading, plus an amount, plus digits."""

    percent: Number = Decimal(0)
    """Share of the reading, in percent."""
    plus: Amount | None = None
    """What is added to that share, with its unit."""
    digits: Number = Decimal(0)
    """Counts of the last digit."""

    _sizes = field_validator("percent", "plus", "digits")(_not_below_zero)


class Range(Record):
    """One range of one function."""

    from_: Amount = Field(alias="from")
    to: Amount
    resolution: Amount
    accuracy: Accuracy
    """Accuracy as its maker states it."""

    _sizes = field_validator("resolution")(_not_below_zero)


class Function(Record):
    """What an instrument can measure."""

    quantity: Text
    """What it measures."""
    method: Told | None = None
    """How: which measuring device, which test current, which load."""
    ranges: tuple[Range, ...]
    """Its ranges, each with resolution and accuracy."""
    certificate_doubt: Amount | None = None
    """Expanded doubt on the certificate, at k."""
    certificate_k: Number = Decimal(2)
    """Coverage factor of the certificate's doubt."""
    certificate_dof: Number | None = None
    """Effective degrees of freedom that the certificate states for its doubt, 1 or more; where it states none, the
    doubt is held to be known."""

    _sizes = field_validator("certificate_doubt")(_not_below_zero)
    _factor = field_validator("certificate_k")(above_zero)
    _freedom = field_validator("certificate_dof")(one_at_least)


class Covered(Record):
    """Between which values a certificate compared an instrument, and with which doubt."""

    what: Text
    """What the certificate calls it."""
    quantity: Text
    """What was measured, in the words of a function."""
    from_: Amount = Field(alias="from")
    to: Amount
    doubt: Amount
    """The largest expanded doubt between the two, at k."""
    k: Number = Decimal(2)
    """Coverage factor of that doubt."""


class Calibration(Record):
    """One certificate."""

    certificate: Text
    """Number of the certificate."""
    on: Day
    """Day of the calibration."""
    due: Day
    """Last day on which it counts, as the user decided."""
    by: Text
    """The laboratory, in general words."""
    as_found: Told
    """In tolerance or not, when it came to the laboratory."""
    evidence: Refs = ()
    """The certificate itself, where it is among the evidence."""
    covers: tuple[Covered, ...] = ()
    """What the certificate compared."""
    file: Text | None = None
    """The certificate itself, below .asfound/: certificates/LC-26-011.xml."""
    sha256: Text | None = None
    """The digest of that file."""


class LaterCheck(Record):
    """A check after the due date that found the instrument in tolerance, or not."""

    on: Day
    """Day of the check."""
    what: Text
    """What was checked."""
    in_tolerance: YesNo
    """Whether it was in tolerance."""
    certificate: Text | None = None
    """Number of its certificate."""


class Instrument(Record):
    """A measuring instrument; .asfound/instruments.yml, keyed M-..."""

    what: Text
    """What it is."""
    serial: Told
    """Its serial number."""
    firmware: Told | None = None
    """Version of its own program."""
    functions: dict[str, Function]
    """What it measures, by the names that sheets use."""
    calibrations: tuple[Calibration, ...] = ()
    """Its calibrations, each with its certificate."""
    later_checks: tuple[LaterCheck, ...] = ()
    """Checks after it was used: in tolerance, or not."""
    keeper: Role | None = None
    """Who keeps it, by role."""
    note: Text | None = None
    """What else is to be said of it."""

    def next_check(self, day: dt.date) -> LaterCheck | None:
        """The first check from a day on that still speaks of it: none that came after a new calibration.

        A laboratory may have adjusted it then, so that a later check says nothing of the time before. Of two on one
        day the worse counts, whatever their order in the file.
        """
        until = min((one.on for one in self.calibrations if one.on > day), default=dt.date.max)
        found = [one for one in self.later_checks if day <= one.on <= until]
        return min(found, key=lambda one: (one.on, one.in_tolerance), default=None)


class Settings(Record):
    """.asfound/settings.yml: thresholds that are ours; every one is printed in the report."""

    organisation: Text = "The organisation"
    """Name of the organisation, printed on reports."""
    address: Text | None = None
    """Address printed on reports."""
    low_range_share: Number = Decimal("0.10")
    """Share of a range below which a reading needs a stated doubt."""
    resolution_share: Number = Decimal("0.1")
    """Coarsest resolution as a share of the distance to the limit."""
    near_limit_share: Number = Decimal("0.20")
    """How near a limit a reading must carry a doubt."""
    slip_tolerance: Number = Decimal("0.03")
    """How near to a power of ten a ratio must be to ask about a slip."""
    repeats_wanted: Count = 3
    """Repeats asked for where a conclusion rests on a reading."""
    first_custody_hours: Number = Decimal(24)
    """Within how many hours of the event the first line of custody is expected."""
    explanations_wanted: Count = 3
    """How many explanations a case is asked for at the least."""
    drift_seconds_per_day: Number = Decimal(5)
    """The most a clock may gain or lose in a day, where it was compared only once: some 60 parts in a million."""
    reference_seconds: Number = Decimal(1)
    """How far a reference outside the case may be off, either way, where its comparison does not say."""
    told_time_minutes: Number = Decimal(10)
    """Doubt of a time that a person told, either way, where the timeline states none."""
    told_time_least_seconds: Number = Decimal(60)
    """The least doubt a time that a person told can have, whatever the timeline states."""
    two_person_shop: YesNo = False
    """Whether nobody inside can be an independent reviewer."""


class SignerRole(StrEnum):
    """In which role somebody may sign a case."""

    EXAMINER = "examiner"
    REVIEWER = "reviewer"


class Roles(Record):
    """.asfound/roles.yml: which role stands behind an author in git and behind a signer. Names of people stay there."""

    authors: dict[Text, Role] = {}
    """An author in git, by e-mail address or name, and the role that person has in the cases."""
    signers: dict[Text, tuple[SignerRole, ...]] = {}
    """A signer of .asfound/allowed_signers (a pseudonym will do), and in which roles that person may sign."""
