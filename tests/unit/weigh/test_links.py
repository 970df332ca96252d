"""Each link of the chain: what brings it about, which records it names, and how strong a conclusion it bears."""

from __future__ import annotations

import pytest

from asfound.model.limits import SourceStatus
from asfound.model.reasoning import ConfidenceLevel
from asfound.model.weighing import Standing, rank
from asfound.weigh.chain import KINDS

from .bench import AT, Change, drop, instrument, limit, links, put, second, weighed

U, S, P, E = (
    ConfidenceLevel.UNDETERMINED, ConfidenceLevel.POSSIBLE, ConfidenceLevel.PROBABLE, ConfidenceLevel.ESTABLISHED,
)  # fmt: skip

BARE = {"explanation": "Sound.", "line": "use", "topic": "sound", "status": "not tested", "not_tested": "no time"}
EXEMPLAR_BESIDE = put("sheets.S-glow.accessories", ["I-3"])
PICTURE = {"sha256": "0", "kind": "photograph", "shows": "It.", "items": ["I-2"], "taken_at": AT.format("07")}
CLOCK = {"what": "camera", "comparisons": [{"at": AT.format("07"), "reference": "r", "offset": "0 s", "doubt": "1 s"}]}
GUARDED = put("plan.decision_rule", "guard band")
SECOND = {"X-2": {"explanation": "A leak.", "line": "accessory or consumable", "topic": "leak", "status": "supported",
                  "needs": [{"claim": "It leaked.", "tested_by": ["leak"], "shown_by": ["F-2"]}]}}  # fmt: skip


def exception(subject: str | None) -> dict[str, object]:
    found: dict[str, object] = {
        "rule": "custody-gap", "by": "examiner", "at": AT.format("12"), "why": "It could not.", "effect": "Less."
    }  # fmt: skip
    return {**found, "subject": subject} if subject else found


WAYS: list[tuple[str, list[Change], ConfidenceLevel, str]] = [
    (
        "no-explanation",
        [
            put(
                "explanations",
                {
                    "X-3": {
                        "line": "device",
                        "explanation": "x",
                        "status": "ruled out",
                        "topic": "leak",
                        "needs": [{"claim": "c", "shown_false_by": ["F-2"], "detects": "1 W"}],
                    }
                },
            ),
            drop("conclusion.mechanism.explanations"),
        ],
        U,
        "",
    ),
    (
        "none-stands-out",
        [put("explanations.X-1.status", "undetermined"), drop("conclusion.mechanism.explanations")],
        U,
        "X-1",
    ),
    ("named-has-fallen", [put("conclusion.mechanism.explanations", ["X-2"])], U, "X-2"),
    ("named-has-nothing", [put("explanations.X-4", BARE), put("conclusion.mechanism.explanations", ["X-4"])], U, "X-4"),
    ("rival-at-same-level", [put("explanations.X-2", SECOND["X-2"])], U, "X-2"),
    ("contradiction-unanswered", [put("explanations.X-1.contradicts", ["V-1"])], S, "X-1 V-1"),
    ("need-in-dispute", [put("explanations.X-1.needs.0.shown_false_by", ["V-1"])], S, "X-1"),
    (
        "need-not-shown",
        [put("explanations.X-1.needs", [{"claim": "a", "shown_by": ["F-1"]}, {"claim": "b", "tested_by": ["glow"]}])],
        S,
        "X-1",
    ),
    (
        "need-out-of-reach",
        [put("explanations.X-1.needs", [{"claim": "a", "shown_by": ["F-1"]}, {"claim": "b", "tested_by": ["leak"]}])],
        S,
        "X-1 P-leak",
    ),
    ("need-untested", [put("explanations.X-1.needs", [{"claim": "a", "shown_by": ["F-1"]}, {"claim": "b"}])], S, "X-1"),
    ("rival-not-tested", [put("explanations.X-4", BARE)], S, "X-4"),
    (
        "rival-not-separated",
        [
            put(
                "explanations.X-4", BARE | {"status": "undetermined", "needs": [{"claim": "a", "tested_by": ["sound"]}]}
            ),
            put("sheets.S-sound", None),
            put("readings.sound", ["3"]),
        ],
        S,
        "X-4",
    ),
    ("rival-standing", [put("explanations.X-4", BARE), put("plan.tests.glow.separates", ["X-4"])], P, "X-4"),
    (
        "rival-only-observed",
        [put("findings.F-2.rests_on", ["V-1"]), drop("explanations.X-2.needs.0.detects")],
        P,
        "X-2",
    ),
    ("set-aside-on-words", [put("explanations.X-4", BARE | {"not_in_play": "nothing sounds here"})], P, "X-4"),
    ("no-rival", [drop("explanations.X-2"), drop("explanations.X-3")], S, "X-1"),
    ("custody-unaccounted", [put("custody", [])], S, "I-1"),
    ("custody-accounted", [put("custody.0.kind", "before custody")], P, "I-1 C-1"),
    ("device-not-impounded", [put("items.I-1.impounded", "no")], S, "I-1"),
    ("item-not-impounded", [put("items.I-2.impounded", "no")], P, "I-2"),
    ("exemplar-instead", [put("sheets.S-glow.item", "I-3"), put("findings.F-1.about", ["I-2"])], S, "I-3 S-glow"),
    ("exemplar-fitted", [EXEMPLAR_BESIDE], P, "I-3 S-glow"),
    ("instrument-unfit", [put("sheets.S-glow.instrument", "M-9")], S, "M-9 S-glow"),
    (
        "instrument-indicative",
        [
            put("sheets.S-glow.instrument", "M-2"),
            put("instruments.M-2.calibrations.0.due", "2026-02-01"),
            put("instruments.M-2.later_checks", [{"on": "2026-03-20", "what": "checked", "in_tolerance": "yes"}]),
        ],
        P,
        "M-2 S-glow",
    ),
    ("instruments-disagree", second("80.0"), P, "Y-again-second-instrument S-glow S-again"),
    ("after-adjustment", [put("sheets.S-glow.moment", "after adjustment")], S, "S-glow I-1"),
    ("exception-on-the-way", [put("exceptions.Q-1", exception("S-glow"))], S, "Q-1 S-glow"),
    ("exceptions", [put("exceptions.Q-1", exception(None)), put("exceptions.Q-2", exception("I-3"))], S, "Q-1 Q-2"),
    ("exception", [put("exceptions.Q-1", exception(None))], P, "Q-1"),
    (
        "only-told",
        [
            put("statements.W-1", {"by": "nurse", "taken_at": AT.format("08"), "taken_by": "examiner"}),
            put("findings.F-1.rests_on", ["W-1"]),
        ],
        P,
        "F-1 W-1",
    ),
    ("time-not-provable", [put("evidence.E-1", PICTURE), put("findings.F-1.rests_on", ["E-1"])], P, "E-1 F-1"),
    ("limit-unconfirmed", [limit(SourceStatus.FROM_MEMORY)], P, "R-glow-1"),
    ("verdict-conditional", [GUARDED, limit(SourceStatus.CONFIRMED, "88 W")], P, "R-glow-1"),
    ("as-found-unknown", [put("scene.settings", {})], P, "I-1"),
    ("not-reproduced", [put("sheets.S-glow.as_found_settings", "no")], P, "X-1"),
    ("intermittent-not-provoked", [put("head.event.account", "It came and went.")], P, ""),
    ("not-independent", [put("head.declaration.maintained", "yes")], P, ""),
    ("not-reviewed", [drop("head.reviewer")], P, ""),
]


def _limit(most: str) -> dict[str, object]:
    told: dict[str, dict[str, dict[str, object]]] = {"limits": {}}
    limit(SourceStatus.CONFIRMED, most)(told)
    return told["limits"]["most"]


def _sound(told: dict[str, object]) -> None:
    sheets = told["sheets"]
    assert isinstance(sheets, dict)
    if "S-sound" in sheets:
        sheets["S-sound"] = {**sheets["S-leak"], "test": "sound"}


@pytest.mark.parametrize(("name", "changes", "level", "refs"), WAYS, ids=[way[0] for way in WAYS])
def test_each_link(name: str, changes: list[Change], level: ConfidenceLevel, refs: str) -> None:
    found = links(*changes, _sound)
    assert name in found, list(found)
    link = found[name]
    assert link.caps is level
    assert set(refs.split()) <= set(link.refs)
    assert link.text.endswith(".") and "  " not in link.text
    assert link.would_raise.endswith(".")
    whole = weighed(*changes, _sound).mechanism
    assert rank(whole.level) <= rank(level)
    assert whole.weakest is not None and whole.weakest.caps is whole.level


def test_every_kind_of_link_is_tried() -> None:
    # The last belongs to the reason, which is tried below.
    assert set(KINDS) - {way[0] for way in WAYS} == {"mechanism-no-stronger", "only-modelled"}


def test_the_whole_case_is_established_and_nothing_holds_it_down() -> None:
    found = weighed().mechanism
    assert (found.level, found.links, found.named) == (E, (), ("X-1",))


def test_the_best_way_by_which_a_need_is_shown_counts() -> None:
    stale = put("instruments.M-2.calibrations.0.due", "2026-02-01")
    again = [
        stale,
        put("sheets.S-again", {"test": "glow", "item": "I-1", "instrument": "M-2", "function": "f", "by": "examiner",
                               "from": AT.format("11"), "to": AT.format("12")}),
        put("readings.again", ["88"]),
        put("findings.F-3", {"text": "Again.", "about": ["I-1"], "rests_on": ["R-again-1"]}),
    ]  # fmt: skip
    assert "instrument-unfit" in links(*again, put("explanations.X-1.needs.0.shown_by", ["F-3"]))
    assert links(*again, put("explanations.X-1.needs.0.shown_by", ["F-3", "F-1"])) == {}
    # Within one finding too: a second instrument that is in date carries it.
    assert links(*again, put("findings.F-1.rests_on", ["R-again-1", "R-glow-1"])) == {}


def test_what_a_second_instrument_contradicts_is_not_established() -> None:
    """En by hand: U is near 1.04 W of both, so 80 against 88.4 is -8.4/1.47 = -5.7, and 87.5 is -0.6 (ISO 13528, from
    memory). Where a limit lies between the two, what was read hangs on which of them is believed."""
    assert links(*second("87.5")) == {}
    found = links(*second("80.0"))["instruments-disagree"]
    assert found.text == "R-again-1 and R-glow-1, read with two instruments, do not agree within their doubts."
    for most, level in (("85 W", S), ("79 W", P), ("95 W", P)):
        apart = links(*second("80.0"), limit(SourceStatus.CONFIRMED, most))["instruments-disagree"]
        assert apart.caps is level, most
    assert (
        "fall on different sides"
        in links(*second("80.0"), limit(SourceStatus.CONFIRMED, "85 W"))["instruments-disagree"].text
    )
    # The other sheet is contradicted as much as this one.
    cited = [put("findings.F-1.rests_on", ["R-again-1"])]
    assert "instruments-disagree" in links(*second("80.0"), *cited)
    # Nobody vouches for the other: it contradicts nothing. A third that is vouched for bears the first out.
    stale = put("instruments.M-2.calibrations.0.due", "2026-02-01")
    assert "instruments-disagree" not in links(*second("80.0"), stale)
    third = [put("instruments.M-3", instrument()), *second("88.0", "third", "M-3")]
    assert links(*second("80.0"), *third) == {}
    assert "instruments-disagree" in links(*second("80.0"), *second("88.0", "third", "M-2")), (
        "the same instrument again"
    )
    off = [put("instruments.M-3", instrument()), *second("80.4", "third", "M-3")]
    assert "instruments-disagree" in links(*second("80.0"), *off)
    lapsed = put("instruments.M-3.calibrations.0.due", "2026-02-01")
    assert "instruments-disagree" in links(*second("80.0"), *third, lapsed)
    # A contradiction is not answered by taking it away, and who bears a reading out is missed where he is gone.
    whole = weighed(*second("80.0"), *third)
    assert whole.mechanism.level is E
    assert {one.refs[0]: [fall.after for fall in one.levels] for one in whole.strikes}["S-third"] == ["probable"]
    assert weighed(*second("80.0")).mechanism.level is P
    assert all("S-again" not in one.refs for one in weighed(*second("80.0")).strikes if one.levels)


def test_two_repeats_that_disagree_with_each_other() -> None:
    """88.4 W by the first instrument; 87.2 and 89.4 W by two others agree with it, and not with each other.

    En by hand, U near 1.02 W of each (ISO 13528, from memory): 1.2/1.44 = 0.8 and 1.0/1.44 = 0.7, and 2.2/1.44 = 1.5.
    """
    third = [put("instruments.M-3", instrument()), *second("89.4", "third", "M-3")]
    both = [*second("87.2"), *third]
    assert links(*both) == {}, "what is cited agrees with both"
    cited = put("findings.F-1.rests_on", ["R-again-1"])
    assert links(*both, cited) == {}, "the first bears it out"
    # Where the first is not vouched for, one of the two is all that is left to bear the other out.
    stale = put("instruments.M-1.calibrations.0.due", "2026-02-01")
    found = links(*both, cited, stale)["instruments-disagree"]
    assert found.text == "R-third-1 and R-again-1, read with two instruments, do not agree within their doubts."
    assert found.refs == ("Y-third-second-instrument-again", "S-again", "S-third")
    # Two that agree bear each other out against a first that agrees with neither.
    against = [*second("80.0"), put("instruments.M-3", instrument()), *second("80.4", "third", "M-3")]
    assert links(*against, cited) == {}
    assert "instruments-disagree" in links(*against)
    assert {one.refs[0]: [fall.after for fall in one.levels] for one in weighed(*against, cited).strikes}[
        "S-third"
    ] == ["probable"]


def test_a_reading_that_another_instrument_puts_beyond_its_limit_rules_nothing_out() -> None:
    """0.1 W where at most 1 W may leak, and 3 W by a second instrument: X-2 is weakened, not ruled out."""

    def stands(*changes: Change) -> Standing:
        return next(one for one in weighed(*changes).standings if one.ref == "X-2")

    again = [*second("3.0", "drip", "M-2", "leak"), put("limits.least", {**_limit("1 W"), "test": "leak"})]
    assert str(stands().status) == "ruled out" and str(stands(*again).status) == "weakened"
    assert "another instrument put it on the other side of its limit" in stands(*again).why
    assert "instruments-disagree" in links(*again), "it is all that took the rival down"
    none = [*second("3.0", "drip", "M-2", "leak")]
    assert str(stands(*none).status) == "ruled out", "no limit lies between"


def test_a_picture_timed_by_a_compared_clock_is_provable() -> None:
    timed = [put("clocks.K-1", CLOCK), put("evidence.E-1", PICTURE | {"clock": "K-1"})]
    found = links(*timed, put("findings.F-1.rests_on", ["E-1"]))
    assert "time-not-provable" not in found and "not-reproduced" in found


def test_a_confirmed_limit_is_no_link() -> None:
    assert links(limit(SourceStatus.CONFIRMED)) == {}


# By hand: U at 88.4 W is 2 √((0.884² + 0.05²) / 3) = 1.02 W with no spread, so that 88 W lies within it and 80 W does
# not; at 0.1 W it is 2 √((0.001² + 0.05²) / 3) = 0.058 W.
def test_a_verdict_within_its_doubt_bears_no_established_conclusion() -> None:
    """ILAC-G8:09/2019, 4.2.3 (from memory): within the guard band a false decision may be as likely as not."""
    near, far = limit(SourceStatus.CONFIRMED, "88 W"), limit(SourceStatus.CONFIRMED, "80 W")
    over = limit(SourceStatus.CONFIRMED, "89 W")
    assert links(GUARDED, far) == {} and links(near) == {}, "simple acceptance leaves nothing between"
    assert links(GUARDED, near)["verdict-conditional"].text == (
        "R-glow-1 is a conditional fail: its doubt reaches over the limit."
    )
    assert "conditional pass" in links(GUARDED, over)["verdict-conditional"].text
    # Of several ways by which it is shown the best counts, and so does a limit that is clear of the doubt.
    again = [
        put("sheets.S-again", {"test": "glow", "item": "I-1", "instrument": "M-1", "function": "f", "by": "examiner",
                               "from": AT.format("11"), "to": AT.format("12"), "as_found_settings": "yes"}),
        put("readings.again", ["99"]),
        put("findings.F-3", {"text": "Again.", "about": ["I-1"], "rests_on": ["R-again-1"]}),
        put("explanations.X-1.needs.0.shown_by", ["F-1", "F-3"]),
    ]  # fmt: skip
    assert links(GUARDED, near, *again) == {}
    assert links(GUARDED, near, put("limits.lax", _limit("80 W"))) == {}


def test_a_verdict_within_its_doubt_that_the_conclusion_rests_on_by_its_own_word() -> None:
    """Also where it shows no need: the text says of it what its doubt leaves open."""
    near = [GUARDED, put("limits.least", {**_limit("0.1 W"), "test": "leak"})]
    assert set(links(*near)) == {"verdict-conditional"}, "what rules the rival out is on the line"
    clear = [*near, put("explanations.X-2.needs.0.shown_false_by", ["F-2", "F-4"]),
              put("sheets.S-clear", {"test": "leak", "item": "I-1", "instrument": "M-2", "function": "f",
                                     "by": "examiner", "from": AT.format("11"), "to": AT.format("12")}),
              put("readings.clear", ["0.01"]),
              put("findings.F-4", {"text": "Nor here.", "about": ["I-1"], "rests_on": ["R-clear-1"]})]  # fmt: skip
    assert links(*clear) == {}, "the best of what speaks against it counts"
    for told in (
        put("conclusion.mechanism.rests_on", ["F-1", "F-2"]),
        put("conclusion.carried_by", [{"text": "No leak.", "rests_on": ["F-2"]}]),
        put("conclusion.mechanism.rests_on", ["R-leak-1"]),
    ):
        found = links(*clear, told)
        assert list(found) == ["verdict-conditional"] and found["verdict-conditional"].refs == ("R-leak-1",)
        assert weighed(*clear, told).mechanism.level is P
    assert links(*clear, put("conclusion.mechanism.rests_on", ["F-1", "F-4"])) == {}


def test_a_tie_that_is_balanced_and_reviewed_is_no_link() -> None:
    tie = put("head.declaration.maintained", "yes")
    assert links(tie, put("head.declaration.mitigation", "An outside reviewer.")) == {}


def test_a_rival_set_aside_with_its_record_is_no_link() -> None:
    assert links(put("explanations.X-4", BARE | {"not_in_play": "nothing sounds here [V-1]"})) == {}


def test_rivals_named_together_are_not_rivals() -> None:
    found = weighed(put("explanations.X-2", SECOND["X-2"]), put("conclusion.mechanism.explanations", ["X-1", "X-2"]))
    assert found.mechanism.level is E


def test_without_names_the_only_supported_explanation_is_taken_and_two_are_not() -> None:
    unnamed = drop("conclusion.mechanism.explanations")
    assert weighed(unnamed).mechanism.named == ("X-1",)
    two = weighed(unnamed, put("explanations.X-2", SECOND["X-2"])).mechanism
    assert (two.level, two.named, two.links[0].name) == (U, (), "none-stands-out")


def test_the_reason_is_never_taken_for_granted_and_no_stronger_than_the_mechanism() -> None:
    why = put("explanations.X-5", {"explanation": "Worn.", "line": "set-up or maintenance", "explains": "reason",
                                   "topic": "leak", "status": "supported",
                                   "needs": [{"claim": "It was worn.", "shown_by": ["F-2"]}]})  # fmt: skip
    other = put(
        "explanations.X-6",
        {
            "explanation": "Cut.",
            "line": "use",
            "explains": "reason",
            "topic": "leak",
            "status": "ruled out",
            "needs": [{"claim": "It was cut.", "shown_false_by": ["V-1"], "detects": "a cut"}],
        },
    )
    assert weighed(why, other).reason.level is U
    named = put("conclusion.reason.explanations", ["X-5"])
    assert weighed(why, other, named).reason.level is E
    held = weighed(why, other, named, EXEMPLAR_BESIDE).reason
    assert held.level is P
    assert held.links[0].name == "mechanism-no-stronger" and held.links[0].refs == ("I-3", "S-glow")
    # An explanation of the reason is no rival of the mechanism.
    assert weighed(why, other).mechanism.level is E


def test_rivals_that_were_all_set_aside_are_none() -> None:
    aside = {**BARE, "not_in_play": "nothing of the kind here [V-1]"}
    assert "no-rival" in links(put("explanations.X-2", aside), put("explanations.X-3", aside))


def test_an_exception_for_a_line_of_custody_of_what_it_hangs_on_is_on_the_way() -> None:
    assert "exception-on-the-way" in links(put("exceptions.Q-1", exception("C-1")))
    assert "exception" in links(put("exceptions.Q-1", exception("C-9")))
