"""Words of a case or of an organisation's set are words on the pages of duties, whatever they look like."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

from asfound.assess import assess_case, catalogue, open_repository
from asfound.pages import Options, Register, build_site
from tests.rules.support import CASE, Copy

BAD = "<u onclick='x()'>\"bad\" & </td></script> {{ 7 * 7 }}"
QUOTED = json.dumps(BAD)
"""As YAML takes it."""
SET = f"""\
reporting: ours
title: {QUOTED}
document: {QUOTED}
edition: {QUOTED}
jurisdictions: [United States]
closings:
  - {{day: 2026-03-10, why: {QUOTED}}}
note: plain
duties:
  notice-to-insurer:
    title: {QUOTED}
    owed_by: {QUOTED}
    decided_by: class in duties.yml
    start: the event
    status: confirmed
    clause: {QUOTED}
    clocks:
      {QUOTED}: {{within: {{count: 5, counted_in: work days}}, to: [maker], note: {QUOTED}}}
"""
RECORD = f"""\
D-1:
  duty: notice-to-insurer
  decision: {QUOTED}
  report: yes
  class: {QUOTED}
  reasons: plain
  by: risk-manager
  at: 2026-03-03 09:00 -06:00
  sent_at: 2026-03-19 09:00 -06:00
  to: {QUOTED}
  device_available: {QUOTED}
  codes: {{B01: {QUOTED}}}
"""
NOTICE = f"""\
N-9:
  to: {QUOTED}
  what: plain
  sent_at: 2026-03-04 11:00 -06:00
  urgent: yes
  hold: {{lots: [{QUOTED}], models: [{QUOTED}], items: [I-1], sister_units: [{QUOTED}], until: {QUOTED}}}
"""


def test_no_word_is_ever_markup(tmp_path: Path) -> None:
    last = "  answer: declines to attend\n  answered_at: 2026-03-04 15:00 -06:00\n"
    edits = [
        ("case.yml", "jurisdiction: [none, invented]", "jurisdiction: [United States]"),
        ("notices.yml", last, last + NOTICE),
    ]
    copy = Copy(tmp_path, edits, {"duties.yml": RECORD, ".asfound/reporting/ours.yml": SET})
    shared = open_repository(copy.root)
    assert shared.problems == ()
    made = assess_case(copy.root, copy.root / CASE, dt.date(2026, 3, 20), shared).dossier
    assert made is not None and made.duties.lines and made.duties.problems
    pages = build_site([made], Register(shared.book, catalogue(), "0", reporting=shared.reporting), Options())
    found = {page.uri: page.body for page in pages}
    for uri, least in (("case/base/duties.md", 9), ("reporting.md", 8), ("case/base/index.md", 5)):
        assert found[uri].count("&lt;u onclick=") >= least, uri
    for uri, body in found.items():
        assert "<u onclick" not in body and "</script> {{" not in body and "49" not in body.split("onclick")[-1][:60], (
            uri
        )
