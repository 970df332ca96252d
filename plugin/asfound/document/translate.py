"""The body of a report as data for the typesetter. Nothing is dropped: an element without a translation is an error."""

from __future__ import annotations

import html as entities
import re
from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import Struct, field

from asfound.document.inline import INLINE, Element, empty, inline, trimmed
from asfound.document.links import settle
from asfound.document.report import Undocumentable
from asfound.document.tables import table
from asfound.document.tree import MARK, Node, read

_HEADING = re.compile(r"h([1-6])")
_THROUGH = {"body", "section", "div", "article", "main", "header", "footer", "li", "td", "th", "caption", "dd", "nav"}
_TITLE = re.compile(r"<title\b[^>]*>(.*?)</title>", re.DOTALL)
_DESC = re.compile(r"<desc\b[^>]*>(.*?)</desc>", re.DOTALL)
_BOX = re.compile(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"')


class Measures(Struct, frozen=True):
    """Widths on the page, in points: of the whole text, and of its column of prose."""

    wide: float
    measure: float


class Translated(Struct):
    """What the typesetter gets.

    lede, close  what stands before the list of contents, and at the very end
    behind       the tables behind the charts
    drawings     name of a file → SVG
    pictures     `src` of a picture → name of a file
    """

    blocks: list[Any] = field(default_factory=list)
    lede: list[Any] = field(default_factory=list)
    close: list[Any] = field(default_factory=list)
    behind: list[Any] = field(default_factory=list)
    drawings: dict[str, str] = field(default_factory=dict)
    pictures: dict[str, str] = field(default_factory=dict)


def translate(html: str, images: Mapping[str, bytes], measures: Measures) -> Translated:
    """A body of our HTML. Raises Undocumentable with every reason why it cannot be set."""
    return _Translator(html, images, measures).whole()


class _Translator:
    def __init__(self, html: str, images: Mapping[str, bytes], measures: Measures) -> None:
        self._root, self._drawings = read(html)
        self._images, self._measures = images, measures
        self._out = Translated()
        self._faults: list[str] = []
        self._level = 0
        self._behind: dict[str, str] = {}

    def whole(self) -> Translated:
        self._out.blocks = self._flow(self._root.children)
        if self._faults:
            raise Undocumentable(*dict.fromkeys(self._faults))
        settle(self._out.lede, self._out.blocks, self._out.behind, self._out.close)
        return self._out

    # --- the flow of blocks

    def _flow(self, children: Sequence[Node | str]) -> list[Any]:
        """Blocks; what stands between them in lines becomes paragraphs."""
        out: list[Any] = []
        loose: list[Node | str] = []
        for one in (*children, None):
            if isinstance(one, str) or (one is not None and one.tag in INLINE and not self._holds_block(one)):
                loose.append(one)
                continue
            line = trimmed(inline(loose, self._strange))
            if not empty(line):
                out.append({"k": "p", "style": "", "in": line})
            loose = []
            if one is not None:
                out += self._block(one)
        return out

    def _holds_block(self, node: Node) -> bool:
        return any(isinstance(one, Node) and (one.tag not in INLINE or self._holds_block(one)) for one in node.children)

    def _block(self, node: Node) -> list[Any]:
        found = _HEADING.fullmatch(node.tag)
        if found:
            return [self._heading(node, int(found.group(1)))]
        special = self._by_class(node)
        if special is not None:
            return special
        if node.tag in {"p", "summary", "dt", "pre", "address"}:
            return self._paragraph(node)
        if node.tag in {"ul", "ol"}:
            entries = [self._anchored(one, self._flow(one.children)) for one in node.all("li")]
            self._only(node, {"li"})
            return self._anchored(node, [{"k": "list", "ordered": node.tag == "ol", "in": entries}])
        if node.tag == "dl":
            return self._anchored(node, [{"k": "facts", "in": self._pairs(node)}])
        if node.tag == "table":
            return [self._table(node)]
        if node.tag == "blockquote":
            return self._anchored(node, [{"k": "quote", "in": self._flow(node.children)}])
        if node.tag == "hr":
            return [{"k": "rule"}]
        if node.tag == "figure":
            return self._figure(node)
        if node.tag == "img":
            return [self._picture(node, node.id, [])]
        if node.tag == MARK:
            return [self._drawing(node, "", [])]
        if node.tag == "details":
            return self._anchored(node, self._flow(node.children))
        if node.tag in _THROUGH or node.tag in INLINE:
            return self._anchored(node, self._flow(node.children))
        self._strange(node)
        return []

    def _by_class(self, node: Node) -> list[Any] | None:
        """What a class of ours asks for; None where it asks for nothing."""
        classes = node.classes
        if "af-contents" in classes:
            # The document makes its own, with pages.
            return []
        if "af-lede" in classes and not self._out.lede:
            self._out.lede = self._flow(node.children)
            return self._anchored(node, [])
        if "af-close" in classes:
            self._out.close += self._flow(node.children)
            return self._anchored(node, [])
        if "af-who" in classes:
            return self._anchored(
                node, [{"k": "doors", "in": [self._door(one) for one in node.children if isinstance(one, Node)]}]
            )
        if "af-row" in classes:
            notes = [one for one in node.children if isinstance(one, Node) and one.tag == "aside"]
            rest = [one for one in node.children if one not in notes]
            return [
                {
                    "k": "row",
                    "id": node.id,
                    "in": self._flow(rest),
                    "notes": [line for one in notes for line in self._lines(one.children)],
                }
            ]
        if node.tag == "aside":
            return [{"k": "row", "id": node.id, "in": [], "notes": self._lines(node.children)}]
        if "af-warns" in classes or "af-caution" in classes:
            kind = "warns" if "af-warns" in classes else "caution"
            return self._anchored(node, [{"k": "box", "style": kind, "in": self._flow(node.children)}])
        if "af-evidence" in classes:
            return self._anchored(
                node, [{"k": "photos", "in": [block for one in node.all("figure") for block in self._figure(one)]}]
            )
        if "af-verdict" in classes:
            return [{"k": "verdict", "in": trimmed(inline(node.children, self._strange))}]
        if node.tag == "details" and "af-data" in classes:
            return [self._put_behind(node)]
        return None

    def _door(self, node: Node) -> Element:
        head = next((one for one in node.children if isinstance(one, Node) and _HEADING.fullmatch(one.tag)), None)
        title = trimmed(inline(head.children, self._strange)) if head is not None else []
        return {"title": title, "in": self._flow([one for one in node.children if one is not head])}

    def _lines(self, children: Sequence[Node | str]) -> list[Any]:
        """The lines of a margin."""
        out = []
        for one in children:
            if isinstance(one, str):
                if one.strip():
                    out.append([one.strip()])
            elif one.tag in INLINE or one.tag == "p":
                line = trimmed(inline([one] if one.tag in INLINE else one.children, self._strange))
                if not empty(line):
                    out.append(line)
            elif one.tag in {"ul", "ol", "li", "div"}:
                out += self._lines(one.children)
            else:
                self._strange(one)
        return out

    def _paragraph(self, node: Node) -> list[Any]:
        style = next((name for name in ("claim", "list", "soft", "gap") if f"af-{name}" in node.classes), "")
        if any(isinstance(one, Node) and (one.tag not in INLINE) for one in node.children):
            return self._anchored(node, self._flow(node.children))
        line = trimmed(inline(node.children, self._strange))
        if node.tag == "pre":
            line = [{"k": "code", "in": [node.text.strip("\n")]}]
        if empty(line):
            return self._anchored(node, [])
        return self._anchored(node, [{"k": "p", "style": style, "in": line}])

    def _anchored(self, node: Node, blocks: list[Any]) -> list[Any]:
        return [{"k": "at", "id": node.id}, *blocks] if node.id else blocks

    def _heading(self, node: Node, level: int) -> Element:
        # A body begins at h2, and no level may be left out between a heading and the one above it.
        self._level = min(max(level - 1, 1), self._level + 1)
        # The typesetter numbers, so that the numbers of contents, headings and references are one count.
        said = [one for one in node.children if not (isinstance(one, Node) and "af-number" in one.classes)]
        return {"k": "h", "level": self._level, "id": node.id, "in": trimmed(inline(said, self._strange))}

    def _pairs(self, node: Node) -> list[Any]:
        pairs: list[Any] = []
        for group in node.all("div") or [node]:
            self._only(group, {"dt", "dd"})
            name: list[Any] = []
            for one in group.children:
                if isinstance(one, Node) and one.tag == "dt":
                    name = trimmed(inline(one.children, self._strange))
                elif isinstance(one, Node):
                    pairs.append({"name": name, "in": self._anchored(group, self._flow(one.children))})
                    name = []
        return pairs

    def _only(self, node: Node, tags: set[str]) -> None:
        for one in node.children:
            if isinstance(one, Node) and one.tag not in tags:
                self._strange(one)
            elif isinstance(one, str) and one.strip():
                self._faults.append(f'the text "{one.strip()[:40]}" stands between the entries of a <{node.tag}>')

    def _table(self, node: Node) -> Element:
        return table(node, self._measures.wide, self._measures.measure, self._flow)

    # --- figures

    def _figure(self, node: Node) -> list[Any]:
        caption = node.find("figcaption")
        said = trimmed(inline(caption.children, self._strange)) if caption is not None else []
        image, drawing = node.find("img"), node.find(MARK)
        rest = [one for one in node.children if one not in (caption, image, drawing)]
        if image is not None:
            return [self._picture(image, node.id, said), *self._flow(rest)]
        more = self._flow(rest)
        behind = next((one["to"] for one in more if one["k"] == "behind"), "")
        others = [one for one in more if one["k"] != "behind"]
        if drawing is None:
            return self._anchored(node, [*others, *([{"k": "p", "style": "list", "in": said}] if said else [])])
        return [self._drawing(drawing, node.id, said, behind), *others]

    def _drawing(self, node: Node, ref: str, caption: list[Any], behind: str = "") -> Element:
        svg = self._drawings[int(node.attributes["n"])]
        title, desc = _TITLE.search(svg), _DESC.search(svg)
        said = ". ".join(_words(one.group(1)).rstrip(".") for one in (title, desc) if one and _words(one.group(1)))
        what = ref or f"number {int(node.attributes['n']) + 1}"
        if not said:
            self._faults.append(
                f"the drawing {what} has no alternative text; a title and a description in its <svg> are needed, or a "
                "reader who does not see it is left out; give the chart a title and a result"
            )
        name = f"drawing-{int(node.attributes['n']) + 1}.svg"
        self._out.drawings[name] = svg
        box = _BOX.search(svg)
        size = [float(box.group(1)), float(box.group(2))] if box else [760.0, 400.0]
        return {"k": "chart", "id": ref, "file": name, "alt": said, "size": size, "caption": caption, "behind": behind}

    def _picture(self, node: Node, ref: str, caption: list[Any]) -> Element:
        src, alt = node.attributes.get("src", ""), node.attributes.get("alt", "").strip()
        if not alt:
            self._faults.append(
                f"the picture {src or 'without address'} has no alternative text; words that say what it shows are "
                "needed; give its evidence a `shows`"
            )
        if src not in self._images:
            self._faults.append(f"the bytes of the picture {src[:80]} were not handed over with the report")
            return {"k": "rule"}
        name = self._out.pictures.setdefault(src, f"picture-{len(self._out.pictures) + 1}.{_suffix(self._images[src])}")
        return {"k": "photo", "id": ref, "file": name, "alt": alt, "caption": caption}

    def _put_behind(self, node: Node) -> Element:
        """Put the table behind a chart at the end of the document; the same table is put there once."""
        inner = self._flow([one for one in node.children if not (isinstance(one, Node) and one.tag == "summary")])
        key = repr(inner)
        if key not in self._behind:
            self._behind[key] = f"af-behind-{len(self._behind) + 1}"
            self._out.behind.append({"k": "at", "id": self._behind[key]})
            self._out.behind += inner
        return {"k": "behind", "to": self._behind[key]}

    def _strange(self, node: Node) -> Any:
        named = f' class="{node.attributes["class"]}"' if "class" in node.attributes else ""
        shown = f"<{node.tag}{named}>"
        where = f' around "{" ".join(node.text.split())[:40]}"' if node.text.strip() else ""
        self._faults.append(
            f"the report holds {shown}{where}, which the document has no form for; an element it knows is needed, "
            "since nothing is left out in silence; give it a form in document/translate.py, or write it otherwise"
        )
        return node.text


def _words(text: str) -> str:
    return " ".join(entities.unescape(text).split())


def _suffix(data: bytes) -> str:
    return "png" if data[:4] == b"\x89PNG" else "jpg"
