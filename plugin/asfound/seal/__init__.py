"""Floor 5: digests that say whether a case, or the limits it was held against, are the very ones spoken of; signatures
that say who stood by them."""

from asfound.model.layout import canonical, kept_raw, part_of_case
from asfound.seal.approvals import (
    LONGEST,
    ApprovalFile,
    Written,
    name_of,
    next_number,
    number_of,
    read_approval,
    write_approval,
)
from asfound.seal.digests import CASE_DIGEST, LIMITS_DIGEST, case_digest, case_list, limits_digest, sha256_file
from asfound.seal.signers import ENTRIES, Signer, Signers, read_signers
from asfound.seal.ssh import SshFault, program_mark, public_key, public_keys, sign, verify
from asfound.seal.sshsig import Claim, Malformed, PublicKey, read_key, read_signature

__all__ = [
    "CASE_DIGEST",
    "ENTRIES",
    "LIMITS_DIGEST",
    "LONGEST",
    "ApprovalFile",
    "Claim",
    "Malformed",
    "PublicKey",
    "Signer",
    "Signers",
    "SshFault",
    "Written",
    "canonical",
    "case_digest",
    "case_list",
    "kept_raw",
    "limits_digest",
    "name_of",
    "next_number",
    "number_of",
    "part_of_case",
    "program_mark",
    "public_key",
    "public_keys",
    "read_approval",
    "read_key",
    "read_signature",
    "read_signers",
    "sha256_file",
    "sign",
    "verify",
    "write_approval",
]
