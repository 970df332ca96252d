"""A report of some twenty pages with twenty charts set as PDF, against the typesetter alone on the same matter.

Each side runs in a process of its own, since the typesetter remembers within one. The other side gets markup that
somebody wrote by hand for it: the same headings, paragraphs, tables and drawings, the same fonts, page and standards,
without links, margin, repeated facts or data read from JSON. Both sides import what they need within the measured time.
"""

from __future__ import annotations

import datetime as dt
import sys
import tempfile
from importlib import resources
from pathlib import Path

from .drawings import chart
from .method import Line, process, processes, spoken

PARTS, ROWS, TIMES, BOUND = 20, 14, 5, 3.0
WORDS = 5 * "The reading stands with its doubt beside the limit that applies and leads to the line it was typed on. "
ROOT = Path(__file__).resolve().parents[2]


def html(parts: int, drawing: str) -> str:
    """A body of ours: parts with prose, a table, and a chart."""
    out = []
    for part in range(parts):
        rows = "".join(
            f'<tr id="R-p{part}-{n}"><th scope="row">R-p{part}-{n}</th><td>{n}.5 W ± 0.3 W</td><td>pass</td></tr>'
            for n in range(ROWS)
        )
        out.append(
            f'<section><h2 id="part-{part}">Part {part}</h2><div class="af-row"><div><p>{WORDS}</p></div><aside '
            f'class="af-note"><span><a href="#R-p{part}-1">R-p{part}-1</a> 1.5 W ± 0.3 W</span></aside></div>'
            '<table class="af-table"><caption>Readings</caption><thead><tr><th>Reading</th><th>Measured</th><th>Verdict'
            f"</th></tr></thead><tbody>{rows}</tbody></table>"
            f'<figure id="chart-{part}">{drawing}<figcaption><b>It follows.</b></figcaption></figure></section>'
        )
    return "".join(out)


def by_hand(parts: int) -> str:
    """The same words and pictures in the typesetter's own language."""
    out = [
        '#set document(title: "Bench", date: datetime(year: 2026, month: 1, day: 2))',
        '#set page(paper: "a4")\n#set text(font: "Source Serif 4", size: 10pt, lang: "en")\n#outline()',
    ]
    for part in range(parts):
        rows = "".join(f"[R-p{part}-{n}], [{n}.5 W ± 0.3 W], [pass],\n" for n in range(ROWS))
        out.append(f"= Part {part}\n{WORDS}\n\n_R-p{part}-1_ 1.5 W ± 0.3 W\n")
        out.append(f"#table(columns: 3, table.header([Reading], [Measured], [Verdict]),\n{rows})")
        out.append('#figure(image("drawing.svg", alt: "Output", width: 150mm), caption: [It follows.])')
    return "\n".join(out)


def ours(folder: str) -> None:
    """Set the report that lies in a folder."""
    from asfound.document import Report, typeset

    text = (Path(folder) / "report.html").read_text(encoding="utf-8")
    made = typeset(Report(text, "Bench", "bench", "Draft, never issued", False, dt.date(2026, 1, 2), "0123 4567"))
    (Path(folder) / "ours.pdf").write_bytes(made)


def theirs(folder: str) -> None:
    """Compile the markup that lies in a folder."""
    import typst

    fonts = str(resources.files("asfound") / "document/fonts")
    made = typst.compile(
        f"{folder}/hand.typ", root=folder, font_paths=[fonts], ignore_system_fonts=True, pdf_standards=["a-3a", "ua-1"]
    )
    (Path(folder) / "theirs.pdf").write_bytes(made)


def prepare(folder: Path, parts: int, points: int) -> None:
    """Write what both sides read."""
    from asfound.figures import draw
    from asfound.pages.paper import TYPE

    drawing = draw(chart(points), TYPE)
    (folder / "report.html").write_text(html(parts, drawing), encoding="utf-8")
    (folder / "drawing.svg").write_text(drawing, encoding="utf-8")
    (folder / "hand.typ").write_text(by_hand(parts), encoding="utf-8")


def command(name: str, folder: Path) -> list[str]:
    """A process that does one side's work."""
    return [sys.executable, "-c", f"from tests.bench.document import {name}; {name}({str(folder)!r})"]


def measure() -> list[Line]:
    """Ours against the typesetter alone."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        prepare(folder, PARTS, 120)
        mine, floor = processes([command("ours", folder), command("theirs", folder)], TIMES, ROOT)
        pages = process([sys.executable, "-c", _COUNT.format(str(folder / "ours.pdf"))], ROOT).strip()
    what = f"a report of {pages} pages with {PARTS} charts as PDF"
    return [Line(what, "the typesetter alone", mine / floor, BOUND, spoken(mine), spoken(floor))]


_COUNT = "import re; print(len(re.findall(rb'/Type ?/Page\\b', open({!r}, 'rb').read())) or 'some')"
