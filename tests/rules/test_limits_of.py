"""Rules about limits and verdict words, on the base case; and the reading of verdict words by itself."""

from __future__ import annotations

import pytest

from asfound.problems import Level
from asfound.rules._claims import Claim, claims
from tests.rules.support import Edit, assert_fires, assert_silent

LIMITS = ".asfound/limits/base-limits.yml"
F3 = "Protective earth [=R-earth-2] at the pole clamp, touch current [=R-touch-3] with the earth open."
NEAR = ("readings/touch.csv", "61.2", "99.5")
"""99.5 uA against 100 uA, with a doubt of about 2.2 uA: a conditional pass under a guard band."""


def f3(text: str) -> Edit:
    return ("findings.yml", F3, text)


def test_verdict_text_differs() -> None:
    assert_fires(
        "verdict-text-differs",
        [f3("Protective earth [=R-earth-2] fails; touch current [=R-touch-3] passes.")],
        at=("findings.yml", "Protective earth [=R-earth-2]"),
        says='F-3 says "fails" of R-earth-2, whose computed verdict is pass',
    )
    assert_silent(
        "verdict-text-differs",
        [f3("Protective earth [=R-earth-2] passes, and touch current [=R-touch-3] meets its limit.")],
    )
    assert_fires(
        "verdict-text-differs",
        [("conclusion.yml", "What the bag held.", "The flow [R-flow-4] is within its tolerance.")],
        at=("conclusion.yml", "within its tolerance"),
        says='open point 1 says "within its tolerance" of R-flow-4',
    )
    assert_silent(
        "verdict-text-differs",
        [("conclusion.yml", "What the bag held.", "The flow [R-flow-4] is not within its tolerance.")],
    )


def test_a_verdict_told_of_it_is_told_of_what_the_sentence_cites() -> None:
    assert_fires(
        "verdict-text-differs",
        [f3("Protective earth [=R-earth-2] was read at the pole clamp, and it fails.")],
        at=("findings.yml", "and it fails"),
    )
    assert_silent(
        "verdict-text-differs", [f3("Earth [=R-earth-2] was read at the clamp, and the lamp fails at times.")]
    )


def test_an_unjudged_reading_has_no_verdict_to_tell() -> None:
    assert_fires(
        "verdict-text-differs",
        [("plan.yml", "limit_sets: [base-limits]", "limit_sets: []"), f3("Protective earth [=R-earth-2] passes.")],
        at=("findings.yml", "Protective earth [=R-earth-2]"),
        says="no requirement",
    )


def test_plain_verdict_under_guard_band() -> None:
    """ILAC-G8:09/2019: between limit and guard band the word is conditional."""
    assert_fires(
        "plain-verdict-under-guard-band",
        [NEAR, f3("The touch current [=R-touch-3] passes.")],
        at=("findings.yml", "The touch current [=R-touch-3]"),
        says="R-touch-3, a conditional pass",
    )
    assert_silent("plain-verdict-under-guard-band", [NEAR, f3("The touch current [=R-touch-3] is a conditional pass.")])
    assert_silent("plain-verdict-under-guard-band", [f3("The touch current [=R-touch-3] passes.")])
    simple = ("plan.yml", "decision_rule: guard band", "decision_rule: simple acceptance")
    assert_silent("plain-verdict-under-guard-band", [NEAR, simple, f3("The touch current [=R-touch-3] passes.")])


def when(conditions: str) -> Edit:
    return (LIMITS, '    clause: "1"', f'    when: {{{conditions}}}\n    clause: "1"')


def test_limits_pass_by() -> None:
    """ISO/IEC 17025:2017, 7.8.6.2 a and b: of readings that no limit speaks to, nothing is stated."""
    assert_fires(
        "limits-pass-by",
        [when("point: [foot of the bed]")],
        at=("sheets.yml", "S-earth:"),
        level=Level.NOTE,
        says="no limit for the test speaks to the readings of S-earth (base-limits/earth): "
        'point is "case screw" at R-earth-1, and it speaks of "foot of the bed"',
    )
    # An amount is compared as one, in whatever unit.
    load = (
        "sheets.yml",
        "  function: earth resistance\n",
        "  function: earth resistance\n  constants: {load: 400 ohm}\n",
    )
    assert_fires(
        "limits-pass-by",
        [when("load: [200 ohm]"), load],
        at=("sheets.yml", "S-earth:"),
        level=Level.NOTE,
        says='load is "400 ohm" at R-earth-1, and it speaks of "200 ohm"',
    )
    assert_silent("limits-pass-by", [when("load: [0.4 kohm]"), load])
    # One reading that a limit speaks to is enough; so is one that it would speak to, were more on record.
    assert_silent("limits-pass-by", [when("point: [pole clamp]")])
    assert_silent("limits-pass-by", [when("temperature: [warm]")])
    rare = (LIMITS, '    clause: "1"', '    only: {sort: [fixed]}\n    clause: "1"')
    assert_fires(
        "limits-pass-by", [rare], at=("sheets.yml", "S-earth:"), level=Level.NOTE,
        says='(base-limits/earth): sort is not on record, and it speaks of "fixed"',
    )  # fmt: skip
    barred = (LIMITS, '    clause: "1"', '    unless: {point: [case screw, pole clamp]}\n    clause: "1"')
    assert_fires(
        "limits-pass-by", [barred], at=("sheets.yml", "S-earth:"), level=Level.NOTE,
        says='point is "case screw" at R-earth-1, of which it does not speak',
    )  # fmt: skip
    # What the plan says is meant is meant.
    meant = ("plan.yml", "why: Safety before power.", "why: Safety before power.\n    limits: []")
    assert_silent("limits-pass-by", [when("point: [foot of the bed]"), meant])
    # A second use of a test may be read otherwise, as long as the test has its verdict.
    assert_silent("limits-pass-by", [when("point: [case screw]")])


EARTH = """\
  earth:
    title: Protective earth with the cord fitted
    test: pump-earth
    quantity: resistance
    sense: at most
    bound: {kind: fixed, value: 300 mohm}
    clause: "1"
    kind: in-service limit
    status: confirmed
"""


GONE = (LIMITS, EARTH, "")


def elsewhere(*edits: tuple[str, str]) -> dict[str, str | bytes]:
    """The limit of the earth in a set that the plan does not name, with something in it changed."""
    text = EARTH
    for old, put in edits:
        assert text.count(old) == 1
        text = text.replace(old, put)
    head = 'set: base-earth\ntitle: Earth\ndocument: Invented sheet\nedition: "2025"\njurisdiction: none\nlimits:\n'
    return {".asfound/limits/base-earth.yml": head + text}


def test_limits_not_chosen() -> None:
    """ISO/IEC 17025:2017, 7.1.3 (from memory): what a result is held against is defined beforehand."""
    extra = elsewhere(("kind: in-service limit", "kind: product standard"))
    assert_fires(
        "limits-not-chosen",
        [GONE],
        extra=extra,
        at=("plan.yml", "limit_sets:"),
        level=Level.NOTE,
        says="the readings of S-earth are held against nothing, since the plan names no limit set that has one for "
        "pump-earth; base-earth has",
    )
    assert_silent("limits-not-chosen", [GONE])
    named = ("plan.yml", "limit_sets: [base-limits]", "limit_sets: [base-limits, base-earth]")
    assert_silent("limits-not-chosen", [GONE, named], extra=extra)
    meant = ("plan.yml", "why: Safety before power.", "why: Safety before power.\n    limits: []")
    assert_silent("limits-not-chosen", [GONE, meant], extra=extra)


def test_a_limit_that_would_not_speak_is_not_missed() -> None:
    clause, kind = '    clause: "1"\n', "kind: in-service limit"
    for conditions, speaks in (
        ("when: {point: [pole clamp]}", True),
        ("when: {point: [foot of the bed]}", False),
        ("only: {sort: [fixed]}", False),
        ("unless: {point: [pole clamp]}", True),
        ("unless: {point: [case screw, pole clamp]}", False),
    ):
        extra = elsewhere((clause, f"{clause}    {conditions}\n"), (kind, "kind: product standard"))
        if speaks:
            assert_fires("limits-not-chosen", [GONE], extra=extra, at=("plan.yml", "limit_sets:"), level=Level.NOTE)
        else:
            assert_silent("limits-not-chosen", [GONE], extra=extra)
    for never in ("exemplar", "own history", '"type test, reference only"'):
        assert_silent("limits-not-chosen", [GONE], extra=elsewhere((kind, f"kind: {never}")))


def test_a_set_is_not_missed_where_one_of_its_kind_was_chosen_for_the_same_protocol() -> None:
    """Leakage held against one country's figures leaves nobody asking for the other's; and a thing has one maker."""
    flow = '    clause: "3"\n    kind: '
    for kind in ("in-service limit", "maker"):
        extra = elsewhere(("kind: in-service limit", f"kind: {kind}"))
        chosen = (LIMITS, f"{flow}in-service limit", f"{flow}{kind}")
        assert_silent("limits-not-chosen", [GONE, chosen] if kind == "maker" else [GONE], extra=extra)
    maker = elsewhere(("kind: in-service limit", "kind: maker"))
    assert_fires("limits-not-chosen", [GONE], extra=maker, at=("plan.yml", "limit_sets:"), level=Level.NOTE)


def test_verdict_not_assessable() -> None:
    """What is not on record is told; what the person gave a reason for is not told again."""
    assert_fires(
        "verdict-not-assessable",
        [when("temperature: [warm]")],
        at=("sheets.yml", "S-earth:"),
        level=Level.NOTE,
        says="no verdict can be given of R-earth-1 and R-earth-2 against ",
    )
    gone = ("readings/earth.csv", "clamp,151", "clamp,not obtainable: the clamp was sealed")
    assert_silent("verdict-not-assessable", [gone, f3("Touch current [=R-touch-3] with the earth open.")])


def test_decision_rule_missing() -> None:
    passes = f3("Protective earth [=R-earth-2] passes.")
    assert_fires(
        "decision-rule-missing", [passes], delete=["plan.yml"], at=("findings.yml", "Protective earth [=R-earth-2]")
    )
    assert_silent("decision-rule-missing", [passes])
    assert_silent("decision-rule-missing", delete=["plan.yml"])


def test_conformity_without_readings() -> None:
    said = ("conclusion.yml", "What the bag held.", "The pump meets the requirements of its document.")
    assert_fires(
        "conformity-without-readings",
        [said],
        at=("conclusion.yml", "The pump meets"),
        says='says "meets the requirements" and names no reading',
    )
    cited = ("conclusion.yml", "What the bag held.", "The pump meets the requirements on earth [R-earth-1].")
    assert_silent("conformity-without-readings", [cited])
    rested = (
        "conclusion.yml",
        "text: What the bag held.",
        "text: The pump does not meet its specification.\n    rests_on: [F-1]",
    )
    assert_silent("conformity-without-readings", [rested])
    assert_silent(
        "conformity-without-readings",
        [("conclusion.yml", "What the bag held.", "Whether the pump meets its specification elsewhere.")],
    )


def test_limit_without_source() -> None:
    where = ("plan.yml", "limit_sets:")
    earth = '    clause: "1"\n    kind: in-service limit\n'
    assert_fires(
        "limit-without-source",
        [(LIMITS, earth, "    kind: in-service limit\n")],
        at=where,
        says="the limit base-limits/earth has no clause",
    )
    # What comes from an exemplar or from custom names its source by what it is.
    assert_silent("limit-without-source", [(LIMITS, earth, "    kind: exemplar\n")])


def test_limit_edition_note() -> None:
    older = ("plan.yml", "limit_sets: [base-limits]", "limit_sets: [base-limits, nfpa-99-2005]")
    assert_fires(
        "limit-edition-note", [older], at=("plan.yml", "limit_sets:"), level=Level.WARN, says="also known: 2012; a note"
    )
    note = ("plan.yml", "tests:\n", "note: The edition of 2005 was in force when the pump was built.\ntests:\n")
    assert_silent("limit-edition-note", [older, note])


def test_limit_unconfirmed() -> None:
    memory = (
        LIMITS,
        'clause: "1"\n    kind: in-service limit\n    status: confirmed',
        'clause: "1"\n    kind: in-service limit\n    status: from memory',
    )
    assert_fires(
        "limit-unconfirmed",
        [memory],
        at=("plan.yml", "limit_sets:"),
        level=Level.NOTE,
        says="2 verdicts rest on base-limits/earth (from memory)",
    )
    # A limit nobody was held against needs no note.
    assert_silent("limit-unconfirmed", [memory], delete=["readings/earth.csv"])


CUSTOM = (
    LIMITS,
    'clause: "1"\n    kind: in-service limit\n    status: confirmed',
    "kind: common practice\n    status: common practice, no source",
)


@pytest.mark.parametrize(
    ("bound", "says"),
    [
        ("{kind: fixed, value: 300 mohm}", "Name the custom in the finding as custom; where the maker's text asks"),
        ("{kind: fixed, value: 300 mohm}\n    gives_way_to: [stated value]", "a value the maker states would take its"),
        ("{kind: percent, percent: 100, of: stated}", "that the figure is the one the maker states"),
        (
            "{kind: sum, terms: [{kind: percent, percent: 100, of: stated}, {kind: fixed, value: 1 mohm}]}",
            "is the one the",
        ),
        (
            "{kind: greatest, among: [{kind: percent, percent: 100, of: stated}, {kind: fixed, value: 1 mohm}]}",
            "is the one",
        ),
    ],
)
def test_limit_unconfirmed_asks_for_no_stated_value_that_is_there_or_would_not_bear_on_it(
    bound: str, says: str
) -> None:
    plain = (LIMITS, "{kind: fixed, value: 300 mohm}", bound)
    stated = (
        "items.yml",
        '  serial: "118"\n',
        '  serial: "118"\n  stated:\n    - {quantity: pump-earth, value: 300 mohm, source: page 3}\n',
    )
    edits = [CUSTOM, plain, *([stated] if "of: stated" in bound else [])]
    told = assert_fires("limit-unconfirmed", edits, at=("plan.yml", "limit_sets:"), level=Level.NOTE)
    assert says in told.mend


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("The output passes.", [Claim.PASS]),
        ("The output did not pass.", [Claim.FAIL]),
        ("No reading fails.", [Claim.PASS]),
        ("It is a conditional pass.", [Claim.CONDITIONAL_PASS]),
        ("The earth conditionally failed.", [Claim.CONDITIONAL_FAIL]),
        ("The current exceeds its limit.", [Claim.OVER]),
        ("The current does not exceed the permitted limit.", [Claim.UNDER]),
        ("The current is well below the limit.", [Claim.UNDER]),
        ("It lies outside its tolerance.", [Claim.FAIL]),
        ("All are within the maker's specification.", [Claim.PASS]),
        ("It conforms to IEC 62353.", [Claim.PASS]),
        ("It meets the requirements.", [Claim.PASS]),
        ("Port 1 passes and port 2 fails.", [Claim.PASS, Claim.FAIL]),
        # Ordinary sentences that are no verdict.
        ("The alarm failed to sound.", []),
        ("The current passed through the cable.", []),
        ("A current of 200 mA was passed a second time.", []),
        ("Whether it passes was not examined.", []),
        ("It would fail at a higher setting.", []),
        ("If it fails, the relay opens.", []),
        ("The examiner met the risk manager.", []),
        ("The cord passes under the table.", []),
        ("The supply failed during the case.", []),
        ("The failure of the lamp was noted.", []),
        ("A pencil within reach of the drape.", []),
        ("The surge passed to earth.", []),
    ],
)
def test_verdict_words(text: str, found: list[Claim]) -> None:
    assert [words.claim for words in claims(text)] == found
