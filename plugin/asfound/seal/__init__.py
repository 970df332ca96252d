"""Floor 5: digests that say whether a case, or the limits it was held against, are the very ones spoken of."""

from asfound.model.layout import canonical, kept_raw, part_of_case
from asfound.seal.digests import CASE_DIGEST, LIMITS_DIGEST, case_digest, case_list, limits_digest, sha256_file

__all__ = [
    "CASE_DIGEST",
    "LIMITS_DIGEST",
    "canonical",
    "case_digest",
    "case_list",
    "kept_raw",
    "limits_digest",
    "part_of_case",
    "sha256_file",
]
