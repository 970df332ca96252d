"""Words that turn a fact into an opinion, each with the reason why. Data, so that it can be read and argued over.

The patterns are narrow. *Due* alone, *fault current*, *clearly legible* or *cause not examined* are ordinary words of
a finding and are let pass.
"""

from __future__ import annotations

from typing import NamedTuple


class OpinionWord(NamedTuple):
    """`pattern` is a regular expression between word boundaries; `reason` a clause that follows *which*."""

    pattern: str
    reason: str


_LINK = "links two facts as cause and effect"
_BLAME = "judges somebody's conduct"
_CERTAIN = "claims a certainty that the sources alone can give"
_GUESS = "marks a guess"
_JUDGED = "judges the thing instead of describing it"

WORDS: tuple[OpinionWord, ...] = (
    OpinionWord(r"because(?: of)?", _LINK),
    OpinionWord(r"caus(?:ed|es|ing)|(?:is|was|were|are) the cause(?: of)?", _LINK),
    OpinionWord(r"due to(?! (?:be|expire|run|take|return|arrive|start|end|begin|come)\b)", _LINK),
    OpinionWord(r"owing to|thanks to|as a (?:result|consequence) of|gave rise to|brought about", _LINK),
    OpinionWord(r"(?<!was )(?<!were )(?<!is )(?<!are )led to", _LINK),
    OpinionWord(r"therefore|hence|consequently|thereby", _LINK),
    OpinionWord(r"responsible for(?! (?:maintenance|the maintenance|custody|the custody|training|cleaning)\b)", _LINK),
    OpinionWord(r"negligen(?:t|ce|tly)|careless(?:ly|ness)?|reckless(?:ly)?|incompetent(?:ly)?", _BLAME),
    OpinionWord(r"should (?:not )?have|ought (?:not )?to have", _BLAME),
    OpinionWord(r"(?:user|operator|human|use)[ -]errors?|misus(?:e|ed)|abus(?:e|ed)|mishandl(?:ed|ing)", _BLAME),
    OpinionWord(r"at fault|to blame|blam(?:ed|eworthy)", _BLAME),
    OpinionWord(r"obvious(?:ly)?|evident(?:ly)?|undoubtedly|doubtless|certainly|of course", _CERTAIN),
    OpinionWord(r"clearly(?! (?:legible|readable|visible|audible|marked|labelled|seen|heard|shown)\b)", _CERTAIN),
    OpinionWord(r"proves?|proved|proven", _CERTAIN),
    OpinionWord(r"probabl[ey]|presumabl[ey]|apparently|supposedly|likely(?= to\b)|(?:most|more|very) likely", _GUESS),
    OpinionWord(r"(?:seems?|seemed|appears?|appeared) to have", _GUESS),
    OpinionWord(r"must have(?= been\b| \w+ed\b)|could have|might have|may have", _GUESS),
    OpinionWord(r"defective(?:ly)?|faulty|malfunction(?:ed|ing)|improper(?:ly)?|inadequate(?:ly)?", _JUDGED),
    OpinionWord(r"unsafe|dangerous(?:ly)?|hazardous(?:ly)?|unacceptabl[ey]|substandard|poorly (?:made|built)", _JUDGED),
)
