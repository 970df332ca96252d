"""Drawings that are no charts of numbers, as figures of a page: twice drawn, captioned, with a table behind them."""

from __future__ import annotations

from collections.abc import Sequence

from .lean import lean
from .map import map_body
from .map_box import Link
from .map_spec import Node, SceneMap
from .order import order_body
from .order_spec import Order
from .palette import PAPER, SITE, Palette
from .parts import SIZE, esc

WIDE, NARROW = 760.0, 380.0
Drawing = SceneMap | Order


def drawn(scene: Drawing, palette: Palette, width: float, link: Link) -> str:
    """The drawing as one SVG element, ``width`` CSS pixels wide. Its boxes are links, so it is a group and no image."""
    if isinstance(scene, Order):
        body, height = order_body(scene, palette, width, link)
    else:
        body, height = map_body(scene, palette, width, link)
    key = f"{scene.id}-{width:.0f}"
    said = " ".join(part for part in (scene.result, scene.note) if part)
    made = (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'viewBox="0 0 {width:.0f} {height:.0f}" width="{width:.0f}" '
        f'height="{height:.0f}" role="group" aria-labelledby="{key}-t {key}-d" font-family="{palette.font}" '
        f'font-size="{SIZE}" fill="{palette.ink}"><title id="{key}-t">{esc(scene.title)}</title>'
        f'<desc id="{key}-d">{esc(said)}</desc>{body}</svg>'
    )
    return lean(made) if palette is SITE else made


def diagram(scene: Drawing, link: Link, *, palette: Palette = SITE, table: bool = True) -> str:
    """The whole ``<figure>`` for the site, for wide and for narrow screens."""
    key = esc(scene.id)
    return (
        f'<figure class="af-chart af-diagram" id="{key}">'
        f'<div class="af-still af-only-wide">{drawn(scene, palette, WIDE, link)}</div>'
        f'<div class="af-still af-only-narrow">{drawn(scene, palette, NARROW, link)}</div>'
        f"{_caption(scene)}{_table(scene, link) if table else ''}</figure>"
    )


def still_diagram(scene: Drawing, link: Link, palette: Palette = PAPER, *, table: bool = True) -> str:
    """The figure drawn once, for a page that is handed over."""
    key = esc(scene.id)
    behind = _table(scene, link) if table else ""
    return (
        f'<figure class="af-chart af-diagram" id="{key}">{drawn(scene, palette, WIDE, link)}'
        f"{_caption(scene)}{behind}</figure>"
    )


def _caption(scene: Drawing) -> str:
    note = f" {esc(scene.note)}" if scene.note else ""
    return f"<figcaption><b>{esc(scene.result)}</b>{note}</figcaption>"


def _table(scene: Drawing, link: Link) -> str:
    """Every tie or act, folded on screen and open on paper."""
    if isinstance(scene, Order):
        return _acts(scene, link)
    header = ("record", "from", "to", "by")
    rows = []
    for tie in scene.ties:
        address = link(tie.ref)
        ref = f'<a href="{esc(address)}">{esc(tie.ref)}</a>' if address else esc(tie.ref)
        rows.append((ref, _end(scene.nodes[tie.start]), _end(scene.nodes[tie.end]), esc(tie.words)))
    return behind(scene.title, header, rows)


def _acts(order: Order, link: Link) -> str:
    rows = []
    for act in order.acts:
        address = link(act.ref) if act.ref else ""
        ref = f'<a href="{esc(address)}">{esc(act.ref)}</a>' if address else esc(act.ref)
        things = ", ".join(order.columns[i] for i in (*act.items, *act.fitted))
        broken = f'<span class="af-out">out of order: {esc(act.broken)}</span>' if act.broken else esc(act.allowed)
        rows.append((esc(f"{act.day} {act.clock}"), ref, esc(act.words), esc(things), broken))
    return behind(order.title, ("when", "record", "what", "things", "allowed by"), rows)


def _end(node: Node) -> str:
    state = f", {node.kept}" if node.kept else ""
    return esc(f"{node.ref} {node.name}{state}".strip())


def behind(title: str, header: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table behind a drawing; the cells are safe already."""
    head = "".join(f'<th scope="col">{esc(cell)}</th>' for cell in header)
    body = "".join(f"<tr>{''.join(f'<td>{cell}</td>' for cell in row)}</tr>" for row in rows)
    return (
        '<details class="af-data" data-search-exclude><summary>Table behind the drawing</summary>'
        f'<div class="af-scroll" tabindex="0" role="region" aria-label="{esc(f"Table behind the drawing: {title}")}">'
        f'<table class="af-table"><caption>{esc(title)}</caption><thead><tr>{head}</tr></thead>'
        f"<tbody>{body}</tbody></table></div></details>"
    )


__all__ = ["behind", "diagram", "drawn", "still_diagram"]
