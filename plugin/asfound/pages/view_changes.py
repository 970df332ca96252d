"""The record of changes: for every record what it said before, who changed it, when, why, and what changed under it.

A page of bounded size: of long values the part that differs is shown, of many changes the newest, and where that is not
all the page says so, and which command tells the rest.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from typing import TypeVar

from markupsafe import Markup, escape
from msgspec import Struct

from asfound.compare.words import FILES
from asfound.measure.show import show_time
from asfound.model.disclosed import facts_alone
from asfound.model.event import Confidentiality
from asfound.model.ids import kind_of, sort_key
from asfound.model.past import NOT_LISTED, Commit, Past, RecordChange, field_words
from asfound.model.plain import plain
from asfound.model.trace import Tracer
from asfound.model.ways import named
from asfound.pages.page import KIND_HOME, SECTIONS
from asfound.pages.part import Part
from asfound.pages.prose import cited
from asfound.pages.texts import capital, plural

MOST_COMMITS, MOST_OWN, MOST_BELOW, MOST_TOLD = 100, 20, 20, 235_000
"""How many commits the page lists, changes of one record and of what lies below it, and bytes of them all."""
MOST_BODY = 400
"""Characters of the body of a message."""
_UNLISTED = " Authors whose role is not listed bear a number."
_NO_EDITION = " A change that names no edition is in none yet."
_TRACED = ("F", "X", "Y")
"""Records whose section tells what changed below them; what others rest on has a section of its own beside theirs."""
_VERBS = {"added": "entered", "changed": "changed", "removed": "taken out", "moved": "moved"}
_FILE_HOME = {
    "case.yml": "", "conclusion.yml": "findings", "injury.yml": "scene", "plan.yml": "work", "scene.yml": "scene",
}  # fmt: skip
_BENCH = "bench"
_PRIVATE = ("D-", "duties.yml")
"""Duties to report are the facility's own and stand on no page of a case."""


class Told(Struct, frozen=True):
    """One change: in which commit, what was done, and the fields from old to new; of a move, where it stood before."""

    commit: Commit | None
    what: str
    place: str
    edition: str
    fields: tuple[str, ...]
    before: str


class Below(Struct, frozen=True):
    """A change of something a record rests on: the way to it, and the fields; with their values where it is a reading,
    else by name, since the record has a section of its own on the page."""

    commit: Commit | None
    ref: Markup
    what: str
    said: tuple[str, ...]
    fields: tuple[str, ...]


_Line = TypeVar("_Line", Told, Below)


class Alike(Struct, frozen=True):
    """What one commit did to several records below: each with the way to it and the fields that changed, as far as
    their values are not told here. `fields` has old and new values."""

    commit: Commit | None
    refs: tuple[tuple[Markup, tuple[str, ...]], ...]
    what: str
    fields: tuple[str, ...]


class Section(Struct, frozen=True):
    """What happened to one record. `more` says how much is not told here; empty where all of it is."""

    ref: str
    anchor: str
    title: Markup
    own: tuple[Told, ...]
    below: tuple[Alike, ...]
    more: str


class Group(Struct, frozen=True):
    """The records of one page of the case.

    sections  those that changed after they entered, and those whose ground did
    untold    those of them for which the page has no room left
    still     those that entered with a commit and never changed: the commit, and the records
    """

    anchor: str
    title: str
    sections: tuple[Section, ...]
    untold: tuple[tuple[str, Markup], ...]
    still: tuple[tuple[Commit, tuple[tuple[str, Markup], ...]], ...]


class ChangesPart(Part):
    """What the page about changes asks, and the links that lead to it."""

    drafts_left_out: bool
    """Whether earlier wordings of an opinion are left out; set with `past`."""

    @cached_property
    def past(self) -> Past:
        """The history this site may show: of a case handed out, that of facts alone."""
        past = self.dossier.history
        if any(one.ref.startswith(_PRIVATE) for one in (*past.changes, *past.uncommitted)):
            past = replace(
                past,
                changes=tuple(one for one in past.changes if not one.ref.startswith(_PRIVATE)),
                uncommitted=tuple(one for one in past.uncommitted if not one.ref.startswith(_PRIVATE)),
            )
        handed_out = self.head.confidentiality in (Confidentiality.RELEASED, Confidentiality.PUBLIC)
        self.drafts_left_out = False
        if handed_out:
            past, dropped = facts_alone(past)
            self.drafts_left_out = dropped > 0
        return past

    def changes_link(self, ref: str) -> Markup:
        """A link to what happened to a record; empty where git tells nothing of it, and where there is no such page."""
        if self.single or not self.past.of(ref):
            return Markup("")
        address = f"{self.page('changes')}#{_anchor(ref)}"
        return Markup(f'<a class="af-line" href="{escape(address)}" aria-label="Changes of {escape(ref)}">changes</a>')

    def changes_note(self, ref: str) -> tuple[Markup, ...]:
        """The same, for a margin."""
        link = self.changes_link(ref)
        if not link:
            return ()
        after = sum(1 for one in self.past.of(ref) if one.kind == "changed")
        times = "once" if after == 1 else plural(after, "time")
        said = f"changed {times} since it entered: " if after else "not changed since it entered: "
        return (Markup(f"{said}{link}"),)

    @cached_property
    def changes_words(self) -> str:
        """What the page tells, or why it tells nothing."""
        past = self.past
        if not past.known:
            why = past.why[:1].upper() + past.why[1:]
            return f"Not provable. {why if why.endswith('.') else f'{why}.'}"
        if not past.commits:
            return "No commit holds the case yet, so nothing is told of its changes."
        return (
            f"{capital(plural(len(past.commits), 'commit'))} touched the case or what it uses of the organisation’s. "
            "Times are commit times, by the clock of whoever committed; none is the time of evidence. People stand by "
            f"their role.{_UNLISTED if any(one.role == NOT_LISTED for one in past.commits) else ''}"
            f"{'' if all(one.edition for one in past.changes) else _NO_EDITION}"
        )

    @cached_property
    def commits_shown(self) -> list[tuple[Commit, str, str, list[Markup], int]]:
        """The newest commits: the commit, the edition it entered, its message, records it touched, how many more."""
        touched: dict[str, list[RecordChange]] = {}
        for change in self.past.changes:
            touched.setdefault(change.commit, []).append(change)
        found = []
        for commit in reversed(self.past.commits[-MOST_COMMITS:]):
            changes = touched.get(commit.id, [])
            refs = sorted(dict.fromkeys(one.ref for one in changes), key=sort_key)
            edition = next((one.edition for one in changes), 0)
            links = [self._to_section(ref) for ref in refs[:8]]
            found.append((commit, _edition(edition), _message(commit), links, max(len(refs) - 8, 0)))
        return found

    @cached_property
    def commits_hidden(self) -> int:
        """How many older commits are not listed."""
        return max(len(self.past.commits) - MOST_COMMITS, 0)

    @cached_property
    def not_committed(self) -> list[tuple[Markup, str, tuple[str, ...]]]:
        """What lies there differently from the last commit: record, what was done, fields."""
        return [
            (self._record(one.ref), _VERBS[one.kind], _fields(one) if one.kind != "added" else ())
            for one in self.past.uncommitted[:MOST_OWN]
        ]

    @cached_property
    def not_committed_hidden(self) -> int:
        """How many of these are not listed."""
        return max(len(self.past.uncommitted) - MOST_OWN, 0)

    @cached_property
    def change_groups(self) -> list[Group]:
        """Every record git knows of, under the page it stands on."""
        tracer = Tracer(self.dossier)
        self._room = MOST_TOLD
        homes: dict[str, list[str]] = {}
        for ref in sorted(self.past.by_ref, key=sort_key):
            homes.setdefault(_home(ref), []).append(ref)
        names = {
            **dict(SECTIONS),
            "": "The case as a whole",
            "record": "Approvals, editions, other files",
            _BENCH: "What the organisation brings",
        }
        order = [*(section for section, _ in SECTIONS), _BENCH]
        # Findings and what was concluded have the room first; whatever then fits not is told in a line.
        first = sorted(homes, key=lambda home: (home != "findings", home != "measurements", order.index(home)))
        made = {home: self._of_page(home, names[home], homes[home], tracer) for home in first}
        return [made[home] for home in order if home in made]

    def _of_page(self, home: str, title: str, refs: Sequence[str], tracer: Tracer) -> Group:
        sections: list[Section] = []
        untold: list[tuple[str, Markup]] = []
        still: dict[str, list[tuple[str, Markup]]] = {}
        for ref in refs:
            changes = self.past.of(ref)
            below = list(self._below(ref, tracer)) if ref[:1] in _TRACED or ref == "conclusion.yml" else []
            if len(changes) == 1 and changes[0].kind == "added" and not below:
                still.setdefault(changes[0].commit, []).append((_anchor(ref), self._named(ref)))
                continue
            if self._room > 0:
                sections.append(self._section(ref, changes, below))
            else:
                untold.append((_anchor(ref), self._named(ref)))
        lines = [(commit, tuple(still[commit.id])) for commit in self.past.commits if commit.id in still]
        return Group(f"of-{home or 'case'}", title, tuple(sections), tuple(untold), tuple(lines))

    def _section(self, ref: str, changes: Sequence[RecordChange], below: Sequence[Below]) -> Section:
        own = [self._told(change) for change in changes[-MOST_OWN:]]
        under = list(below[-MOST_BELOW:])
        own, under = self._kept(own), self._kept(under)
        left = len(changes) - len(own) + len(below) - len(under)
        more = (
            f"{plural(left, 'earlier change')} not shown here; asfound trace {ref} tells all of them." if left else ""
        )
        return Section(ref, _anchor(ref), self._record(ref), tuple(own), _alike(under), more)

    def _kept(self, lines: list[_Line]) -> list[_Line]:
        """The newest of them, as many as there is room for."""
        kept = 0
        for one in reversed(lines):
            if self._room <= 0:
                break
            self._room -= _cost(one)
            kept += 1
        return lines[len(lines) - kept :]

    def _told(self, change: RecordChange) -> Told:
        line = f":{change.line}" if change.line else ""
        return Told(
            self.past.commit(change.commit),
            _VERBS[change.kind],
            f"{plain(change.file).removeprefix(f'{self.case.folder}/')}{line}",
            f"; {_edition(change.edition)}" if change.edition else "",
            () if change.kind in ("added", "moved") else _fields(change),
            next((plain(one.old or "") for one in change.fields), "") if change.kind == "moved" else "",
        )

    def _below(self, ref: str, tracer: Tracer) -> Iterator[Below]:
        """What changed under a record after it entered git: what stood there before it was written is its ground."""
        trace = tracer.trace(ref)
        entered = next((one.commit for one in self.past.of(ref) if one.kind == "added"), "")
        reached = not entered
        for commit, changes in trace.steps:
            if not reached:
                reached = commit.id == entered
                continue
            for change in changes:
                # A move changes no word of a record; it is told where the record itself is.
                if change.ref == ref or change.kind in ("added", "moved"):
                    continue
                way = trace.way(change.ref)[1:-1]
                said = [f"by way of {', '.join(way)}"] if way else []
                whole = change.ref.startswith("R-") or change.kind == "removed"
                if not whole and change.fields:
                    said.append("its " + ", ".join(plain(named(field.name)) for field in change.fields[:MOST_OWN]))
                yield Below(
                    self.past.commit(commit.id),
                    self._to_section(change.ref),
                    _VERBS[change.kind],
                    tuple(said),
                    _fields(change)[:MOST_OWN] if whole else (),
                )

    def _record(self, ref: str) -> Markup:
        """A record by name, linked where it still stands."""
        link = cited(ref, ref, self.href) if self.href(ref) else escape(plain(ref))
        if ref[:2] in {f"{letter}-" for letter in KIND_HOME}:
            gone = "" if self._stands(ref) else ", no longer on record"
            return Markup("{} {}{}").format(capital(kind_of(ref)), Markup(link), gone)
        return Markup("{}").format(capital(FILES[ref]) if ref in FILES else Markup(link))

    def _named(self, ref: str) -> Markup:
        """A record by its id alone, linked where it still stands."""
        return Markup(cited(ref, ref, self.href) if self.href(ref) else escape(plain(ref)))

    def _to_section(self, ref: str) -> Markup:
        return Markup('<a href="#{}">{}</a>').format(_anchor(ref), plain(ref))

    def commit_words(self, commit: Commit | None) -> Markup:
        """A commit in a line: digits linked to the list, commit time, role; or the number that stands for it."""
        if commit is None:
            return Markup("")
        who = commit.author if commit.role == NOT_LISTED else plain(commit.role)
        said = f", commit time {self.commit_time(commit)}, {who}"
        return Markup("commit {}{}").format(self.commit_link(commit), said)

    def commit_time(self, commit: Commit) -> str:
        """When it was committed, by the clock of whoever did."""
        return show_time(commit.at.replace(second=0, microsecond=0))

    def commit_role(self, commit: Commit) -> str:
        """Who committed, by role; an author without one by a label that tells authors apart."""
        return plain(commit.role) if commit.role != NOT_LISTED else f"{commit.author}, whose role is not listed"

    def commit_link(self, commit: Commit) -> Markup:
        """The first digits of a commit, linked to its line in the list where it stands there."""
        listed = commit.id in self._listed
        said = Markup("{}").format(commit.short)
        return Markup('<a href="#commit-{}">{}</a>').format(commit.short, said) if listed else said

    @cached_property
    def _listed(self) -> frozenset[str]:
        return frozenset(one.id for one in self.past.commits[-MOST_COMMITS:])

    def message(self, commit: Commit | None) -> str:
        """What the commit says of itself: its first line."""
        return plain(commit.subject) if commit is not None else ""


def _cost(one: Told | Below) -> int:
    """About how many bytes a change takes on the page."""
    if isinstance(one, Below):
        # Those of one commit stand together.
        return 60 + sum(len(part) + 9 for part in (*one.fields, *one.said))
    subject = one.commit.subject if one.commit is not None else ""
    return 180 + len(subject) + sum(len(part) + 9 for part in (*one.fields, one.place, one.before))


def _alike(below: Sequence[Below]) -> tuple[Alike, ...]:
    """Changes below, those of one commit that say the same told together."""
    found: dict[tuple[str, str, tuple[str, ...]], list[Below]] = {}
    for one in below:
        found.setdefault((one.commit.id if one.commit else "", one.what, one.fields), []).append(one)
    return tuple(
        Alike(ones[0].commit, tuple((one.ref, one.said) for one in ones), what, fields)
        for (_, what, fields), ones in found.items()
    )


def _anchor(ref: str) -> str:
    """The anchor of a record's section; of a name that is no id, its characters that may stand in one."""
    return "of-" + "".join(char if char.isascii() and (char.isalnum() or char in "-_.") else "-" for char in ref)


def _home(ref: str) -> str:
    """The page a record stands on; `evidence` for a file that no record is known of."""
    if ref in _FILE_HOME:
        return _FILE_HOME[ref]
    head = ref.partition("/")[0]
    if ref[1:2] == "-" and ref[:1] in KIND_HOME:
        return _BENCH if ref.startswith("M-") else KIND_HOME[ref[:1]]
    if ref.startswith("case.yml"):
        return ""
    if head in ("approvals", "editions"):
        return "record"
    if head == "evidence":
        return "evidence"
    if ref.endswith((".yml", ".yaml", ".csv")) and not ref.startswith(".asfound/"):
        return "measurements" if head == "readings" else "record"
    return _BENCH if "/" in ref else "evidence"


def _edition(number: int) -> str:
    return f"entered edition {number}" if number else "in no edition yet"


def _fields(change: RecordChange) -> tuple[str, ...]:
    return tuple(plain(field_words(field)) for field in change.fields)


def _message(commit: Commit) -> str:
    body = plain(" ".join(commit.body.split()))
    return body if len(body) <= MOST_BODY else f"{body[: MOST_BODY - 1].rstrip()}…"
