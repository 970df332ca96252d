"""Pages of the program and the organisation: limits, rules, method, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jinja2 import Environment
from markupsafe import Markup

from asfound.measure import show_typed, unit, with_unit
from asfound.model.bench import Settings
from asfound.model.described import described
from asfound.model.dossier import Dossier
from asfound.model.limits import (
    Book,
    Bound,
    Fixed,
    Greatest,
    LeakagePower,
    Limit,
    Percent,
    Sense,
    Sum,
)
from asfound.model.prose import read_prose
from asfound.model.words import WordList
from asfound.pages.page import Entry, Options, Page, case_uri, relative
from asfound.pages.prose import Prose
from asfound.pages.protocols import test_places
from asfound.pages.texts import amount, listed, status_words, when
from asfound.problems import Catalogue


def register_pages(
    environment: Environment,
    book: Book,
    catalogue: Catalogue,
    version: str,
    dossiers: Sequence[Dossier],
    options: Options,
) -> Iterator[Page]:
    """Limits register, rule catalogue, method, cautions, and what to do about patient data."""
    prose = Prose(lambda ref: "", lambda ref: ref)
    common = {"notice": options.notice, "prose": prose, "version": version}
    sets = [book.sets[name] for name in sorted(book.sets)]
    users = _users(dossiers, options)
    body = environment.get_template("limits.html").render(
        sets=sets, words=limit_words, conditions=condition_words, status=status_words, users=users,
        places=test_places(book, "limits.md", options), **common
    )  # fmt: skip
    yield Page("limits.md", "Limits register", body, "Limits register", _set_headings(book))
    fired = _fired(dossiers, options)
    lists: dict[str, list[WordList]] = {}
    for words in book.words.values():
        lists.setdefault(words.rule, []).append(words)
    body = environment.get_template("rules.html").render(
        entries=list(catalogue), fired=fired, words=lists, status=status_words, when=when, **common
    )
    yield Page("rules.md", "Rule catalogue", body, "Rule catalogue")
    settings = dossiers[0].core.organisation if dossiers else Settings()
    body = environment.get_template("method.html").render(
        settings=_settings(settings), starters=list(book.starters.values()), status=status_words, **common
    )
    yield Page("method.md", "Method", body, "Method")
    purge = relative("patient-data.md", "cautions.md", options.directory_urls)
    body = environment.get_template("cautions.html").render(
        cautions=sorted(book.cautions.items()), status=status_words, purge=purge, **common
    )
    yield Page("cautions.md", "Cautions", body, "Cautions")
    body = environment.get_template("patient_data.html").render(**common)
    yield Page("patient-data.md", "Patient data committed by mistake", body, "Patient data committed by mistake")


def _set_headings(book: Book) -> tuple[Entry, ...]:
    return tuple(Entry(2, name, book.sets[name].title) for name in sorted(book.sets))


def _users(dossiers: Sequence[Dossier], options: Options) -> dict[str, list[tuple[str, str]]]:
    found: dict[str, list[tuple[str, str]]] = {}
    for dossier in dossiers:
        at = relative(case_uri(dossier.id, "measurements"), "limits.md", options.directory_urls)
        for name in dossier.core.limits:
            found.setdefault(name, []).append((f"{at}#limits-used", dossier.id))
    return found


def _fired(dossiers: Sequence[Dossier], options: Options) -> dict[str, list[tuple[str, str]]]:
    found: dict[str, dict[str, str]] = {}
    for dossier in dossiers:
        at = relative(case_uri(dossier.id, "problems"), "rules.md", options.directory_urls)
        for problem in dossier.core.problems:
            found.setdefault(problem.rule, {})[dossier.id] = at
    return {rule: [(at, case) for case, at in sorted(cases.items())] for rule, cases in found.items()}


def _settings(settings: Settings) -> list[tuple[str, str, str]]:
    made = []
    for name in type(settings).model_fields:
        made.append(
            (name, str(getattr(settings, name)), read_prose(described(type(settings)).get(name, "")).plain.strip())
        )
    return made


def limit_words(limit: Limit) -> str:
    """A limit in one phrase: `at most 500 µA`, `within ±20 % of the setting`."""
    if limit.sense is Sense.ANSWER:
        return f"must be {limit.answer}"
    if limit.sense is Sense.MONOTONIC:
        return f"must not fall as the {limit.series_over or 'setting'} rises"
    if limit.sense is Sense.BETWEEN and limit.low is not None and limit.high is not None:
        return f"from {bound_words(limit.low)} to {bound_words(limit.high)}"
    if limit.bound is None:
        return "no bound given"
    said = bound_words(limit.bound)
    if limit.sense is Sense.WITHIN:
        around = {"setting": "the setting", "stated": "the value the maker states"}.get(limit.around or "", "")
        around = around or (limit.around or "").replace("_", " ")
        same = isinstance(limit.bound, Percent) and limit.bound.of == limit.around
        centre = "" if same else f" of {around}"
        return f"within ±{said}{centre}"
    strict = {Sense.AT_MOST: "less than", Sense.AT_LEAST: "more than"}
    plain = {Sense.AT_MOST: "at most", Sense.AT_LEAST: "at least"}
    return f"{(strict if limit.strict else plain)[limit.sense]} {said}"


def bound_words(bound: Bound) -> str:
    """A bound in words."""
    if isinstance(bound, Fixed):
        return amount(bound.value)
    if isinstance(bound, Percent):
        of = {"setting": "the setting", "stated": "the value the maker states"}.get(
            bound.of, bound.of.replace("_", " ")
        )
        return f"{bound.percent}\u00a0% of {of}"
    if isinstance(bound, LeakagePower):
        power = with_unit(show_typed(str(bound.percent)), unit("%"))
        return f"the current that gives {power} of {bound.of.replace('_', ' ')} in {amount(bound.load)}"
    if isinstance(bound, Greatest):
        return f"{' or '.join(bound_words(one) for one in bound.among)}, whichever is greater"
    assert isinstance(bound, Sum)
    return " plus ".join(bound_words(one) for one in bound.terms)


def condition_words(limit: Limit) -> Markup:
    """When a limit applies, in words."""
    said = []
    for name, values in (*limit.when.items(), *limit.only.items()):
        said.append(f"{name.replace('_', ' ')}: {listed(list(values), 'or')}")
    said += [f"not for {name.replace('_', ' ')} {listed(list(values), 'or')}" for name, values in limit.unless.items()]
    if limit.highest_of:
        said.append(f"the highest over {listed([name.replace('_', ' ') for name in limit.highest_of])} counts")
    if limit.scale:
        said.append("scaled to nominal mains first")
    if limit.exempt:
        whole = limit.exempt.of.replace("_", " ")
        said.append(f"nothing is asked at or below {limit.exempt.at_or_below_percent}\u00a0% of {whole}")
    if limit.permitted:
        needs = listed([name.replace("_", " ") for name in limit.permitted.needs])
        said.append(f"permitted up to {amount(limit.permitted.up_to)} with {needs} on record")
    if limit.result:
        said.append(f"speaks of the derived result {limit.result}")
    said += [f"gives way to {name}" for name in limit.gives_way_to]
    return Markup("<br>").join(said) if said else Markup("always")
