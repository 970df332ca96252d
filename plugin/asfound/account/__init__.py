"""Floor 3½: from the custody log to one continuous account of each thing. Pure: reads and writes nothing.

Every rule about custody, the drawing and the tables ask this one account, so that they cannot differ.
"""

from asfound.account.lines import STORE, accounted, broken_custody, lines_of, sealed
from asfound.account.states import Standing, State, standing, state_at
from asfound.account.stretches import (
    Account,
    Clash,
    ClashKind,
    Hole,
    HoleKind,
    Keeping,
    SealBreak,
    Stretch,
    account_of,
    accounts,
)

__all__ = [
    "STORE",
    "Account",
    "Clash",
    "ClashKind",
    "Hole",
    "HoleKind",
    "Keeping",
    "SealBreak",
    "Standing",
    "State",
    "Stretch",
    "account_of",
    "accounted",
    "accounts",
    "broken_custody",
    "lines_of",
    "sealed",
    "standing",
    "state_at",
]
