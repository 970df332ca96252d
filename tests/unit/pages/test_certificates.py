"""What the page of measurements says of a certificate that is kept as a file."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

from asfound.assess import assess_case
from asfound.model.dossier import dossier_json, read_dossier
from asfound.pages.build import case_pages
from asfound.pages.page import Options
from tests.rules.support import CASE, ON, Copy, Edit

DATA = b"<an invented certificate/>\n"
DIGEST = hashlib.sha256(DATA).hexdigest()
CERTIFICATE = 'calibrations:\n    - certificate: "C-2025-207"\n'
KEPT: Edit = (
    ".asfound/instruments.yml",
    CERTIFICATE,
    f"""{CERTIFICATE}      file: certificates/C-2025-207.xml
      sha256: {DIGEST}
      covers:
        - {{what: Flow, quantity: volume flow, from: 10.00 mL/h, to: 300.0 mL/h, doubt: 0.60 mL/h, k: "2.05"}}
""",
)


def test_what_it_compared_and_that_it_is_kept_stand_beside_its_number(tmp_path: Path) -> None:
    copy = Copy(tmp_path, [KEPT], {".asfound/certificates/C-2025-207.xml": DATA})
    found = assess_case(copy.root, copy.root / CASE, ON)
    assert found.dossier is not None and found.problems == ()
    # It is frozen with the case, and read back as it was.
    dossier = read_dossier(dossier_json(found.dossier))
    (page,) = [page for page in case_pages(dossier, {}, Options()) if page.uri == "case/base/measurements.md"]
    said = " ".join(re.sub(r"<[^>]+>", " ", page.body).split())
    assert "Flow: 10.00 mL/h to 300.0 mL/h, ± 0.60 mL/h (k = 2.05)" in said
    assert f"kept as a file, SHA-256 {DIGEST[:12]}…" in said
