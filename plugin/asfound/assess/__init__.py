"""Floor 6: load, check, decide, and freeze the result. The one place where inputs and rules meet.

Here stands what a check needs. What one command does beside (issue, approve, compare, strike out) is taken from its
module, so that no other command loads it.
"""

from asfound.assess.approvals import statement_for
from asfound.assess.carried import OtherProgram
from asfound.assess.catalogue import catalogue
from asfound.assess.crew import NoScheduler
from asfound.assess.many import Faulted, Means, Remembered, assess_cases
from asfound.assess.repository import Repository, open_repository
from asfound.assess.run import Assessment, assess, assess_case
from asfound.assess.tags import read_tags
from asfound.assess.used import Used, used_by
from asfound.folders import find_cases, find_root

__all__ = [
    "Assessment",
    "Faulted",
    "Means",
    "NoScheduler",
    "OtherProgram",
    "Remembered",
    "Repository",
    "Used",
    "assess",
    "assess_case",
    "assess_cases",
    "catalogue",
    "find_cases",
    "find_root",
    "open_repository",
    "read_tags",
    "statement_for",
    "used_by",
]
