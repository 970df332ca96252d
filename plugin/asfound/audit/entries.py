"""What is asked of a built site, one entry a rule."""

from __future__ import annotations

from asfound.problems import Entry, Family, Level

_CSP = "W3C, Content Security Policy Level 3"
_WCAG = "W3C, Web Content Accessibility Guidelines 2.2, success criterion 1.1.1"


def entry(name: str, title: str, reason: str, mend: str, source: str = "", level: Level = Level.REJECT) -> Entry:
    """An entry about a built site; without a source it is common practice."""
    known = source or "common practice, no source"
    return Entry(
        name=name, family=Family.INTEGRITY, level=level, title=title, reason=reason, source=known,
        status="from memory" if source else "ours", mend=mend, liftable=False,
    )  # fmt: skip


OUTSIDE = entry(
    "outside-reference",
    "No page fetches, or sends, anything beyond the site.",
    "Whoever is asked learns who reads which case; and a page that needs somebody else is not whole in fifteen years.",
    "Put the file beside the pages, or take out what asks for it.",
)
UPLOAD = entry(
    "upload-control",
    "Nothing on a page offers to send data away.",
    "A chart library offers to send a chart to its maker unless it is told not to, and evidence leaves by one click.",
    "Say `showSendToCloud: false` and an empty `plotlyServerURL` in the chart; take out fields that take files.",
)
RAW = entry(
    "raw-file-published",
    "No raw file of a case lies in the site.",
    "Files of evidence hold what nobody chose to publish: places, times, names, faces.",
    "Take it out of the documents folder; the site shows pictures that were made anew.",
)
METADATA = entry(
    "picture-with-metadata",
    "A published picture carries nothing but the picture.",
    "What a camera writes beside a picture can hold the place, the device and its owner.",
    "Make the picture anew without metadata.",
)
WORDS = entry(
    "missing-alternative",
    "Every picture and drawing has words for those who do not see it.",
    "Who reads by ear has only the words.",
    "Give an `alt`, a `<title>` or an `aria-label`, a `<figcaption>`; hide what only decorates with `aria-hidden`.",
    _WCAG,
)
STAMP = entry(
    "unstamped-page",
    "Every page says which version of the program made it, and a page of a case the digest it was made from.",
    "Without it nobody can tell years later what a printed page shows.",
    "Build the site with the plugin, which says both in each head, or from what asfound render writes.",
)
POLICY = entry(
    "page-policy",
    "Every page tells the browser to load nothing but what lies beside it, and keeps to that itself.",
    "It stops what a theme's script would fetch, whatever sets it off.",
    "Leave `content_policy` on; a script that stands in a page is let through by its digest or not at all.",
    _CSP,
)
LINK = entry(
    "dead-link",
    "Every link within the site leads to a page, and to a place on it.",
    "A sentence whose link leads nowhere rests on nothing that a reader can see.",
    "Mend the address, or the anchor it names.",
)
UNREAD = entry(
    "unreadable-page",
    "Every page is text in UTF-8.",
    "What cannot be read cannot be judged.",
    "Build the site anew.",
)
DORMANT = entry(
    "dormant-address",
    "Addresses that stand in scripts and are never asked are named.",
    "They are text: the policy of every page stops the browser from asking them.",
    "Nothing needs to be done while every page has its policy.",
    level=Level.NOTE,
)
ENTRIES = (OUTSIDE, UPLOAD, RAW, METADATA, WORDS, STAMP, POLICY, LINK, UNREAD, DORMANT)
