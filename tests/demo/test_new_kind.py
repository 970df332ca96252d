"""A kind of device the package knows nothing of, added as files of an organisation: the guide's *A protocol, or a
limit*, done. A whole check and its verdicts follow, and nothing in the package is touched.

The device, its requirement and every figure are invented.
"""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from asfound.assess import Assessment, assess_cases
from asfound.problems import Level

PROTOCOL = """\
protocol: foot-suction
title: Suction unit worked by foot
device_kinds: [foot-suction]
order: [suction-vacuum]
checklist:
  jar:
    look: The jar, its lid and its float, for cracks and for what was drawn in
    why: A cracked lid draws air instead.
topics:
  vacuum: {title: The vacuum the unit can draw}
tests:
  suction-vacuum:
    title: Vacuum with the way closed
    quantity: pressure
    unit: kPa
    purpose: To see what vacuum the unit reaches.
    energised: no
    connects: nothing
    alters: none
    conditions:
      jar: {title: Jar, values: [fitted, by-passed, spare]}
    coverage: [jar]
    reaches: [vacuum]
    cannot_reach: A pass says nothing of the flow through a tube that is half blocked.
"""
LIMITS = """\
set: foot-suction-limits
title: Requirement for a suction unit worked by foot
document: Invented sheet of requirements for a suction unit
edition: "2026"
jurisdiction: none, invented
limits:
  vacuum:
    title: Vacuum with the way closed
    test: suction-vacuum
    quantity: pressure
    sense: at least
    bound: {kind: fixed, value: 40 kPa}
    clause: "1"
    kind: in-service limit
    status: from memory
"""
INSTRUMENTS = """\
M-1:
  what: Gauge of vacuum
  serial: "77"
  keeper: examiner
  functions:
    vacuum:
      quantity: pressure
      method: at the port of the patient, closed
      ranges:
        - from: 0 kPa
          to: 100 kPa
          resolution: 0.1 kPa
          accuracy: {percent: "1", plus: 0.2 kPa, digits: "0"}
  calibrations:
    - certificate: "V-1"
      on: 2026-01-10
      due: 2027-01-10
      by: an accredited laboratory
      as_found: in tolerance
"""
CASE = {
    "case.yml": """\
case: no-suction
title: A suction unit that drew nothing
stage: open
device_kind: foot-suction
event:
  kind: no therapy
  told_at: 2026-05-04 10:20 +02:00
  time_source: the wall clock of the room, read by the nurse
  where: day surgery, room 2
  account: The nurse reports that the unit drew nothing.
harmed: none
people:
  examiner:
    title: examining technician
    organisation: the examiner's laboratory
""",
    "items.yml": """\
I-1:
  what: Suction unit worked by foot
  role: main device
  in_use_at_event: yes
  impounded: yes
  serial: "12"
  owner: the hospital
""",
    "plan.yml": """\
written_at: 2026-05-04 12:00 +02:00
written_by: examiner
protocols: [foot-suction]
limit_sets: [foot-suction-limits]
decision_rule: guard band
tests:
  suction-vacuum:
    item: I-1
    why: The event is about vacuum.
""",
    "sheets.yml": """\
S-vacuum:
  test: suction-vacuum
  item: I-1
  instrument: M-1
  function: vacuum
  by: examiner
  from: 2026-05-04 13:00 +02:00
  to: 2026-05-04 13:10 +02:00
""",
    "readings/vacuum.csv": "row,jar,value [kPa]\n1,fitted,12.3\n2,by-passed,40.3\n3,spare,61.5\n",
}


def repository(root: Path, leave_out: str = "") -> Assessment:
    """Write organisation and case, but for one file of the organisation; what the check makes of the case."""
    own = {"instruments.yml": INSTRUMENTS, "protocols/foot-suction.yml": PROTOCOL, "limits/foot-suction.yml": LIMITS}
    files = {f".asfound/{name}": text for name, text in own.items() if name != leave_out}
    files |= {f"cases/no-suction/{name}": text for name, text in CASE.items()}
    for name, text in files.items():
        place = root / name
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(text, "utf-8", newline="\n")
    found = assess_cases(root, [root / "cases" / "no-suction"], dt.date(2026, 5, 5))
    return next(one for one in found if one.folder.endswith("no-suction"))


def test_a_kind_is_added_by_files_alone(tmp_path: Path) -> None:
    found = repository(tmp_path)
    heavy = [one for one in found.problems if one.level in (Level.REJECT, Level.WARN)]
    assert not heavy, "\n".join(one.headline() for one in heavy)
    assert found.dossier is not None
    core = found.dossier.core
    assert core.protocols["foot-suction"].title == "Suction unit worked by foot"
    told = {one.subject: (str(one.outcome), one.limit.set if one.limit else "") for one in core.verdicts}
    # 12.3 lies below 40 kPa by far; 40.3 above it, by less than its doubt; 61.5 by more.
    assert told == {
        "R-vacuum-1": ("fail", "foot-suction-limits"),
        "R-vacuum-2": ("conditional pass", "foot-suction-limits"),
        "R-vacuum-3": ("pass", "foot-suction-limits"),
    }
    assert core.limits["foot-suction-limits/vacuum"].status == "from memory"
    unconfirmed = [one for one in found.problems if one.rule == "limit-unconfirmed"]
    assert all("foot-suction-limits/vacuum" in one.found for one in unconfirmed)


def test_without_its_files_the_case_says_what_it_lacks(tmp_path: Path) -> None:
    no_protocol = repository(tmp_path / "a", "protocols/foot-suction.yml")
    assert any("foot-suction" in one.found and one.level is Level.REJECT for one in no_protocol.problems)
    assert no_protocol.dossier is None or not no_protocol.dossier.core.verdicts
    no_limits = repository(tmp_path / "b", "limits/foot-suction.yml")
    assert any("foot-suction-limits" in one.found and one.level is Level.REJECT for one in no_limits.problems)
