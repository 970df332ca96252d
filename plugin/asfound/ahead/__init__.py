"""Floor 4: what to do next in a case, and why, in the order of the work. Pure: a dossier in, steps out."""

from asfound.ahead.phases import Phase, phase_of
from asfound.ahead.steps import Step, ahead

__all__ = ["Phase", "Step", "ahead", "phase_of"]
