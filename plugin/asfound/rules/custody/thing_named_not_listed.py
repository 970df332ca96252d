"""Every thing that the scene, the account or a statement names stands in the list of items, or among the room's facts.

The two ends of a connection must be an item, a fact of the room, a role, or a person or place in plain words. In the
account and the statements a list of trade words is looked for; there the rule only warns, since words can be loose.

Fails: a connection `from: monitor leads` where no item is called so.
Passes: the same with an item `names: [monitor leads]`; `to: the patient's left forearm`; `to: U-1`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.case import looks_like_id
from asfound.model.facts import Facts
from asfound.model.ids import kind_of
from asfound.model.prose import read_prose
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed, plain, short

ENTRY = Entry(
    name="thing-named-not-listed",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Every thing named in the scene, the account or a statement stands in the list of items or the room.",
    reason="Leads, pads, sets and packaging are what is lost most often, and what the answer most often hangs on.",
    source="published abstracts on sequestering evidence, 2004 and 2014",
    status="confirmed",
    mend="List it in items.yml (also where it was not kept, with the reason), or add the word to an item's names.",
    rows=("R7",),
)

# fmt: off
_PERSON = (
    "patient", "visitor", "staff", "nurse", "surgeon", "doctor", "porter", "operator", "user", "skin", "body", "arm",
    "forearm", "wrist", "hand", "finger", "leg", "thigh", "calf", "foot", "heel", "ankle", "knee", "hip", "back",
    "buttock", "sacrum", "chest", "abdomen", "flank", "shoulder", "neck", "head", "scalp", "ear", "nose", "mouth",
    "vein", "artery", "airway", "trachea", "lung", "heart",
)
_PLACE = (
    "room", "wall", "floor", "ceiling", "socket", "outlet", "mains", "supply", "earth", "ground", "pipeline", "gas",
    "air", "table", "bed", "trolley", "cot", "pole", "rail", "shelf", "bin", "sink", "window", "door", "corridor",
    "theatre", "ward", "bay", "network", "nothing", "nobody", "unknown",
)
TRADE_WORDS = (
    "foot switch", "footswitch", "pencil", "return pad", "return electrode", "electrode", "forceps", "power cord",
    "cable", "lead", "infusion pump", "syringe pump", "syringe", "administration set", "giving set", "tubing", "filter",
    "humidifier", "ventilator", "breathing circuit", "face mask", "defibrillator", "paddle", "monitor", "probe",
    "sensor", "cuff", "warming blanket", "warming unit", "heated mattress", "mattress", "incubator", "hose", "battery",
    "charger", "adapter", "extension lead", "isolation monitor", "laser", "endoscope", "light source", "insufflator",
    "tourniquet", "pacemaker", "suction unit", "vaporiser", "handset", "hoist", "sling", "remote control",
)
# fmt: on
"""Parts of a person and places, which need no tag, and things of the trade, which do."""
_ANY = re.compile(rf"\b(?:{'|'.join((*_PERSON, *_PLACE))})s?\b", re.IGNORECASE)
_TRADE = re.compile(
    rf"(?<![\w-])({'|'.join(sorted((re.escape(word) for word in TRADE_WORDS), key=len, reverse=True))})s?(?![\w-])",
    re.IGNORECASE,
)
# Words that share their spelling with a thing of the trade: "the probe was read", "lead to", "monitored".
_NOT_A_THING = re.compile(r"\b(?:to lead|lead to|leads to|led to|no|without(?: a| any)?)\s*$", re.IGNORECASE)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem for each end of a connection, then one for each word of an account or statement."""
    known = _known(facts)
    scene = facts.case.scene
    if scene is not None:
        for ref, connection in scene.connections.items():
            for field, end in (("from", connection.from_), ("to", connection.to)):
                if not _end_known(facts, end, known):
                    yield facts.problem(
                        ENTRY,
                        ref,
                        field,
                        about="",
                        found=f'the connection names "{short(end, 40)}", which is no item of the case',
                        needed="an item, a fact of the room, or a person or place is needed",
                    )
    if facts.case.some_unread("I") or facts.case.some_unread("U"):
        return  # what cannot be read may be what a text names
    texts: list[tuple[str, tuple[str, ...], str]] = [("case.yml", ("event", "account"), facts.case.head.event.account)]
    for ref, statement in facts.case.statements.items():
        texts += [(ref, (name,), text) for name in ("saw", "did") if (text := getattr(statement, name)) is not None]
    asked: set[str] = set()
    for where, path, text in texts:
        words = [word for word in _things(text) if not _word_known(word, known) and word not in asked]
        asked.update(words)
        if words:
            yield facts.problem(
                ENTRY,
                where,
                *path,
                about="",
                found="the text names " + listed(f'"{word}"' for word in words) + ", and no item is called so",
                needed="an item for each thing that was there is needed",
                level=Level.WARN,
            )


def _known(facts: Facts) -> tuple[str, ...]:
    case = facts.case
    words = [
        word
        for item in case.items.values()
        for word in (item.what, *item.names, item.description or "", item.kit or "")
    ]
    words += [word for point in case.room.values() for word in (point.what, point.kind)]
    words += [word for role, person in case.head.people.items() for word in (role, plain(role), person.title)]
    return tuple(word.casefold() for word in words if word)


def _end_known(facts: Facts, end: str, known: tuple[str, ...]) -> bool:
    if looks_like_id(end):
        there = facts.case.exists(end) or bool(facts.case.unread(end))
        return there and kind_of(end) in {"item", "fact of the room"}
    low = end.casefold()
    return any(low in word or word in low for word in known) or _ANY.search(end) is not None


def _word_known(word: str, known: tuple[str, ...]) -> bool:
    return any(word in listed_word for listed_word in known) or any(
        word.split()[-1] in listed_word.split() for listed_word in known
    )


def _things(text: str) -> list[str]:
    plain_text = read_prose(text).plain
    found = [
        match.group(1).casefold()
        for match in _TRADE.finditer(plain_text)
        if _NOT_A_THING.search(plain_text[: match.start()]) is None
        and not re.match(r"\s+(?:to|by)\b", plain_text[match.end() :])
    ]
    return list(dict.fromkeys(found))
