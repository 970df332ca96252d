"""XML from somebody else, as a plain tree with places: no declaration of types, no entity of its own, nothing fetched.

A certificate needs no document type, and whatever can hide behind one (entities that grow, files that are read, servers
that are asked) is refused where it begins. The parser is Expat, of Python's standard library; it tells line and column.
"""

from __future__ import annotations

from collections.abc import Iterator
from xml.parsers import expat

from msgspec import Struct, field

MOST_ELEMENTS = 200_000
MOST_DEPTH = 100
_UNKEPT = frozenset(("dataBase64",))
"""Elements whose text is another file; nobody looks for words in it."""


class XmlFault(Struct, frozen=True):
    """Why a file cannot be taken: where (line and column from 1), what stands there, what is needed, how to mend it."""

    line: int
    column: int
    found: str
    needed: str
    mend: str = ""


class NoXml(Exception):
    """The file is no XML that can be read; `fault` says where and why."""

    def __init__(self, fault: XmlFault) -> None:
        super().__init__(fault.found)
        self.fault = fault


class Element(Struct):
    """An element: its namespace and name, attributes without namespace, text before its first child, and its place."""

    space: str
    name: str
    attributes: dict[str, str]
    line: int
    column: int
    text: str = ""
    children: list[Element] = field(default_factory=list)

    def all(self, *path: str) -> Iterator[Element]:
        """The elements below it along a path of names, in the order of the file."""
        if not path:
            yield self
            return
        for child in self.children:
            if child.name == path[0]:
                yield from child.all(*path[1:])

    def first(self, *path: str) -> Element | None:
        """The first of them."""
        return next(self.all(*path), None)

    def walk(self) -> Iterator[Element]:
        """It and all below it."""
        waiting = [self]
        while waiting:
            one = waiting.pop()
            yield one
            waiting += reversed(one.children)


def read_xml(data: bytes) -> Element:
    """The root element. Raises NoXml for what is not well-formed, for a document type, and for too much."""
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    parser.SetParamEntityParsing(expat.XML_PARAM_ENTITY_PARSING_NEVER)
    top = Element("", "", {}, 1, 1)
    stack = [top]
    count = 0

    def here(found: str, needed: str, mend: str = "") -> NoXml:
        return NoXml(XmlFault(parser.CurrentLineNumber, parser.CurrentColumnNumber + 1, found, needed, mend))

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal count
        count += 1
        if count > MOST_ELEMENTS or len(stack) > MOST_DEPTH:
            raise here(
                f"the file has more than {MOST_ELEMENTS} elements, or more than {MOST_DEPTH} inside one another",
                "a certificate of a size that a person could go through is needed",
            )
        space, _, local = name.rpartition(" ")
        told = {key.rpartition(" ")[2]: value for key, value in attributes.items()}
        one = Element(space, local, told, parser.CurrentLineNumber, parser.CurrentColumnNumber + 1)
        stack[-1].children.append(one)
        stack.append(one)

    def end(_name: str) -> None:
        stack.pop()

    def text(said: str) -> None:
        one = stack[-1]
        if not one.children and one.name not in _UNKEPT:
            one.text += said

    def doctype(*_told: object) -> None:
        raise here(
            "a document type is declared",
            "a certificate without one is needed",
            "Ask the laboratory for the file as the schema has it; nothing in a certificate needs such a declaration.",
        )

    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = text
    parser.StartDoctypeDeclHandler = doctype
    parser.EntityDeclHandler = doctype
    try:
        parser.Parse(data, True)
    except expat.ExpatError as error:
        said = f"this is no well-formed XML: {expat.ErrorString(error.code) or 'it cannot be read'}"
        mend = "Fetch the file again; it may have been cut short or saved by another program."
        fault = XmlFault(error.lineno, error.offset + 1, said, "well-formed XML is needed", mend)
        raise NoXml(fault) from None
    except (ValueError, LookupError) as error:
        raise NoXml(XmlFault(1, 1, f"the encoding cannot be read: {error}", "UTF-8 is needed")) from None
    return top.children[0]
