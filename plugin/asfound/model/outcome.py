"""The words of a verdict and of the rule that gives it.

By themselves in a module, so that the arithmetic on the floor above can be imported without the records of a case.
"""

from __future__ import annotations

from enum import StrEnum


class Outcome(StrEnum):
    """The words of a verdict."""

    PASS = "pass"
    CONDITIONAL_PASS = "conditional pass"
    CONDITIONAL_FAIL = "conditional fail"
    FAIL = "fail"
    NO_REQUIREMENT = "no requirement"
    NOT_ASSESSABLE = "not assessable"

    @property
    def adverse(self) -> bool:
        """Whether a finding must speak of it."""
        return self in {Outcome.FAIL, Outcome.CONDITIONAL_FAIL, Outcome.CONDITIONAL_PASS}


class DecisionRule(StrEnum):
    """How a reading and its doubt become a verdict; agreed before measuring (ISO/IEC 17025:2017, 7.1.3)."""

    SIMPLE = "simple acceptance"
    GUARD_BAND = "guard band"
