"""Problems to print: an ordinary one of each level, and one that means harm."""

from __future__ import annotations

from asfound.problems import Level, Problem, Span

REJECT = Problem(
    "power-before-inspection",
    Level.REJECT,
    Span("cases/a/sheets.yml", 82, 9),
    "I-1 was energised at 09:40, and was inspected only at 09:50",
    "the inspection before power is needed",
    "Record the true order.",
    subject="I-1",
    related=(Span("cases/a/inspection.csv", 4),),
)
WARN = Problem(
    "custody-gap", Level.WARN, Span("cases/a/custody.csv", 2), "nobody had charge of I-4", "unbroken custody is needed"
)
NEEDED = Problem(
    "plan-missing", Level.NEEDED, Span("cases/a/plan.yml"), "there is no plan", "a plan before the first test is needed"
)
NOTE = Problem("limit-unconfirmed", Level.NOTE, Span("cases/a/plan.yml", 4, 14), "1 verdict rests", "a copy is needed")
LIFTED = REJECT.at(Level.WARN, lifted="Q-1")

ESC, BELL, OVERRIDE, ISOLATE, PARAGRAPH, DELETE = "\x1b", "\x07", "\u202e", "\u2066", "\u2029", "\x7f"
HOSTILE = Problem(
    "yaml-words",
    Level.REJECT,
    Span(f"cases/a/{ESC}[2J.yml", 1, 1),
    f'found "{ESC}]0;title{BELL}{OVERRIDE}dessap{ISOLATE}\n::error::forged\r##[add-mask]x{PARAGRAPH}{DELETE}"',
    "text that can be seen is needed",
    f"Take it out.{ESC}[31m\n::stop-commands::x",
    related=(Span("cases/\n::warning::forged/case.yml"),),
    lifted="",
)
ACTING = (ESC, BELL, OVERRIDE, ISOLATE, PARAGRAPH, DELETE, "\r")
