"""Text that people wrote, as Markdown in which nothing acts on a host of code.

Escaping by backslash is not enough. Hosts look for mentions, references and addresses after Markdown has been read, in
the text as it stands then, and a backslash is gone by that time (github/markup issue 1168 and github/cmark-gfm issue
181, confirmed; other hosts from memory). In code they do not look. So a word that would become one stands as code. An
at sign before a name is written out as its code point besides: an answer by mail quotes a comment as plain text, and
there even code would call somebody (dependabot-core pull request 3157, confirmed).
"""

from __future__ import annotations

import re

from asfound.model.plain import plain

_MARKS = re.compile(r"([\\`*_{}\[\]<>()#+!|~&])")
_MENTION = re.compile(r"@(?=[0-9A-Za-z_.])")
_ACTS = re.compile(
    r"""
    ://|www\.|(?:mailto|xmpp):      # addresses
    |[#!%&~]\w|GH-\d                  # issues, requests, milestones, epics, labels
    |\$                                 # formulas, and snippets by number
    |:[\w+-]+:                          # pictures by name
    |\b[0-9a-f]{7,64}\b               # commits
    """,
    re.VERBOSE | re.IGNORECASE,
)


def safe(text: str) -> str:
    """Text in which nothing is Markdown, HTML, a mention, a reference or an address; what it says stays readable."""
    shown = _MENTION.sub("<U+0040>", plain(text))
    return "".join(_piece(one) for one in re.split(r"(\s+|`)", shown))


def _piece(piece: str) -> str:
    if not _ACTS.search(piece):
        return _MARKS.sub(r"\\\1", piece)
    # Stops and quotation marks around it belong to the sentence.
    core = piece.strip("“”.,;…")
    if core == piece or not core:
        return f"`{piece}`"
    head, _, tail = piece.partition(core)
    return f"{head}`{core}`{tail}"
