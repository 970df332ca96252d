"""A fault of YAML in plain words, at the place where it can be mended rather than where the parser gave up."""

from __future__ import annotations

import re

import yaml

from asfound.intake.words import crop, refuse
from asfound.problems import Problem

_KEY_WITHOUT_SPACE = re.compile(r"\s*(?:- +)*[^\s:#'\"\[{&*!|>][^\s:]*:[^\s:/]")
_VALUE_BEFORE = re.compile(r"\S:[ \t]+\S")


def explain(path: str, text: str, error: yaml.YAMLError, aliased: bool) -> Problem | None:
    """The problem that `error` is, with its place; None where it repeats what was said already (an unknown alias)."""
    said = getattr(error, "problem", None) or getattr(error, "reason", None) or str(error)
    mark = getattr(error, "problem_mark", None)
    begun = getattr(error, "context_mark", None)
    at = (mark.line, mark.column) if mark is not None else (0, 0)
    start = (begun.line, begun.column) if begun is not None else None
    return _Fault(path, text, said, at, start).problem(aliased)


class _Fault:
    """One fault with the lines it stands in. Lines and columns count from 0 inside, from 1 in what is said."""

    def __init__(self, path: str, text: str, said: str, at: tuple[int, int], begun: tuple[int, int] | None) -> None:
        self.path = path
        self.text = text
        self.lines = [line.removesuffix("\r") for line in text.split("\n")]
        self.said = said
        self.at = at
        self.begun = begun
        self.line = self.lines[at[0]] if at[0] < len(self.lines) else ""
        self.before = self.line[: at[1]]
        self.char = self.line[at[1] : at[1] + 1]

    def problem(self, aliased: bool) -> Problem | None:
        said = self.said
        if "found undefined alias" in said:
            if aliased:
                return None
            return self.say(
                "yaml-anchor-or-alias", "an alias repeats a value that does not exist", "the value itself is needed"
            )
        if "tab character" in said or self.char == "\t":
            return self.tab()
        if "maximum nesting depth" in said:
            return self.say("yaml-too-deep", "this lies hundreds of levels deep", "at most 32 levels are read")
        if "another document" in said or "<document start>" in said:
            return self.several()
        for words, method in (
            ("mapping values are not allowed", self.colon),
            ("could not find expected ':'", self.no_colon),
            ("found unexpected end of stream", self.open_quote),
            ("found unexpected document indicator", self.open_quote),
            ("did not find expected key", self.not_in_line),
            ("did not find expected '-' indicator", self.not_in_list),
            ("did not find expected ',' or", self.bracket),
            ("block sequence entries are not allowed", self.list_on_line),
            ("cannot start any token", self.reserved),
            ("mapping keys are not allowed", self.reserved),
            ("found unknown escape", self.escape),
            ("hexdecimal", self.escape),
            ("Unicode character escape", self.escape),
            ("expected node content", self.no_value),
            ("alphabetic or numeric", self.reserved_name),
            ("YAML document", self.directive),
            ("directive", self.directive),
        ):
            if words in said:
                return method()
        if "comment or line break" in said or "indentation indicator" in said:
            found = "text follows the sign “|” or “>” on its line"
            return self.syntax(
                found, "the text must begin on the next line, indented", "Put the text on the next line.", self.begun
            )
        return self.syntax(f"YAML cannot be read from here on ({said})", "a line that is YAML is needed")

    # Each of these turns one message of the parser into words.

    def tab(self) -> Problem:
        row, column = self.at
        if self.char != "\t":
            column = max(self.line.find("\t"), 0)
        others = sum(line.lstrip(" ").startswith("\t") for line in self.lines) - self.line.lstrip(" ").startswith("\t")
        more = (
            f" (and so {'does 1 more line' if others == 1 else f'do {others} more lines'} of this file)"
            if others > 0
            else ""
        )
        indent = not self.line[:column].strip(" \t")
        found = f"the line is indented with a tab{more}" if indent else "a tab stands where YAML wants a space"
        return self.say("yaml-tab-indentation", found, "spaces are needed", at=(row, column))

    def several(self) -> Problem:
        first = self.line.startswith(("---", "...")) or any(line.startswith("...") for line in self.lines[: self.at[0]])
        if first:
            return self.say("yaml-several-documents", "a second document begins here", "one document a file is needed")
        return self.syntax("the document ended above, and more text follows", "one mapping or one list is needed")

    def colon(self) -> Problem:
        if hit := _VALUE_BEFORE.search(self.before):
            found = f"a colon and a space stand inside the text “{crop(self.line[hit.end() - 1 :].strip())}”"
            return self.syntax(found, "such text needs quotes", "Put the whole value in quotes.")
        above = self.above()
        if above is not None and _KEY_WITHOUT_SPACE.match(self.lines[above]) and ": " not in self.lines[above]:
            column = self.lines[above].index(":")
            return self.syntax(
                "no space stands after the colon",
                "a name, a colon and a space are needed",
                "Put a space after the colon.",
                (above, column),
            )
        return self.syntax(
            "this line is indented under a line that has a value already",
            "either a value or lines below it can stand there",
            "Give the line the indent of the one above, or take the value away from the one above.",
            (self.at[0], len(self.line) - len(self.line.lstrip(" "))),
        )

    def no_colon(self) -> Problem:
        row, column = self.begun or self.at
        line = self.lines[row] if row < len(self.lines) else ""
        if line[column : column + 1] in ("'", '"') and "\n".join(self.lines[row:]).count(line[column]) != 2:
            return self.syntax(
                "the quote opened here is not closed on its line",
                "a closing quote is needed",
                "Close the quote.",
                (row, column),
            )
        if line[column : column + 1] == "-":
            found = f"no space stands after the dash of “{crop(line[column:].strip())}”"
            return self.syntax(found, "a dash and a space are needed", "Put a space after the dash.", (row, column))
        return self.syntax(
            f"“{crop(line[column:].strip())}” is neither a name with a colon nor an entry of a list",
            "a colon and a space after the name are needed",
            "Write “name: value”; a text of several lines begins with “|” after the colon.",
            (row, column),
        )

    def open_quote(self) -> Problem:
        return self.syntax(
            "the quote opened here is never closed",
            "a closing quote is needed",
            "Close the quote.",
            self.begun or self.at,
        )

    def not_in_line(self) -> Problem:
        if self.before.rstrip(" ").endswith(("'", '"')):
            if (opened := self.opened_above()) is not None:
                below = self.at[0] - opened[0]
                return self.syntax(
                    "the quote opened here is not closed on its line; the next one stands "
                    + ("1 line below" if below == 1 else f"{below} lines below"),
                    "a closing quote is needed",
                    "Close the quote; if the text is meant to run on, look at the quotes where it ends.",
                    opened,
                )
            return self.syntax(
                f"“{crop(self.line[self.at[1] :].strip())}” follows a closing quote",
                "nothing but a comment may follow it",
                "Quote the whole value; in single quotes an apostrophe is doubled (''). Look above for an open quote.",
            )
        if self.before.strip(" -"):
            return self.syntax(
                f"“{crop(self.line[self.at[1] :].strip())}” follows a value that has ended",
                "nothing but a comment may follow it",
                "Put the whole value in quotes.",
            )
        if self.char == ":":
            return self.say("yaml-key-not-text", "there is no name before the colon", "a name in text is needed")
        if self.char == "-":
            return self.syntax(
                "this entry of a list is in line with none above, and names go on here",
                "a name with a colon is needed",
                "Give all entries of a list the same indent, below its name.",
            )
        return self.indent()

    def not_in_list(self) -> Problem:
        if self.before.strip(" -"):
            return self.syntax(
                f"“{crop(self.line[self.at[1] :].strip())}” follows a value that has ended",
                "nothing but a comment may follow it",
                "Put the whole value in quotes.",
            )
        if self.char == "-":
            return self.indent()
        return self.syntax(
            "this line stands where the list above goes on",
            "a dash and a space are needed",
            "Begin the line with “- ”, or change its indent.",
        )

    def indent(self) -> Problem:
        return self.syntax(
            "the indent of this line is that of none of the lines above",
            "lines that belong together need the same indent",
            "Give the line as many spaces as the lines it belongs with.",
        )

    def bracket(self) -> Problem:
        sign = "]" if "]" in self.said else "}"
        opened = "[" if sign == "]" else "{"
        begun = self.begun or self.at
        rest = any(line.strip() for line in [self.line[self.at[1] :], *self.lines[self.at[0] + 1 :]])
        if rest and begun[0] == self.at[0]:
            return self.syntax(
                f"inside “{opened}” neither a comma nor “{sign}” stands here",
                f"a comma between entries or “{sign}” is needed",
                "Text that holds a colon, comma, bracket or brace needs quotes there.",
            )
        return self.syntax(
            f"the “{opened}” opened here is not closed",
            f"commas between entries and “{sign}” at the end are needed",
            f"Close it with “{sign}”; text that begins with “{opened}” needs quotes.",
            begun,
        )

    def list_on_line(self) -> Problem:
        return self.syntax(
            "a list begins on the line of its name", "a list begins on the next line", "Put “- …” on the next line."
        )

    def reserved(self) -> Problem:
        return self.syntax(
            f"the text begins with “{crop(self.char)}”, which YAML keeps for itself",
            "such text needs quotes",
            "Put the value in quotes.",
        )

    def reserved_name(self) -> Problem:
        sign = self.before[-1:] or "&"
        return self.syntax(
            f"the text begins with “{crop(sign)}”, which YAML keeps for itself",
            "such text needs quotes",
            "Put the value in quotes.",
            self.begun,
        )

    def escape(self) -> Problem:
        return self.syntax(
            "inside double quotes a backslash begins an escape that YAML does not know",
            "a backslash as such is needed",
            "Use single quotes, or double the backslash.",
        )

    def no_value(self) -> Problem:
        return self.syntax(
            f"“{crop(self.line[self.at[1] :].strip()) or 'the end of the file'}” stands where a value is expected",
            "a value is needed",
            "Text that begins with a comma, bracket or brace needs quotes.",
        )

    def directive(self) -> Problem:
        found = "a line with “%” asks for another kind of YAML"
        return self.syntax(found, "no such line is needed", "Delete the line.", (self.at[0], 0))

    def opened_above(self) -> tuple[int, int] | None:
        """Where the quoted text that ends just before the fault begins, if that is on an earlier line."""
        begin = None
        try:
            for token in yaml.scan(self.text, yaml.CSafeLoader):
                here = (token.start_mark.line, token.start_mark.column)
                if here >= self.at:
                    break
                if isinstance(token, yaml.ScalarToken):
                    begin = here if token.end_mark.line == self.at[0] else None
        except yaml.YAMLError:
            pass  # the fault itself; what came before it is known
        return begin if begin is not None and begin[0] < self.at[0] else None

    def above(self) -> int | None:
        """The nearest line above that says something."""
        for row in range(self.at[0] - 1, -1, -1):
            if self.lines[row].strip() and not self.lines[row].lstrip().startswith("#"):
                return row
        return None

    def syntax(self, found: str, needed: str, mend: str = "", at: tuple[int, int] | None = None) -> Problem:
        return self.say("yaml-syntax", found, needed, mend, at)

    def say(self, rule: str, found: str, needed: str, mend: str = "", at: tuple[int, int] | None = None) -> Problem:
        row, column = at or self.at
        # The parser counts an end of file as a line of its own; the last line that exists is named instead.
        if row >= len(self.lines) or (row == len(self.lines) - 1 and row > 0 and not self.lines[row]):
            row = max(min(row, len(self.lines)) - 1, 0)
            column = len(self.lines[row])
        return refuse(rule, self.path, (row + 1, column + 1), found, needed, mend)
