"""The docket: every case of the repository in one list."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from jinja2 import Environment

from asfound.compare import Issued
from asfound.measure import show_date
from asfound.model.dossier import Dossier
from asfound.model.things import ItemRole
from asfound.pages.page import Options, Page, case_uri, relative
from asfound.pages.texts import capital, plural
from asfound.pages.view_duties import next_sentence, risk_words
from asfound.pages.view_editions import edition_words
from asfound.problems import Level, Problem

URI = "index.md"


@dataclass(frozen=True, slots=True)
class Unread:
    """A case whose case.yml could not be read, or the organisation's own files: only problems are known."""

    folder: str
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class Line:
    """A case on the docket."""

    address: str
    id: str
    title: str
    event: str
    day: str
    devices: str
    risk: str
    due: str
    late: bool
    state: str
    edition: str
    conclusion: str
    problems: str
    tone: str


def docket_page(
    environment: Environment,
    dossiers: Sequence[Dossier],
    unread: Sequence[Unread],
    options: Options,
    editions: Mapping[str, Sequence[Issued]],
) -> Page:
    """The first page of the site, newest event first."""
    ordered = sorted(dossiers, key=lambda one: (-one.core.case.head.event.told_at.utc.timestamp(), one.id))
    lines = [_line(one, options, editions.get(one.id, ())) for one in ordered]
    body = environment.get_template("docket.html").render(
        lines=lines, unread=unread, notice=options.notice, duties=options.duties
    )
    return Page(URI, "Docket", body, "Docket of cases")


def _line(dossier: Dossier, options: Options, issued: Sequence[Issued]) -> Line:
    case = dossier.core.case
    devices = [item.what for item in case.items.values() if item.role is ItemRole.MAIN_DEVICE]
    made = case.conclusion
    rejects, warnings = dossier.count(Level.REJECT), dossier.count(Level.WARN)
    needed = dossier.count(Level.NEEDED)
    parts = [plural(count, name) for count, name in ((rejects, "reject"), (warnings, "warning")) if count]
    if needed:
        parts.append(f"{needed} still needed")
    return Line(
        relative(case_uri(case.id), URI, options.directory_urls),
        case.id,
        case.head.title,
        capital(str(case.head.event.kind)),
        show_date(case.head.event.told_at.at.date()),
        "; ".join(devices) or "not yet recorded",
        _risk(dossier),
        next_sentence(dossier.duties) if options.duties else "",
        any(line.late for line in dossier.duties.open),
        str(case.head.stage),
        edition_words(issued[-1]) if issued else "never issued",
        f"mechanism {made.mechanism.level}, reason {made.reason.level}" if made else "none yet",
        ", ".join(parts) or "none",
        "af-out" if rejects else "af-gap" if warnings or needed else "",
    )


def _risk(dossier: Dossier) -> str:
    """Whether others are at risk, and how many were warned."""
    sent = sum(1 for notice in dossier.core.case.notices.values() if notice.urgent)
    warned = f"; {plural(sent, 'urgent notice')} sent" if sent else ""
    return capital(f"{risk_words(dossier.core.case.head.others_at_risk)}{warned}")
