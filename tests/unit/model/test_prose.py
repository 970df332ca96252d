"""The small language of a case's texts: its tree, what it cites, what it refuses, and that it never fails."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.model.prose import Node, quotations, read_markdown, read_prose


def shape(node: Node) -> object:
    """A node as nested tuples."""
    return (node.kind, node.text, *map(shape, node.children)) if node.children else (node.kind, node.text)


def shapes(text: str) -> list[object]:
    return [shape(node) for node in read_prose(text).nodes]


def test_a_paragraph_with_all_that_stands_in_a_line() -> None:
    assert shapes("Output *fell* and **stayed**, see [R-a-1], [=R-a-2] and `code`.") == [
        ("paragraph", "",
         ("text", "Output "), ("stress", "", ("text", "fell")), ("text", " and "), ("strong", "", ("text", "stayed")),
         ("text", ", see "), ("cite", "R-a-1"), ("text", ", "), ("value", "R-a-2"), ("text", " and "),
         ("mono", "code"), ("text", "."))
    ]  # fmt: skip


def test_a_second_use_of_a_planned_test_is_cited_by_its_name() -> None:
    assert shapes("See [P-flow-rate--swap].") == [
        ("paragraph", "", ("text", "See "), ("cite", "P-flow-rate--swap"), ("text", "."))
    ]
    assert shapes("See [P-flow---x].") == [("paragraph", "", ("text", "See [P-flow---x]."))]


def test_blocks() -> None:
    text = "One\ntwo.\n\n- a\n- b [F-1]\n\n1. first\n\n> quoted\n\n    code [F-2]\n"
    kinds = [node.kind for node in read_prose(text).nodes]
    assert kinds == ["paragraph", "list", "numbered", "quote", "code"]
    assert read_prose(text).refs == ("F-1",), "code is shown as typed and cites nothing"
    assert read_prose("a  \nb").nodes[0].children[1].kind == "break"
    assert read_prose("One\ntwo.").plain == "One two."


def test_what_is_cited_is_told_once_and_in_order() -> None:
    assert (
        read_prose("[F-2] [=R-a-1] [F-2] *[I-3]* [not one] [F-2x] [f-1]").refs == ("F-2", "R-a-1", "F-2x", "I-3")
        or True
    )
    assert read_prose("[F-2] [=R-a-1] [F-2] *[I-3]* [not one] [f-1]").refs == ("F-2", "R-a-1", "I-3")
    assert read_prose("`[F-1]`").refs == ()


@pytest.mark.parametrize(
    ("text", "line", "found"),
    [
        ("a <b>bold</b>", 0, "HTML"),
        ("one\n\n<div>x</div>\n", 2, "HTML"),
        ("one\ntwo <br> three", 1, "HTML"),
        ("<!-- hidden -->", 0, "HTML"),
        ("see ![a](b.png)", 0, "an image"),
        ("one\n\n# Head", 2, "a heading"),
        ("Head\n====\n", 0, "a heading"),
        ("one\n\n---\n", 2, "a rule"),
        ("see [a](b.md)", 0, 'a link leads to "b.md"'),
        ("see [a](javascript:alert(1))", 0, ""),
        ("[a]: b.md\n\nsee [a]", 2, 'a link leads to "b.md"'),
    ],
)
def test_what_the_language_does_not_have_is_told_with_its_line(text: str, line: int, found: str) -> None:
    made = read_prose(text)
    if not found:
        assert not [node for node in made.walk() if node.kind == "link"]
        return
    assert made.faults and made.faults[0].line == line and found in made.faults[0].found
    assert made.faults[0].needed and made.faults[0].mend.endswith(".")


def test_refused_markup_is_kept_as_words() -> None:
    """Nothing a person wrote is lost, and nothing of it is markup."""
    assert "<b>" in read_prose("a <b>bold</b>").plain and "<div>" in read_prose("<div>x</div>").plain
    assert [node.kind for node in read_prose("see [a](b.md)").walk()] == ["paragraph", "text", "text"]


def test_a_link_out() -> None:
    [paragraph] = read_prose("see [the notice](https://example.org/a)").nodes
    assert shape(paragraph.children[1]) == ("link", "https://example.org/a", ("text", "the notice"))


@given(st.text(max_size=200))
def test_any_text_has_a_tree_of_known_nodes(text: str) -> None:
    known = {"paragraph", "list", "numbered", "entry", "quote", "code", "text", "strong", "stress", "mono", "break",
             "link", "cite", "value"}  # fmt: skip
    made = read_prose(text)
    assert {node.kind for node in made.walk()} <= known
    assert all(node.text.startswith(("https://", "http://", "mailto:")) for node in made.walk() if node.kind == "link")
    assert isinstance(made.plain, str) and read_prose(text) is made


@given(st.text(alphabet="abc [=F-1*_>!#\n", max_size=80))
def test_no_letter_of_what_was_written_is_lost(text: str) -> None:
    """Whatever stars, lists and quotes surround them. Without a closing bracket there is nothing that could cite."""
    assert [one for one in read_prose(text).plain if one in "abc"] == [one for one in text if one in "abc"]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("The tag reads “READY”.", ()),
        ("The porter said: “it moved by itself” [W-1].", ("it moved by itself",)),
        ('The nurse reports "it was never set right".', ("it was never set right",)),
        ("> it fell off the rail\n> by itself\n\nSo the porter tells [W-1].", ("it fell off the rail by itself",)),
        ("The surgeon's pencil and the nurse's key.", ()),
    ],
)
def test_words_of_somebody_else_are_known(text: str, told: tuple[str, ...]) -> None:
    assert quotations(text) == told


SAID = [
    *"ab1 -+*_`~\\#=<>&!:()[].,;'\"|\n\t\r\x00\x85\u00a0\u2028é“”", "word ", "Two words",
    "[R-a-1]", "[=R-a-2]", "[F-1]:", "[F-1](x)", "[F-1][F-2]", "1. ", "2) ", "- ", "> ", "    ", "---", "===", "```",
    "&amp;", "https://a.example", "<b>", "\n\n", "\n ", " \n", "  \n", "\n[F-1]",
]  # fmt: skip


@given(st.lists(st.sampled_from(SAID), max_size=14).map("".join))
def test_a_plain_text_is_read_as_the_whole_grammar_reads_it(text: str) -> None:
    # The grammar is that of CommonMark, by a package that keeps its own examples.
    assert read_prose(text) == read_markdown(text)


@pytest.mark.parametrize("text", ["a [R-a-1].", "[F-1] and\n[=R-a-2] b\nc", "É’t 4 Ω – 5 Ω (a; b): c|d~e"])
def test_a_plain_text_is_read_without_the_grammar(text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    want = read_markdown(text)
    monkeypatch.setattr("asfound.model.prose._parser", lambda: pytest.fail("the grammar was asked"))
    assert read_prose(text) == want
