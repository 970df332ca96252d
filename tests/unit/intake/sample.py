"""A small invented case with every file a case may have, for the tests of reading. Nothing in it happened."""

# ruff: noqa: E501 (rows of tables are as long as they are)

from __future__ import annotations

from pathlib import Path

FOLDER = "cases/try"

CASE: dict[str, str] = {
    "calculations.yml": """\
Z-1:
  calculation: current-density
  asks: How dense was the current?
  inputs:
    current: [R-out-1, R-out-2]
    area: {value: 0.8 cm2, doubt: 0.1 cm2, from: [E-1], why: from the print}
  about: [I-1]
  by: examiner
  note: As measured.
Z-2:
  calculation: pulse-energy
  asks: How much energy?
  inputs:
    load: R-out-1
  series: {evidence: E-1, columns: {time: t}, along: time, from: 0 ms, to: 20 ms}
  reaches: [generator-over-output]
Z-3:
  calculation: siphon
  asks: How much by gravity?
  rows: {sheet: S-out, columns: {flow: value}, where: {mode: cut}}
""",
    "case.yml": """\
$schema: ../../.asfound/schemas/case.schema.json
case: try-1
title: A lesion under a pad
summary: A lesion was seen; the generator and the pad were impounded.
stage: in review
confidentiality: internal
device_kind: high-frequency-surgical
event:
  kind: skin lesion
  told_at: 2026-03-09 15:12 -05:00
  time_source:
    not_recorded: nobody looked at a clock
  where: theatre
  account: A reddened area was seen when the pad was taken off.
  aware_at: 2026-03-09 15:20 -05:00
  aware_by: circulating-assistant
harmed: patient
severity: minor
outcome: Healed, as told by the ward.
people:
  examiner:
    title: examiner
    qualification: twelve years at the bench
    organisation: an outside firm
  reviewer:
    title: reviewer
  circulating-assistant:
    title: circulating assistant
  store-keeper:
    title: keeper of the store
examiner: examiner
reviewer: reviewer
asked:
  by: store-keeper
  at: 2026-03-10 08:00 -05:00
  how: letter
authority:
  by: store-keeper
  at: 2026-03-10 08:00 -05:00
  how: written
first_touch: 2026-03-10 09:30 -05:00
scope: The impounded things only.
questions:
  - Did the generator give more than was set?
asked_for:
  - what: the manual
    of: the maker
    at: 2026-03-11
    answer: received
    evidence: [E-manual]
declaration:
  by: examiner
  at: 2026-03-10 08:30 -05:00
  maintained: no
  set_up: no
  used: no
  bought: no
  sold: no
  supervised_user: no
  paid_by: the hospital, by the hour
jurisdiction: [invented]
others_at_risk: not known
earlier_events:
  not_accessible: the list is kept by the maker
report:
  examined_at: the bench of the examiner
  customer: the hospital
  authorised_by: examiner
""",
    "injury.yml": """\
first_seen_at: 2026-03-09 15:12 -05:00
seen_by: circulating-assistant
lesions:
  - site: left thigh
    size: 4 cm
    edge: not sharp
    distance_to_device:
      not_recorded: nobody measured it
pooling_seen: no
""",
    "items.yml": """\
I-1:
  what: generator
  role: main device
  in_use_at_event: yes
  impounded: yes
  has_settings: yes
  maker: maker A
  serial: "0012345"
  characteristics:
    class: I
    rated_output: 400 W
  stated:
    - quantity: output-power
      when: {mode: cut, setting: 90 W}
      value: 90 W
      source: manual, page 12
I-2:
  what: pad
  role: consumable
  part_of: I-1
  single_use: yes
  in_use_at_event: yes
  impounded: no
  why_not_impounded:
    not_accessible: thrown away with the waste
  lot: L 77
""",
    "custody.csv": """\
line,items,kind,released_at,received_at,released_by,received_by,from_place,to_place,purpose,seal_before,seal_after,condition,signed_out,signed_in,evidence,note
1,I-1,collected,,2026-03-10 09:30 -05:00,,examiner,theatre,van,impound,,S 001,as found,,examiner,E-front,
2,I-1 I-2,stored,2026-03-10 11:00 -05:00,2026-03-10 11:00 -05:00,examiner,store,van,"store, room 4",storage,S 001,S 001,,examiner,store-keeper,,
""",
    "scene.yml": """\
recorded_at: 2026-03-10 09:35 -05:00
recorded_by: examiner
settings:
  A-1:
    item: I-1
    control: power, cut
    value: "90"
    unit: W
    evidence: [E-front]
connections:
  L-1:
    from: I-1
    to: I-2
    by: patient socket
volatile_data:
  decision: none held
""",
    "room.yml": """\
U-1:
  what: socket 3
  kind: socket
  value: 118 V
  items: [I-1]
""",
    "service.yml": """\
H-1:
  items: [I-1]
  kind: maintenance
  on: 2025-11-03
  by: the hospital's workshop
  result: passed
""",
    "inspection.csv": """\
row,item,check,place,seen,what,evidence,relevance,why,at,by
1,I-1,cord,mains cord,found,a nick 3 cm from the plug,E-front,not known,,2026-03-10 10:00 -05:00,examiner
2,I-1,,inside,could not look,,,,sealed by the maker,,examiner
""",
    "gates.yml": """\
gates:
  G-1:
    gate: inspected
    items: [I-1]
    at: 2026-03-10 10:10 -05:00
    by: examiner
    outcome: minor damage
steps:
  B-1:
    items: [I-1]
    what: cover opened
    tier: reversible
    at: 2026-03-10 12:00 -05:00
    by: examiner
    why: to read the label within
""",
    "plan.yml": """\
written_at: 2026-03-10 10:20 -05:00
written_by: examiner
protocols: [high-frequency-surgical]
limit_sets: [iec-60601-2-2-2017]
decision_rule: guard band
guard_factor: 1
tests:
  output-power:
    item: I-1
    why: the account speaks of too much
    separates: [X-1]
    coverage:
      setting: [20 W, 90 W]
    as_used:
      setting: 90 W
  output-power--swap:
    item: I-1
    why: the same with a second analyser
    not_done: no second analyser was to be had
""",
    "sheets.yml": """\
S-output:
  test: output-power
  item: I-1
  accessories: [I-2]
  instrument: M-1
  function: power
  by: examiner
  from: 2026-03-10 13:00 -05:00
  to: 2026-03-10 13:40 -05:00
  supply:
    kind: grounded
    voltage: 118 V
  climate:
    temperature: 21 °C
  constants:
    load: 500 Ω
  checks:
    - what: known load
      at: 2026-03-10 12:50 -05:00
      reference: 500 Ω
      reading: 499 Ω
      ok: yes
""",
    "readings/output.csv": """\
row,mode,setting [W],value [W],at,note,void,repeat_of
1,cut,20,21.0,2026-03-10 13:05 -05:00,,,
2,cut,90,92.4,2026-03-10 13:06 -05:00,,,
2b,cut,90,92.6,2026-03-10 13:07 -05:00,,,2
3,blend,90,no output,,"foot switch held, then let go",switch slipped,
""",
    "evidence.yml": """\
E-front:
  file: evidence/front.txt
  sha256: 5891b5b522d5df086d0ff0b110fbd9d21bb4fc7163af34d08286a2e846f6be03
  kind: photograph
  shows: The front of the generator.
  items: [I-1]
  taken_at: 2026-03-10 09:36 -05:00
  taken_by: examiner
  clock: K-1
  view: overall
  as_found: yes
E-manual:
  kept_elsewhere:
    keeper: store-keeper
    place: store, shelf 2
    size: "812345"
    why: too large
  sha256: 5891b5b522d5df086d0ff0b110fbd9d21bb4fc7163af34d08286a2e846f6be03
  kind: document
  shows: The maker's manual.
""",
    "evidence/front.txt": "hello\n",
    "statements.yml": """\
W-1:
  by: circulating-assistant
  taken_at: 2026-03-10 14:30 -05:00
  taken_by: examiner
  saw: The pad was taken off at the end.
  items: [I-2]
  touched_controls: no
""",
    "clocks.yml": """\
K-1:
  what: camera
  zone: "-05:00"
  comparisons:
    - at: 2026-03-10 09:20 -05:00
      reference: telephone network
      offset: -6 min 20 s
      doubt: 1 s
""",
    "timeline.csv": """\
row,clock,at,doubt,event,source,by
1,K-1,2026-03-09 15:12 -05:00,5 min,pad taken off,W-1,circulating-assistant
""",
    "findings.yml": """\
F-1:
  text: At 90 W the output was [=R-output-2].
  about: [I-1]
  rests_on: [R-output-2, R-output-2b]
""",
    "explanations.yml": """\
X-1:
  explanation: The generator gave more than was set.
  line: device
  needs:
    - claim: the output at 90 W is higher than stated
      tested_by: [output-power]
      shown_false_by: [F-1]
  contradicts: [F-1]
  status: weakened
""",
    "conclusion.yml": """\
by: examiner
mechanism:
  text: How the lesion arose stays open.
  level: undetermined
reason:
  text: Nothing is said of the reason.
  level: undetermined
undetermined:
  tried: [the generator]
  missing: [the pad]
""",
    "exceptions.yml": """\
Q-1:
  rule: tag-incomplete
  subject: I-2
  by: examiner
  at: 2026-03-11 09:00 -05:00
  why: the pad is gone
  effect: none on the output
""",
    "duties.yml": """\
D-1:
  duty: report-of-an-event
  decision: not reported by the examiner
  reasons: the hospital does it
  by: store-keeper
  at: 2026-03-11 09:00 -05:00
  due: 2026-03-23
""",
    "notices.yml": """\
N-1:
  to: the maker
  what: The generator is held.
  sent_at: 2026-03-10 16:00 -05:00
  urgent: no
""",
}

BENCH: dict[str, str] = {
    "instruments.yml": """\
M-1:
  what: power analyser
  serial: A1
  functions:
    power:
      quantity: power
      ranges:
        - from: 0 W
          to: 500 W
          resolution: 0.1 W
          accuracy: {percent: 3, plus: 1 W}
      certificate_doubt: 1.5 W
  calibrations:
    - certificate: C 9
      on: 2025-06-01
      due: 2026-06-01
      by: an accredited laboratory
      as_found: in tolerance
""",
    "roles.yml": "authors:\n  one@example.org: examiner\nsigners:\n  examiner-1: [examiner]\n  second: [examiner, reviewer]\n",
    "settings.yml": "organisation: An invented firm\nlow_range_share: 0.1\nrepeats_wanted: 3\ntwo_person_shop: yes\n",
    "limits/own.yml": """\
set: own
title: Our own limits
document: policy 3
edition: 2026
jurisdiction: the organisation
limits:
  output:
    title: Output at the setting
    test: output-power
    quantity: power
    sense: within
    bound:
      kind: greatest
      among:
        - {kind: percent, percent: 20, of: setting}
        - kind: fixed
          value: 2 W
    around: setting
    when: {mode: [cut, blend]}
    kind: organisation's policy
    status: common practice, no source
""",
    "protocols/own.yml": """\
protocol: own
title: Our own way
device_kinds: [high-frequency-surgical]
tests:
  output-power:
    title: Output power
    quantity: power
    unit: W
    purpose: to see what is given
    energised: yes
    connects: analyser
    alters: none
    reaches: [generator-over-output]
""",
    "words/own.yml": """\
adds_to: opinion
source: our own house rules
status: common practice, no source
entries:
  luckily:
    say: ["(un|)luckily"]
    why: praises or regrets
    refuses: [Unluckily the cord was in use.]
    passes: [The cord was in use.]
allow:
  fault-lamp:
    say: faulty lamp key
    why: It is the legend on a key.
    by: quality-manager
    on: 2026-02-01
""",
}


def write(root: Path, change: dict[str, str | bytes | None] | None = None) -> Path:
    """Write the case and the bench below `root`; `change` replaces, adds or (None) leaves out files of the case."""
    files: dict[str, str | bytes | None] = {f"{FOLDER}/{name}": text for name, text in CASE.items()}
    files.update({f".asfound/{name}": text for name, text in BENCH.items()})
    for name, text in (change or {}).items():
        files[name if name.startswith(".asfound/") else f"{FOLDER}/{name}"] = text
    for name, text in files.items():
        if text is None:
            continue
        place = root.joinpath(*name.split("/"))
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return root.joinpath(*FOLDER.split("/"))
