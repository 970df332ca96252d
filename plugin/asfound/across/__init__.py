"""Floor 4: what cases have in common: one instrument under many conclusions, units that fail alike. Pure."""

from asfound.across.instruments import Touched, touched
from asfound.across.sisters import FAILING, Family, Unit, families

__all__ = ["FAILING", "Family", "Touched", "Unit", "families", "touched"]
