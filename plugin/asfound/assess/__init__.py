"""Floor 6: load, check, decide, and freeze the result. The one place where inputs and rules meet."""

from asfound.assess.catalogue import catalogue
from asfound.assess.repository import Repository, find_cases, find_root, open_repository
from asfound.assess.run import Assessment, assess, assess_case, assess_cases

__all__ = [
    "Assessment",
    "Repository",
    "assess",
    "assess_case",
    "assess_cases",
    "catalogue",
    "find_cases",
    "find_root",
    "open_repository",
]
