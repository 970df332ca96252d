"""Floor 6: what is asked before a commit. Loads neither records nor rules, so that a commit does not have to wait."""

from asfound.folders import BENCH
from asfound.hooks.told import Lies, Told, ToldBefore
from asfound.hooks.touched import Touched, touched_cases

__all__ = ["BENCH", "Lies", "Told", "ToldBefore", "Touched", "touched_cases"]
