"""The rules that limit sets and protocols answer to, as the catalogue prints them."""

from __future__ import annotations

from asfound.problems import Entry, Family, Level


def _entry(
    name: str,
    title: str,
    reason: str,
    mend: str,
    *,
    source: str = "common practice, no source",
    status: str = "ours",
    rows: tuple[str, ...] = (),
) -> Entry:
    """An entry of integrity. What a case is held against is mended, not lifted."""
    return Entry(
        name=name,
        family=Family.INTEGRITY,
        level=Level.REJECT,
        title=title,
        reason=reason,
        source=source,
        status=status,
        mend=mend,
        rows=rows,
        liftable=False,
    )


_17025 = "ISO/IEC 17025:2017, 7.8.6.2 b"

ENTRIES: tuple[Entry, ...] = (
    _entry(
        "limit-set-twice",
        "A limit set has a name of its own.",
        "Of two sets with one name, one would be used and the other passed over, and a verdict would not say which.",
        "Give the set a name of its own; to build on a set of the program, name that one under extends.",
    ),
    _entry(
        "reporting-set-twice",
        "A set of reporting duties has a name of its own.",
        "Of two sets with one name, one would be used and the other passed over, and a due date would not say which.",
        "Give the set a name of its own; the program's sets cannot be replaced, only added to.",
    ),
    _entry(
        "reporting-duty-twice",
        "A reporting duty has a name of its own.",
        "A record in duties.yml names its duty; with two of one name nobody could say which clock it stopped.",
        "Give the duty a name of its own.",
    ),
    _entry(
        "reporting-count-beyond",
        "A time limit counts at least one, and no more than ten years of days.",
        "A limit of nothing would remind nobody, and one of a thousand years is a slip of the hand.",
        "Write how many days or hours the document gives.",
    ),
    _entry(
        "reporting-clock-never-chosen",
        "A clock of a reporting duty can be chosen, and says to whom the report goes.",
        "A clock that no statement of a case can choose would stand there and remind nobody.",
        "Use the words of the statement that decides, and name who must have the report.",
    ),
    _entry(
        "limit-extends-unknown",
        "A set extends a set that exists.",
        "Limits that were meant to be taken over would be missing, and what they forbid would pass unseen.",
        "Write the name of an existing set after extends.",
    ),
    _entry(
        "limit-extends-circle",
        "Sets do not extend each other in a circle.",
        "Nobody could say which limit is the first and which the tightened one.",
        "Take extends out of one of them.",
    ),
    _entry(
        "limit-loosened",
        "A limit is loosened only by someone who answers for it.",
        "A looser limit turns a fail into a pass; whoever reads the verdict must be able to ask who allowed it.",
        "Name under verified_by, by role, who held the looser limit against its document, or tighten it again.",
        source="ISO/IEC 17025:2017, 7.1.3 and 7.8.6.2 b",
        status="from memory",
        rows=("R65",),
    ),
    _entry(
        "limit-confirmed-by-nobody",
        "A limit becomes confirmed only when someone has read it in its document.",
        "A verdict says how well its limit is known; the word must not come from a file that was merely edited.",
        "Name under verified_by, by role, who held it against a bought copy, and when under verified_on.",
        source=_17025,
        status="confirmed",
        rows=("R65",),
    ),
    _entry(
        "limit-clause-missing",
        "A limit that speaks for a document names document, edition and clause.",
        "A number without its place in a document cannot be checked by the other side.",
        "Write the clause, the table or the page; a figure without a document has another kind.",
        source=_17025,
        status="confirmed",
        rows=("R65",),
    ),
    _entry(
        "limit-test-unknown",
        "A limit belongs to a test that a protocol has.",
        "No reading would ever be held against it.",
        "Write the name of a test as the protocol writes it.",
    ),
    _entry(
        "limit-shape-wrong",
        "A limit has just what its sense needs.",
        "A limit without its bound decides nothing; one with two bounds decides in two ways.",
        "Fill in what the sense needs and take out what it does not.",
    ),
    _entry(
        "limit-unit-unknown",
        "The unit of a limit is in the list of units.",
        "A unit that cannot be read cannot be compared, and is not guessed.",
        "Write a unit of the list.",
        rows=("R52",),
    ),
    _entry(
        "limit-quantity-differs",
        "A limit measures what its test measures.",
        "A current cannot be compared with a resistance.",
        "Write the quantity of the test, and bounds in its units.",
        rows=("R52",),
    ),
    _entry(
        "limit-condition-unknown",
        "The conditions of a limit are conditions of its test.",
        "A condition that no reading can meet makes a limit that never speaks.",
        "Write the condition, and its words, as the protocol writes them.",
    ),
    _entry(
        "starter-twice",
        "A starter list has a name of its own.",
        "Of two lists with one name, one would be asked for and the other passed over.",
        "Give the list a name of its own; its lines are then asked for beside those of the other.",
    ),
    _entry(
        "protocol-twice",
        "A protocol has a name of its own.",
        "Of two protocols with one name, one would be followed and the other passed over.",
        "Give the protocol a name of its own; to build on one of the program, name that one under includes.",
    ),
    _entry(
        "protocol-includes-unknown",
        "A protocol includes protocols that exist.",
        "Checks and tests that were meant to be asked would not be asked.",
        "Write the name of an existing protocol under includes.",
    ),
    _entry(
        "protocol-includes-circle",
        "Protocols do not include each other in a circle.",
        "Nobody could say which of them is built on which.",
        "Take one of the includes out.",
    ),
    _entry(
        "protocol-test-twice",
        "A test has one meaning within a protocol and all that it includes.",
        "A plan names a test by its name alone; with two meanings nobody could say which was done.",
        "Give one of the tests another name.",
    ),
    _entry(
        "protocol-name-unknown",
        "What a protocol refers to exists: tests, conditions and their values, topics, cautions.",
        "A reference to nothing is a test left out, a coverage never asked for, or a caution not shown.",
        "Write the name as it stands where it is defined.",
    ),
    _entry(
        "protocol-unit-unknown",
        "Units and quantities of a test are in the list of units.",
        "A unit that cannot be read cannot be compared, and is not guessed.",
        "Write a unit of the list, of the quantity that is measured.",
        rows=("R52",),
    ),
    _entry(
        "protocol-condition-reserved",
        "A condition that is covered is not named as a column that every reading sheet has.",
        "Its column would be taken for the value's unit, its time or its note, and the sheet could not be read.",
        "Give the condition another name, in the protocol and wherever a plan or a sheet names it.",
    ),
    _entry(
        "word-list-unknown",
        "Words are added to a list that exists.",
        "Words that no rule looks for would seem to be looked for.",
        "Write the name of a list, as the rule catalogue shows it.",
    ),
    _entry(
        "word-list-closed",
        "To a list whose words let something pass, an organisation adds only under allow.",
        "A rule must not grow silent without anybody's answering for it.",
        "Move the words to allow, each with why, by and on.",
    ),
    _entry(
        "word-entry-twice",
        "An entry of a list of words has a name of its own.",
        "Of two entries with one name one would take the place of the other, and what it found would pass unseen.",
        "Choose another name.",
    ),
    _entry(
        "word-phrase-unreadable",
        "A phrase can be read.",
        "What cannot be read is looked for by nobody.",
        "Write the words as they are said; * is any ending, (a|b) one of these, … up to three words, # a number.",
    ),
    _entry(
        "word-example-wrong",
        "The example sentences of an entry come out as they say.",
        "An entry that misses its own example misses others.",
        "Correct the phrase, its exceptions, or the sentence.",
    ),
    _entry(
        "word-allowance-too-wide",
        "A phrase that is let pass is longer than the word it lets pass.",
        "A word let pass wherever it stands has been taken out of the list.",
        "Write the harmless phrase whole, without * and ….",
    ),
)
