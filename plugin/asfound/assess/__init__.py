"""Floor 6: load, check, decide, and freeze the result. The one place where inputs and rules meet."""

from asfound.assess.approvals import statement_for
from asfound.assess.approve import Approving, prepare_approval, sign_approval
from asfound.assess.between import NotCompared, compare_revisions
from asfound.assess.carried import OtherProgram
from asfound.assess.catalogue import catalogue
from asfound.assess.crew import NoScheduler
from asfound.assess.holding import cases_holding
from asfound.assess.issue import Prepared, editions_of, prepare_edition, write_edition
from asfound.assess.many import Faulted, Means, Remembered, assess_cases
from asfound.assess.naming import names_somebody
from asfound.assess.recompute import Recomputed, recompute
from asfound.assess.repository import Repository, find_cases, find_root, open_repository
from asfound.assess.run import Assessment, assess, assess_case
from asfound.assess.set_tag import tag_newest
from asfound.assess.state import State, state_of
from asfound.assess.strike import strike
from asfound.assess.tags import read_tags
from asfound.assess.used import Used, used_by

__all__ = [
    "Approving",
    "Assessment",
    "Faulted",
    "Means",
    "NoScheduler",
    "NotCompared",
    "OtherProgram",
    "Prepared",
    "Recomputed",
    "Remembered",
    "Repository",
    "State",
    "Used",
    "assess",
    "assess_case",
    "assess_cases",
    "cases_holding",
    "catalogue",
    "compare_revisions",
    "editions_of",
    "find_cases",
    "find_root",
    "names_somebody",
    "open_repository",
    "prepare_approval",
    "prepare_edition",
    "read_tags",
    "recompute",
    "sign_approval",
    "state_of",
    "statement_for",
    "strike",
    "tag_newest",
    "used_by",
    "write_edition",
]
