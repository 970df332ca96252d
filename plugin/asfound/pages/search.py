"""The index a reader's search looks through: JSON in a script of its own, so that it is found from disk as well.

A case stands in it with its title, its things, the words of its findings and the ids of its records. Words stand once
in one list for the whole site, each finding names them by place: two signs a word. Nothing goes in that its page does
not show.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Iterable, Sequence

from asfound.model.dossier import Dossier
from asfound.model.ids import sort_key
from asfound.pages.page import KIND_HOME, Options, Page
from asfound.pages.texts import Texts

NAME = "assets/asfound/asfound-index.js"
"""Where the index is published."""
SIGNS = "0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ-_"
_COMMON = (
    "a an and are as at be been before but by for from had has have in into is it its no not of on or other out over "
    "said so than that the their them then there they this to under up was were when where which while who with"
)
COMMON = frozenset(_COMMON.split())
"""Words that are not looked for."""
_WORD = re.compile(r"[^\W_]+(?:[.\-'’][^\W_]+)*")
_FIGURE = re.compile(r"[\d.]+")
_NUMBERED = re.compile(r"(?:0|[1-9][0-9]{0,6})")


def folded(text: str) -> str:
    """A text as it is compared: small letters without accents, and one sign for each Greek letter and ohm."""
    apart = unicodedata.normalize("NFKD", text).lower()
    return "".join(sign for sign in apart if unicodedata.category(sign)[0] != "M").replace("ς", "σ")


def words_of(text: str) -> list[str]:
    """The words of a text that are looked for, each once, in its order: no single letters and no bare numbers."""
    found = dict.fromkeys(_WORD.findall(folded(text)))
    return [word for word in found if len(word) > 1 and word not in COMMON and not _FIGURE.fullmatch(word)]


def search_index(dossiers: Sequence[Dossier], pages: Iterable[Page], options: Options) -> bytes:
    """The script that holds the index. `pages` are those of the registers: found by title and headings."""
    spoken = {one.id: _findings(one) for one in dossiers}
    every = sorted({word for findings in spoken.values() for _, words in findings for word in words})
    width = 2 if len(every) <= len(SIGNS) ** 2 else 3
    places = {word: _place(at, width) for at, word in enumerate(every)}
    data = {
        "directory": options.directory_urls,
        "home": KIND_HOME,
        "common": " ".join(sorted(COMMON)),
        "width": width,
        "words": " ".join(every),
        "cases": [_case(one, spoken[one.id], places) for one in dossiers],
        "pages": [[page.uri, page.title, [[e.anchor, e.title] for e in page.headings]] for page in pages],
    }
    # A script reads U+2028 and `</` otherwise than JSON does.
    told = json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")
    return f"window.afIndex={told.replace(chr(0x2028), '')};\n".encode()


def _place(at: int, width: int) -> str:
    signs = ""
    for _ in range(width):
        at, sign = divmod(at, len(SIGNS))
        signs = SIGNS[sign] + signs
    return signs


def _findings(dossier: Dossier) -> list[tuple[str, list[str]]]:
    texts = Texts(dossier)
    found = sorted(dossier.core.case.findings.items(), key=lambda pair: sort_key(pair[0]))
    return [(ref, words_of(texts.plain(one.text))) for ref, one in found]


def _case(dossier: Dossier, findings: list[tuple[str, list[str]]], places: dict[str, str]) -> list[object]:
    case = dossier.core.case
    head = case.head
    things = []
    for ref, item in sorted(case.items.items(), key=lambda pair: sort_key(pair[0])):
        # Only what the page of the items shows: a value, and never the reason why there is none.
        pairs = (("", item.model), ("serial ", item.serial), ("lot ", item.lot))
        more = [f"{name}{value}" for name, value in pairs if isinstance(value, str)]
        things.append([ref, ", ".join([item.what, *more])])
    kind = (head.device_kind or "").replace("-", " ")
    about = f"{head.event.kind} {kind} {head.event.told_at.at:%Y-%m-%d}"
    refs = ",".join(_runs([ref.partition("-")[2] for ref, _ in findings]))
    said = " ".join("".join(places[word] for word in words) for _, words in findings)
    return [case.id, head.title, about, things, [refs, said], _ids(dossier)]


def _ids(dossier: Dossier) -> str:
    """The ids of records that stand on a page, by letter: `E1:4,7 Soutput:36`, a sheet with its rows.

    Rows of a sheet that are not numbered from 1 on stand by themselves. Derived results are left out: the name of each
    is that of its sheet, with what was worked out.
    """
    core, case = dossier.core, dossier.core.case
    rows = {name: [row.id for row in sheet.rows] for name, sheet in case.readings.items()}
    even = {
        name: len(ids)
        for name, ids in rows.items()
        if ids == [f"R-{name.removeprefix('S-')}-{number}" for number in range(1, len(ids) + 1)]
    }
    apart = {ref for name, ids in rows.items() if name not in even for ref in ids}
    groups: dict[str, list[str]] = {}
    for ref in sorted({*case.records, *core.instruments}, key=sort_key):
        letter, _, leaf = ref.partition("-")
        if letter in KIND_HOME and letter not in "RSY":
            groups.setdefault(letter, []).append(leaf)
    found = [f"{letter}{','.join(_runs(leaves))}" for letter, leaves in groups.items()]
    sheets = [f"{name.removeprefix('S-')}{f':{even[name]}' if even.get(name) else ''}" for name in case.sheets]
    found += [f"S{','.join(sheets)}"] if sheets else []
    found += [f"R{','.join(ref.removeprefix('R-') for ref in sorted(apart, key=sort_key))}"] if apart else []
    return " ".join(found)


def _runs(leaves: list[str]) -> list[str]:
    """Numbers that follow one another as `4:9`, all else as it is."""
    found: list[list[int | str]] = []
    for leaf in leaves:
        if _NUMBERED.fullmatch(leaf):
            number = int(leaf)
            last = found[-1] if found else None
            if last is not None and isinstance(last[-1], int) and last[-1] + 1 == number:
                last[1:] = [number]
                continue
            found.append([number])
        else:
            found.append([leaf])
    return [":".join(str(end) for end in run) for run in found]
