"""The further ways in which a link of the chain comes about, each with the words that say so, and the near misses.

What each link bears is our own scale (common practice, no source); the dates at which a calibration counts are those of
the certificate, the first and the last day among them (ISO/IEC 17025:2017, 6.4.8; from memory).
"""

from __future__ import annotations

import pytest

from asfound.model.limits import SourceStatus
from asfound.model.reasoning import ConfidenceLevel
from asfound.weigh import weigh

from .bench import AT, Change, drop, facts, limit, links, put, weighed

U, S, P, E = (
    ConfidenceLevel.UNDETERMINED, ConfidenceLevel.POSSIBLE, ConfidenceLevel.PROBABLE, ConfidenceLevel.ESTABLISHED,
)  # fmt: skip

UNNAMED = drop("conclusion.mechanism.explanations")
BARE = {"explanation": "Sound.", "line": "use", "topic": "sound", "status": "not tested", "not_tested": "no time"}
ASIDE = {**BARE, "not_in_play": "nothing sounds here"}
HALF = {
    "explanation": "A hiss.", "line": "use", "topic": "glow", "status": "undetermined",
    "needs": [{"claim": "It hissed.", "shown_by": ["F-1"]}, {"claim": "It was open."}],
}  # fmt: skip
"""Something speaks for it, and not all that would have to be true was shown."""
ANSWERED = {**BARE, "status": "undetermined", "contradicts": ["V-1"], "answer": "It was off then."}
WHOLE = {
    "explanation": "A leak.", "line": "accessory or consumable", "topic": "leak", "status": "supported",
    "needs": [{"claim": "It leaked.", "tested_by": ["leak"], "shown_by": ["F-2"]}],
}  # fmt: skip
PICTURE = {"sha256": "0", "kind": "photograph", "shows": "It.", "items": ["I-2"], "taken_at": AT.format("09")}
SHOT = put("evidence.E-1", PICTURE)
HOLE = put("custody", [])
UNACCOUNTED = "custody-unaccounted"
DUE = "instruments.M-1.calibrations.0.due"
ON = "instruments.M-1.calibrations.0.on"


def later(*checks: tuple[str, str]) -> Change:
    made = [{"on": day, "what": "checked", "in_tolerance": fine} for day, fine in checks]
    return put("instruments.M-1.later_checks", made)


def lifted(subject: str) -> Change:
    """An exception that speaks of one record."""
    found = {"rule": "custody-gap", "by": "examiner", "at": AT.format("12"), "why": "So.", "effect": "Less."}
    return put("exceptions.Q-1", found | {"subject": subject})


def calibrated(day: str) -> Change:
    """M-1 calibrated once more."""

    def change(told: dict[str, object]) -> None:
        instruments = told["instruments"]
        assert isinstance(instruments, dict)
        made = instruments["M-1"]["calibrations"]
        made.append({**made[0], "on": day, "due": "2027-06-01"})

    return change


def lines(*more: dict[str, str]) -> Change:
    """The log of I-1 and I-2, from its collection at eight on."""

    def change(told: dict[str, object]) -> None:
        custody = told["custody"]
        assert isinstance(custody, list)
        custody += [{**custody[0], "number": number, **one} for number, one in enumerate(more, 2)]

    return change


WAYS: list[tuple[str, list[Change], ConfidenceLevel, str]] = [
    # What nothing would show, and what its own author does not hold.
    (
        "need-not-shown",
        [put("explanations.X-1.needs", []), put("explanations.X-1.supports", ["F-1"])],
        S, "X-1 says nothing that would have to be true.",
    ),
    (
        "need-not-shown", [put("explanations.X-1.status", "undetermined")],
        S, "The author holds X-1 as undetermined, not as supported.",
    ),
    ("none-stands-out", [put("explanations.X-1.status", "undetermined"), UNNAMED], U, "X-1 stands open"),
    (
        "none-stands-out", [put("explanations.X-1.status", "undetermined"), put("explanations.X-4", BARE), UNNAMED],
        U, "X-1 and X-4 stand open",
    ),
    (
        "none-stands-out",
        [put("explanations.X-1.status", "undetermined"), put("explanations.X-4", ASIDE), UNNAMED],
        U, "X-1 stands open",
    ),
    ("none-stands-out", [put("explanations.X-2", WHOLE), UNNAMED], U, "X-1 and X-2 are all supported"),
    # An instrument nobody vouches for.
    ("instrument-unfit", [put("sheets.S-glow.function", "g")], S, "M-1, with which S-glow was read."),
    ("instrument-unfit", [put("instruments.M-1.calibrations", [])], S, "Nobody vouches for M-1"),
    (
        "instrument-unfit",
        [put("sheets.S-glow.checks", [{"what": "leads nulled", "at": AT.format("08"), "ok": "no"}])],
        S, "A check of the bench at S-glow failed: leads nulled.",
    ),
    ("instrument-unfit", [put(DUE, "2026-03-09")], S, "M-1 was out of date when S-glow was read."),
    ("instrument-unfit", [put(ON, "2026-03-11")], S, "M-1 was out of date when S-glow was read."),
    # Of later checks the first one decides, and one made before the readings says nothing of them.
    ("instrument-unfit", [put(DUE, "2026-03-09"), later(("2026-03-09", "yes"))], S, "M-1 was out of date"),
    (
        "instrument-unfit", [put(DUE, "2026-03-09"), later(("2026-05-01", "yes"), ("2026-04-01", "no"))],
        S, "M-1 was out of date",
    ),
    (
        "instrument-indicative", [put(DUE, "2026-03-09"), later(("2026-05-01", "no"), ("2026-03-10", "yes"))],
        P, "M-1 was out of date when S-glow was read, and found in tolerance later.",
    ),
    # In date, and found wrong before anybody calibrated it anew: no better vouched for than one that is out of date.
    (
        "instrument-unfit", [later(("2026-04-01", "no"), ("2026-05-01", "yes"))],
        S, "M-1 was found out of tolerance on 2026-04-01, after S-glow was read with it.",
    ),
    ("instrument-unfit", [later(("2026-04-01", "yes"), ("2026-04-01", "no"))], S, "out of tolerance on 2026-04-01"),
    # A laboratory may have adjusted it, so a check after that vouches for nothing before.
    (
        "instrument-unfit", [put(DUE, "2026-03-09"), calibrated("2026-04-01"), later(("2026-04-02", "yes"))],
        S, "M-1 was out of date when S-glow was read.",
    ),
    (
        "instrument-indicative", [put(DUE, "2026-03-09"), calibrated("2026-04-01"), later(("2026-04-01", "yes"))],
        P, "found in tolerance later",
    ),
    # A hole in custody that nobody accounts for, two holders at once, another seal.
    ("custody-unaccounted", [lines({"kind": "transfer", "released_by": "porter"})], S, "nobody can account for I-1"),
    (
        "custody-unaccounted",
        [
            lines(
                {"kind": "transfer", "released_by": "examiner", "received_by": "porter"},
                {"kind": "transfer", "released_by": "examiner", "received_by": "nurse"},
            )
        ],
        S, "nobody can account for I-1",
    ),
    (
        "custody-unaccounted",
        [
            put("custody.0.seal_after", "2001"),
            lines({"kind": "transfer", "released_by": "examiner", "received_by": "examiner", "from_place": "bench",
                   "seal_before": "2002"}),
        ],
        S, "account for I-1, or its seal is not the one that was put on",
    ),
    ("custody-unaccounted", [put("custody.0.kind", "before custody"), put("custody.0.signed_in", "")], S, "I-1"),
    # What was seen or pictured later hangs on the custody of its thing, and so does what is shown by it directly.
    (
        "custody-unaccounted",
        [put("findings.F-1.rests_on", ["V-1"]), put("findings.F-1.about", []), HOLE], S, "for I-1.",
    ),
    (
        "custody-unaccounted",
        [put("findings.F-1", {"text": "Hot.", "about": ["I-2"], "rests_on": ["E-1"]}), SHOT, HOLE],
        S, "for I-2.",
    ),
    ("custody-unaccounted", [put("explanations.X-1.needs.0.shown_by", ["E-1"]), SHOT, HOLE], S, "for I-2."),
    # An exemplar of nobody says whose place it took is the thing in doubt itself.
    (
        "exemplar-instead", [put("sheets.S-glow.item", "I-3"), drop("items.I-3.compares_with")],
        S, "It was shown on I-3, an exemplar",
    ),
    (
        "exemplar-instead", [put("sheets.S-glow.item", "I-3"), put("explanations.X-1.items", ["I-2"])],
        S, "It was shown on I-3, an exemplar",
    ),
    (
        "exemplar-instead",
        [put("sheets.S-glow.item", "I-3"), put("explanations.X-1.items", ["I-2"]),
         put("explanations.X-1.needs.0.shown_by", ["R-glow-1"])],
        S, "It was shown on I-3, an exemplar",
    ),
    (
        "exemplar-fitted",
        [put("items.I-4", {"what": "cord", "role": "exemplar", "in_use_at_event": "no", "impounded": "yes"}),
         put("sheets.S-glow.accessories", ["I-3", "I-4"])],
        P, "In S-glow I-3 and I-4 are exemplars and stood in",
    ),
    ("exemplar-fitted", [put("sheets.S-glow.accessories", ["I-3"])], P, "In S-glow I-3 is an exemplar and stood in"),
    # A pass by a limit nobody read is no better than a failure by one.
    (
        "limit-unconfirmed", [limit(SourceStatus.FROM_MEMORY), put("readings.glow", ["70", "71"])],
        P, "The verdict on R-glow-1 rests on a limit that nobody held against its document (s/most).",
    ),
    ("exemplar-fitted", [put("sheets.S-glow.item", "I-3")], P, "It was shown on I-3, an exemplar"),
    # Ties: nothing declared, declared by somebody else.
    ("not-independent", [drop("head.declaration")], P, "The examiner has declared no interest"),
    ("not-independent", [put("head.declaration.by", "reviewer")], P, "The examiner has declared no interest"),
    (
        "not-independent",
        [put("statements.W-1", {"by": "examiner", "taken_at": AT.format("08"), "taken_by": "reviewer"})],
        P, "The examiner gave a statement as a witness of the event.",
    ),
    ("not-reviewed", [put("head.reviewer", "examiner")], P, "Nobody but the examiner has reviewed the case."),
    # What was adjusted, and what was not set as found, reproduces nothing.
    ("not-reproduced", [put("sheets.S-glow.moment", "after adjustment")], P, "Nothing that shows X-1 was measured"),
    ("not-reproduced", [put("sheets.S-glow.accessories", ["I-3"])], P, "Nothing that shows X-1 was measured"),
    # The event of a named explanation as strong as its rival's.
    ("rival-at-same-level", [put("explanations.X-2", WHOLE)], U, "X-2 is supported as well"),
    (
        "rival-at-same-level", [put("explanations.X-2", {**WHOLE, "status": "undetermined"})],
        U, "X-2 is supported as well",
    ),
    # To set one aside takes nothing from what speaks for it.
    (
        "rival-at-same-level", [put("explanations.X-2", {**WHOLE, "not_in_play": "nothing can leak"})],
        U, "X-2 is supported as well",
    ),
    (
        "rival-at-same-level", [put("explanations.X-1.status", "undetermined"), put("explanations.X-4", HALF)],
        U, "X-4 is as well supported as what is named",
    ),
    # What was looked for by one test and could not be reached by another was looked for.
    (
        "need-not-shown",
        [put("explanations.X-1.needs", [{"claim": "a", "shown_by": ["F-1"]},
                                        {"claim": "b", "tested_by": ["glow", "leak"]}])],
        S, "“b”; it was looked for and is not shown.",
    ),
    (
        "need-out-of-reach",
        [put("explanations.X-1.needs", [{"claim": "a", "shown_by": ["F-1"]},
                                        {"claim": "b.", "tested_by": ["sound", "leak"]}])],
        S, "“b”; P-sound and P-leak can none of them reach that.",
    ),
    # A rival that gave way to an eye, though a test spoke for it.
    (
        "rival-only-observed",
        [put("explanations.X-2.needs.0.shown_false_by", ["V-1"]), drop("explanations.X-2.needs.0.detects"),
         put("explanations.X-2.supports", ["F-2"])],
        P, "X-2 is weakened by what was seen or told, and by no test able to reach it.",
    ),
    # Parted only by a test that shows what is named, and by one of several.
    (
        "rival-standing",
        [put("explanations.X-4", BARE), put("plan.tests.glow.separates", ["X-4"]),
         put("explanations.X-1.needs.0.shown_by", ["F-1", "V-1"])],
        P, "X-4 was not tested; what shows X-1 parts the two",
    ),
    (
        "rival-standing",
        [put("explanations.X-4", ANSWERED), put("plan.tests.glow.separates", ["X-4"])],
        P, "X-4 still stands; what shows X-1 parts the two",
    ),
    (
        "rival-not-tested",
        [put("explanations.X-4", BARE), put("plan.tests.glow.separates", ["X-4"]),
         put("explanations.X-1.needs.0.shown_by", ["V-1"]), put("explanations.X-1.supports", ["F-1"])],
        S, "X-4 was not tested.",
    ),
    # Reproduced is what a need was shown by, through the part that can speak to it.
    (
        "not-reproduced",
        [put("explanations.X-1.needs.0.shown_by", ["V-1"]), put("explanations.X-1.supports", ["F-1"])],
        P, "Nothing that shows X-1 was measured",
    ),
    (
        "not-reproduced",
        [put("sheets.S-glow.as_found_settings", "no"), put("findings.F-1.rests_on", ["R-glow-1", "R-leak-1"])],
        P, "Nothing that shows X-1 was measured",
    ),
    # An exception for what speaks against is none on the way.
    (
        "exception",
        [put("explanations.X-1.contradicts", ["V-1"]), put("explanations.X-1.answer", "It is old."), lifted("V-1")],
        P, "Q-1 lifts the rule custody-gap elsewhere in the case.",
    ),
    ("exception-on-the-way", [lifted("P-glow")], S, "Q-1 lifts the rule custody-gap for P-glow"),
    ("exception-on-the-way", [lifted("M-1")], S, "Q-1 lifts the rule custody-gap for M-1"),
    ("exception-on-the-way", [lifted("I-2")], S, "Q-1 lifts the rule custody-gap for I-2"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "changes", "level", "says"), WAYS, ids=[f"{one[0]} {one[3][:30]}" for one in WAYS])
def test_each_way(name: str, changes: list[Change], level: ConfidenceLevel, says: str) -> None:
    found = [one for one in weighed(*changes).mechanism.links if one.name == name]
    assert [one.caps for one in found if says in one.text] == [level], [one.text for one in found]


@pytest.mark.parametrize(
    "changes",
    [
        [put(ON, "2026-03-10")],
        [put(DUE, "2026-03-10")],
        [later(("2026-03-09", "no"))],
        [later(("2026-04-01", "yes"), ("2026-05-01", "no"))],
        [calibrated("2026-04-01"), later(("2026-04-02", "no"))],
        [put("sheets.S-glow.checks", [{"what": "leads nulled", "at": AT.format("08"), "ok": "yes"}])],
        [lines({"kind": "transfer", "released_by": "examiner", "from_place": "bench"})],
        [put("custody.0.seal_after", "2001"),
         lines({"kind": "transfer", "released_by": "examiner", "from_place": "bench", "seal_before": "2001"})],
        [limit(SourceStatus.CONFIRMED)],
        # A need that more than one piece of evidence shows, and one that is as it was without a plan's word for it.
        [put("explanations.X-1.needs.0.shown_by", ["F-1", "V-1"])],
    ],
)  # fmt: skip
def test_what_is_as_it_should_be_is_no_link(changes: list[Change]) -> None:
    found = weighed(*changes).mechanism
    assert (found.level, found.links) == (E, ())


def test_one_half_shown_is_a_rival_though_it_was_set_aside() -> None:
    found = links(put("explanations.X-2", {**HALF, "not_in_play": "nothing hisses"}), drop("explanations.X-3"))
    assert "no-rival" not in found and "set-aside-on-words" not in found
    assert found["rival-not-separated"].refs == ("X-2", "X-1")


def test_a_part_without_any_explanation_says_which() -> None:
    found = weighed(put("explanations.X-1.status", "ruled out"), UNNAMED, drop("explanations.X-1.needs"),
                    put("explanations.X-1.contradicts", ["V-1"]))  # fmt: skip
    assert [one.text for one in found.mechanism.links if one.name == "no-explanation"] == [
        "No explanation of how it happened is on record that still stands."
    ]
    assert [one.text for one in found.reason.links if one.name == "no-explanation"] == [
        "No explanation of why it came to be so is on record that still stands."
    ]


def test_a_tie_names_the_record_that_shows_it() -> None:
    told = {"by": "examiner", "taken_at": AT.format("08"), "taken_by": "reviewer"}
    assert links(put("statements.W-1", told))["not-independent"].refs == ("W-1",)
    assert links(put("head.declaration.sold", "yes"))["not-independent"].refs == ()


def test_the_weakest_link_comes_first_and_alone_says_what_would_raise_the_level() -> None:
    found = weighed(put("sheets.S-glow.accessories", ["I-3"]), put("explanations.X-4", BARE)).mechanism
    assert [one.name for one in found.links] == ["rival-not-tested", "exemplar-fitted", "not-reproduced"]
    assert found.level is S
    assert found.would_raise == (found.links[0].would_raise,)


def test_a_rival_set_aside_against_the_evidence_is_a_rival_all_the_same() -> None:
    found = links(put("explanations.X-2", {**WHOLE, "not_in_play": "nothing can leak"}), drop("explanations.X-3"))
    assert "no-rival" not in found and "set-aside-on-words" not in found


def test_a_picture_of_a_thing_as_found_does_not_hang_on_its_custody() -> None:
    found = [put("evidence.E-1", {**PICTURE, "as_found": "yes"}), put("explanations.X-1.needs.0.shown_by", ["E-1"])]
    assert "custody-unaccounted" not in links(*found, put("custody", []))
    # Nor on that of another thing that is in the picture: the finding says what it is about.
    about = put("findings.F-1", {"text": "Hot.", "about": ["I-1"], "rests_on": ["E-1"]})
    refs = [one.refs for one in weighed(SHOT, about, put("custody", [])).mechanism.links if one.name == UNACCOUNTED]
    assert refs == [("I-1",)]


def test_a_rival_that_gave_way_to_a_test_as_well_is_no_link() -> None:
    changes = [put("explanations.X-2.needs.0.shown_false_by", ["F-2", "V-1"]), drop("explanations.X-2.needs.0.detects")]
    assert links(*changes) == {}


def test_a_rival_for_which_something_speaks_is_below_one_that_is_supported() -> None:
    """It stands, and holds the level down to what an untested rival would; it does not stand beside what is named."""
    found = links(put("explanations.X-4", HALF))
    assert "rival-at-same-level" not in found
    assert found["rival-not-separated"].caps is S


def test_how_many_speak_is_told_in_their_number() -> None:
    one = links(put("explanations.X-1.contradicts", ["V-1"]))["contradiction-unanswered"]
    assert one.text == "V-1 speaks against X-1, unanswered."
    more = put("inspection", [{"id": f"V-{number}", "item": "I-1", "seen": "found"} for number in (1, 2)])
    two = links(more, put("explanations.X-1.contradicts", ["V-2", "V-1"]))["contradiction-unanswered"]
    assert (two.text, two.refs) == ("V-1 and V-2 speak against X-1, unanswered.", ("X-1", "V-1", "V-2"))
    # What speaks against one need is in dispute there, and is no contradiction besides.
    assert "contradiction-unanswered" not in links(put("explanations.X-1.needs.0.shown_false_by", ["V-1"]))


def test_what_cannot_speak_is_no_way_round_a_flaw() -> None:
    """F-2 is listed as well and cannot reach the need, so the reading by a stale instrument still carries it alone."""
    stale = put("instruments.M-2.calibrations.0.due", "2026-03-09")
    found = links(
        stale, put("sheets.S-glow.instrument", "M-2"), put("explanations.X-1.needs.0.shown_by", ["F-1", "F-2"])
    )
    assert "instrument-unfit" in found


def test_a_case_without_explanations_or_conclusion() -> None:
    assert weigh(facts(put("explanations", {}), put("conclusion", None))) is None
    found = weighed(put("conclusion", None))
    assert (found.mechanism.level, found.mechanism.named, found.named) == (E, ("X-1",), ())
    assert found.reason.level is U
    assert weighed().named == ("mechanism",)
