"""Floor 6: load, check, decide, and freeze the result. The one place where inputs and rules meet."""

from asfound.assess.approvals import statement_for
from asfound.assess.approve import Approving, prepare_approval, sign_approval
from asfound.assess.catalogue import catalogue
from asfound.assess.holding import cases_holding
from asfound.assess.issue import Prepared, editions_of, prepare_edition, write_edition
from asfound.assess.repository import Repository, find_cases, find_root, open_repository
from asfound.assess.run import Assessment, assess, assess_case, assess_cases
from asfound.assess.set_tag import tag_newest

__all__ = [
    "Approving",
    "Assessment",
    "Prepared",
    "Repository",
    "assess",
    "assess_case",
    "assess_cases",
    "cases_holding",
    "catalogue",
    "editions_of",
    "find_cases",
    "find_root",
    "open_repository",
    "prepare_approval",
    "prepare_edition",
    "sign_approval",
    "statement_for",
    "tag_newest",
    "write_edition",
]
