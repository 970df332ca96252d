"""Floor 3½: what a case adds up to before anything is judged. Pure: reads and writes nothing.

From the custody log to one continuous account of each thing; from declarations and histories to how independent the
work was; from times and commits to the order of thought. Rules, drawings and tables ask this one account, so that they
cannot differ.
"""

from asfound.account.considered import Considered, Matter, considered
from asfound.account.independence import Independence, Tie, independence, role_called, ties_of
from asfound.account.lines import STORE, accounted, broken_custody, lines_of, sealed
from asfound.account.report_parts import ReportPart, outside_marked, outside_sheets, report_parts
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
from asfound.account.thought import (
    How,
    Order,
    Taken,
    Thought,
    Turn,
    entered,
    first_result,
    last_result,
    order_of_thought,
    plan_first,
    planned_sheets,
    readings_first,
    weighed_last,
)

__all__ = [
    "STORE",
    "Account",
    "Clash",
    "ClashKind",
    "Considered",
    "Hole",
    "HoleKind",
    "How",
    "Independence",
    "Keeping",
    "Matter",
    "Order",
    "ReportPart",
    "SealBreak",
    "Standing",
    "State",
    "Stretch",
    "Taken",
    "Thought",
    "Tie",
    "Turn",
    "account_of",
    "accounted",
    "accounts",
    "broken_custody",
    "considered",
    "entered",
    "first_result",
    "independence",
    "last_result",
    "lines_of",
    "order_of_thought",
    "outside_marked",
    "outside_sheets",
    "plan_first",
    "planned_sheets",
    "readings_first",
    "report_parts",
    "role_called",
    "sealed",
    "standing",
    "state_at",
    "ties_of",
    "weighed_last",
]
