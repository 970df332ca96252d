"""A sheet of tags to print: one for each impounded thing, with a code that leads back to its record.

One file without script and without network. What is not on record is left as a line to write on, never guessed.
"""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup, escape
from msgspec import Struct

from asfound.account import accounts
from asfound.model.base import NotKnown
from asfound.model.case import Case
from asfound.model.dossier import Dossier
from asfound.model.ids import sort_key
from asfound.model.things import Item
from asfound.pages.texts import Texts, when

_STYLE = """
@page { margin: 10mm }
* { box-sizing: border-box }
body { margin: 0; font: 10.5pt/1.3 'Source Sans 3', 'Source Sans Pro', sans-serif; color: #000; background: #fff }
main { display: grid; grid-template-columns: 92mm 92mm; gap: 2mm }
article { min-height: 60mm; border: 0.4mm solid #000; padding: 2mm 3mm; display: grid;
  grid-template: auto 1fr auto / 1fr 27mm; column-gap: 2mm; break-inside: avoid }
h2 { margin: 0; font-size: 15pt; line-height: 1.15; grid-column: 1 / 3 }
h2 span { font-weight: 400; font-size: 11pt }
dl { margin: 0; display: grid; grid-template-columns: 21mm 1fr; align-content: start; font-size: 8.5pt }
dt { color: #444 }
dd { margin: 0; overflow-wrap: anywhere }
.write { border-bottom: 0.3mm solid #000; height: 5mm }
svg { width: 27mm; height: 27mm }
.code { text-align: center; font-size: 6.5pt; overflow-wrap: anywhere }
footer { grid-column: 1 / 3; border-top: 0.3mm solid #000; padding-top: 0.8mm; font-size: 8.5pt; font-weight: 600 }
@media screen { body { padding: 10mm; max-width: 210mm } }
"""
CAUTION = "Evidence. Do not clean, open, adjust, connect or switch on."
BIOHAZARD = "May carry infection: gloves, and do not clean."


class NoCodesError(Exception):
    """The library that draws the codes is not installed."""


class Tag(Struct, frozen=True):
    """What stands on one tag. An empty text is a line to write on.

    code  what the printed code holds: `asfound:<case>#<item>`
    """

    item: str
    what: str
    case: str
    description: str
    identity: str
    collector: str
    collected: str
    seal: str
    biohazard: bool
    code: str


def tags_of(dossier: Dossier, only: Iterable[str] = ()) -> tuple[Tag, ...]:
    """The tags of a case, in order: of every impounded item, or of the items named."""
    case, texts = dossier.core.case, Texts(dossier)
    wanted = tuple(only) or tuple(ref for ref, item in case.items.items() if item.impounded)
    known = accounts(case)
    found = []
    for ref in sorted(set(wanted), key=sort_key):
        item = case.items[ref]
        lines = known[ref].lines if ref in known else ()
        seals = [seal for line in lines for seal in (line.seal_before, line.seal_after) if seal]
        found.append(
            Tag(
                item=ref,
                what=item.what,
                case=case.id,
                description=item.description or "",
                identity=_identity(item),
                collector=texts.role(item.collected_by) if item.collected_by else "",
                collected=when(item.collected_at) if item.collected_at else "",
                seal=seals[0] if seals else "",
                biohazard=item.biohazard in {"yes", "not known"},
                code=code_of(case, ref),
            )
        )
    return tuple(found)


def code_of(case: Case, ref: str) -> str:
    """What a code holds: enough to find the record again, and nothing about a person."""
    return f"asfound:{case.id}#{ref}"


def _identity(item: Item) -> str:
    pairs = (("model", item.model), ("serial", item.serial), ("lot", item.lot))
    return ", ".join(
        f"{name} {value}" for name, value in pairs if value is not None and not isinstance(value, NotKnown)
    )


def drawn(code: str) -> Markup:
    """A code as SVG (QR code, ISO/IEC 18004; level M, four modules of quiet around it).

    Raises NoCodesError where the library is not installed.
    """
    try:
        import segno
    except ImportError as error:
        raise NoCodesError from error
    made = segno.make_qr(code, error="m", boost_error=False)
    return Markup(made.svg_inline(border=4, omitsize=True, svgclass=None, lineclass=None, title=code))


def tags_html(tags: Iterable[Tag], title: str) -> str:
    """The sheet as one file."""
    body = Markup("\n").join(_tag(tag) for tag in tags)
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>Tags: {escape(title)}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n<main>\n{body}\n</main>\n"
        "</body>\n</html>\n"
    )


def _tag(tag: Tag) -> Markup:
    rows = (
        ("Case", tag.case),
        ("On the tag", tag.description),
        ("Identity", tag.identity),
        ("Collected by", tag.collector),
        ("Date, time", tag.collected),
        ("Seal number", tag.seal),
        ("Signature", ""),
    )
    facts = Markup("").join(
        Markup("<dt>{}</dt><dd>{}</dd>").format(name, value)
        if value
        else Markup('<dt>{}</dt><dd class="write"></dd>').format(name)
        for name, value in rows
    )
    caution = f"{CAUTION} {BIOHAZARD}" if tag.biohazard else CAUTION
    return Markup(
        '<article id="{}"><h2>{} <span>{}</span></h2><dl>{}</dl><div class="code">{}<div>{}</div></div>'
        "<footer>{}</footer></article>"
    ).format(tag.item, tag.item, tag.what, facts, drawn(tag.code), tag.code, caution)
