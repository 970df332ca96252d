"""Who may sign: `.asfound/allowed_signers`, in OpenSSH's own format (ssh-keygen(1), ALLOWED SIGNERS), read strictly.

OpenSSH accepts patterns, authorities and keys made for every use, because it serves many. A signature under a report
must name one person's key, so here a line with any of these is refused at its place, and a refused line is never
used. A line that is taken reads::

    examiner-1 namespaces="approval@asfound" ssh-ed25519 AAAAC3Nza… pseudonyms will do
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable

from msgspec import Struct

from asfound.model.approval import NAMESPACE, SIGNER_PATTERN
from asfound.problems import Entry, Family, Level, Problem, Span
from asfound.seal.sshsig import KEY_KINDS, Malformed, PublicKey, read_key

FILE = ".asfound/allowed_signers"
_MANUAL = "OpenSSH, ssh-keygen(1), ALLOWED SIGNERS"


def _entry(
    name: str, title: str, reason: str, mend: str, *, level: Level = Level.REJECT, source: str = _MANUAL
) -> Entry:
    """An entry of integrity. Who may sign is mended, not lifted."""
    status = "confirmed" if source == _MANUAL else "common practice"
    return Entry(name, Family.INTEGRITY, level, title, reason, source, status, mend, rows=("R3",), liftable=False)


ENTRIES: tuple[Entry, ...] = (
    _entry(
        "signers-line-unreadable",
        "Each line of allowed_signers names a signer, its options and a public key.",
        "A line that one program takes and another passes over makes a signature hold for one reader only.",
        "Write the signer's name, namespaces in quotes, and the two words of the .pub file, parted by single spaces.",
    ),
    _entry(
        "signers-wildcard",
        "Each signer is named in full.",
        "A pattern lets a key sign in the name of anybody whom the pattern fits.",
        "Write one name a line, without * ? ! and commas.",
    ),
    _entry(
        "signers-key-shared",
        "A key belongs to one signer and stands once.",
        "Two names with one key are one person who can sign as two, and a review by oneself would look like another's.",
        "Let each signer make a key of their own, and keep one line for each key.",
    ),
    _entry(
        "signers-namespace-missing",
        "Each key is listed for the namespace of approvals.",
        "A signature made for another use, such as a commit, must never be taken for an approval of a report.",
        f'Write namespaces="{NAMESPACE}" before the kind of the key; others may stand beside it, parted by commas.',
    ),
    _entry(
        "signers-authority",
        "Each line names a person's key, not an authority over keys.",
        "An authority can make keys for anybody without a trace in the repository.",
        "Take cert-authority out and list the keys of the persons themselves.",
    ),
    _entry(
        "signers-expired",
        "A key is listed for the time of the work.",
        "What was signed with a key whose time is over can no longer be told from what was signed after its loss.",
        "List the signer's new key in a line of its own, and take the old line out when nothing rests on it.",
        level=Level.WARN,
    ),
)

_BY_NAME = {entry.name: entry for entry in ENTRIES}


class Signer(Struct, frozen=True):
    """A line that was taken.

    name     who: the principal
    key      the public key
    after    first day on which it counts, None where nothing is said
    before   last day on which it counts
    span     where it stands
    """

    name: str
    key: PublicKey
    after: dt.date | None
    before: dt.date | None
    span: Span

    def counts(self, on: dt.date) -> bool:
        """Whether the key counts on a day, as days are written. Both ends belong to the time, as OpenSSH has it."""
        return (self.after is None or self.after <= on) and (self.before is None or on <= self.before)


class Signers(Struct, frozen=True):
    """Who may sign.

    kept      whether the file stands in the repository at all
    lines     the lines that were taken, in order
    problems  what was refused
    """

    kept: bool = False
    lines: tuple[Signer, ...] = ()
    problems: tuple[Problem, ...] = ()

    def of(self, name: str) -> tuple[Signer, ...]:
        """The lines of one signer."""
        return tuple(line for line in self.lines if line.name == name)

    def owner(self, key: PublicKey) -> Signer | None:
        """The line of a key."""
        return next((line for line in self.lines if line.key.blob == key.blob), None)

    def expired(self, on: dt.date) -> tuple[Problem, ...]:
        """A problem for each line whose time was over on a day."""
        return tuple(
            _problem(
                "signers-expired",
                line.span,
                f'the key of "{line.name}" counts until {line.before}, and this is assessed on {on}',
                "a key that counts on that day is needed",
            )
            for line in self.lines
            if line.before is not None and line.before < on
        )


def _problem(rule: str, span: Span, found: str, needed: str, related: tuple[Span, ...] = ()) -> Problem:
    entry = _BY_NAME[rule]
    return Problem(rule, entry.level, span, found, needed, entry.mend, related=related)


def read_signers(data: bytes, path: str = FILE) -> Signers:
    """Read the file. Raises for nothing; a line with a fault is refused with its place and is not among `lines`."""
    reader = _Reader(path)
    for number, raw in enumerate(data.split(b"\n"), 1):
        reader.line(number, raw.rstrip(b"\r"))
    return reader.done()


class _Refused(Exception):
    def __init__(self, rule: str, at: int, found: str, needed: str) -> None:
        super().__init__(found)
        self.rule, self.at, self.found, self.needed = rule, at, found, needed


class _Options(Struct, frozen=True):
    namespaces: str | None
    at: int
    after: dt.date | None
    before: dt.date | None


class _Reader:
    def __init__(self, path: str) -> None:
        self._path = path
        self._taken: list[Signer] = []
        self._problems: list[Problem] = []

    def line(self, number: int, raw: bytes) -> None:
        try:
            text = raw.decode("utf-8")
        except UnicodeDecodeError as error:
            at = len(raw[: error.start].decode("utf-8"))
            self._say(number, _unreadable(at, "a byte here is not UTF-8", "text in UTF-8 is needed"))
            return
        # Some editors begin a file with a mark of its encoding. To OpenSSH it is part of the first signer's name, so
        # only a line that names nobody may bear it.
        bare = (text.removeprefix("\ufeff") if number == 1 else text).strip(_SPACE)
        if not bare or bare.startswith("#"):
            return
        try:
            self._taken.append(_read(text, self._path, number))
        except _Refused as refused:
            self._say(number, refused)

    def _say(self, number: int, refused: _Refused) -> None:
        span = Span(self._path, number, refused.at + 1)
        self._problems.append(_problem(refused.rule, span, refused.found, refused.needed))

    def done(self) -> Signers:
        shared = self._shared()
        lines = tuple(line for line in self._taken if line not in shared)
        return Signers(True, lines, tuple(sorted(self._problems, key=lambda problem: problem.key)))

    def _shared(self) -> list[Signer]:
        """Lines whose key stands elsewhere too, or whose name differs from another's in capitals alone: all of them."""
        found: list[Signer] = []
        for line in self._taken:
            same = [one for one in self._taken if one is not line and one.key.blob == line.key.blob]
            alike = [one for one in self._taken if one.name != line.name and one.name.lower() == line.name.lower()]
            if same:
                found.append(line)
                other = same[0]
                whose = "this signer too" if other.name == line.name else f'"{other.name}"'
                said = f'the key of "{line.name}" also stands on line {other.span.line}, for {whose}'
                spans = tuple(one.span for one in same)
                self._problems.append(
                    _problem("signers-key-shared", line.span, said, "a key that stands once is needed", spans)
                )
            elif alike:
                found.append(line)
                said = f'"{line.name}" and "{alike[0].name}" (line {alike[0].span.line}) differ in capitals alone'
                needed = "names that nobody takes for one another are needed"
                self._problems.append(_problem("signers-key-shared", line.span, said, needed, (alike[0].span,)))
        return found


_NAME = re.compile(SIGNER_PATTERN)
_SPACE = " \t"


def _read(text: str, path: str, number: int) -> Signer:
    """One line. Raises _Refused."""
    for at, char in enumerate(text):
        if not char.isprintable() and char != "\t":
            raise _unreadable(at, f"U+{ord(char):04X}, which cannot be seen, stands here", "plain text is needed")
    start = len(text) - len(text.lstrip(_SPACE))
    name, at = _word(text, start)
    if set(name) & set("*?!,"):
        raise _Refused(
            "signers-wildcard", start, f'"{_crop(name)}" is a pattern, or several names', "one name is needed"
        )
    if not _NAME.fullmatch(name):
        needed = "a name of letters, digits and . _ @ + -, at most 64 of them, is needed"
        raise _unreadable(start, f'"{_crop(name)}" cannot be the name of a signer', needed)
    at = _skip(text, at)
    kind, end = _word(text, at)
    if not kind:
        raise _unreadable(at, "the line ends after the name", "options and the two words of a .pub file are needed")
    options = _Options(None, at, None, None)
    if kind not in KEY_KINDS and not _looks_like_a_kind(kind):
        options, end = _options(text, at)
        at = _skip(text, end)
        kind, end = _word(text, at)
    if options.namespaces is None:
        raise _Refused(
            "signers-namespace-missing", options.at, f'the key of "{name}" is listed for every use',
            f'namespaces="{NAMESPACE}" is needed',
        )  # fmt: skip
    # A space counts to OpenSSH: ` approval@asfound` is another namespace.
    names = options.namespaces.split(",")
    if any(set(one) & set("*?!") for one in names) or NAMESPACE not in names:
        raise _Refused(
            "signers-namespace-missing", options.at, f'the namespaces are "{_crop(options.namespaces)}"',
            f'the name {NAMESPACE} itself, among names without * ? !, is needed',
        )  # fmt: skip
    if not kind:
        raise _unreadable(len(text), "the line ends before the key", "the two words of a .pub file are needed")
    key_at = _skip(text, end)
    blob, _ = _word(text, key_at)
    try:
        key = read_key(kind, blob)
    except Malformed as error:
        where = at if kind not in KEY_KINDS else key_at
        raise _unreadable(where, str(error), "a public key that can be read is needed") from None
    return Signer(name, key, options.after, options.before, Span(path, number, start + 1))


def _options(text: str, at: int) -> tuple[_Options, int]:
    """The options from a place on; `at` of what is given back is where the namespaces stand, or where options begin."""
    namespaces: str | None = None
    where = at
    times: dict[str, dt.date] = {}
    for name, value, begin, end in _parts(text, at):
        if name == "cert-authority":
            needed = "a person's own key is needed"
            raise _Refused("signers-authority", begin, "this line lists an authority over keys", needed)
        if name not in ("namespaces", "valid-after", "valid-before"):
            needed = "namespaces, valid-after or valid-before, or the kind of a key, is needed"
            raise _unreadable(begin, f'"{_crop(name)}" is neither an option nor the kind of a key', needed)
        if value is None:
            raise _unreadable(begin, f"{name} has no value in quotes", f'{name}="…" is needed')
        if (name == "namespaces" and namespaces is not None) or name in times:
            raise _unreadable(begin, f"{name} stands twice", "each option once is needed")
        if name == "namespaces":
            namespaces, where = value, begin
        else:
            times[name] = _day(value, name, begin)
        at = end
    return _Options(namespaces, where, times.get("valid-after"), times.get("valid-before")), at


_OPTION = re.compile(r'([A-Za-z-]+)(?:="([^"\\]*)")?')


def _parts(text: str, at: int) -> Iterable[tuple[str, str | None, int, int]]:
    """Name (in small letters, as they count whatever their case), value, begin and end of each option."""
    while True:
        found = _OPTION.match(text, at)
        if found is None or (found.end() < len(text) and text[found.end()] not in f",{_SPACE}"):
            word, _ = _word(text, at)
            needed = 'options such as namespaces="…", parted by commas without a space, and a key are needed'
            raise _unreadable(at, f'"{_crop(word)}" is neither an option nor the kind of a key', needed)
        yield found.group(1).lower(), found.group(2), at, found.end()
        if found.end() >= len(text) or text[found.end()] != ",":
            return
        at = found.end() + 1


_EPOCH = dt.date(1970, 1, 1)
_TIME = re.compile(r"(\d{4})(\d{2})(\d{2})(?:(\d{2})(\d{2})(\d{2})?)?Z?")


def _day(value: str, name: str, at: int) -> dt.date:
    found = _TIME.fullmatch(value)
    if found is not None:
        year, month, day, hour, minute, second = (int(part or 0) for part in found.groups())
        try:
            date = dt.datetime(year, month, day, hour, minute, second).date()
        except ValueError:
            date = _EPOCH
        # OpenSSH takes no time that is not after the beginning of its count, wherever on earth it is read.
        if date > _EPOCH:
            return date
    needed = "a date after 1970-01-01 such as 20270101, or a time such as 202701011200Z, is needed"
    raise _unreadable(at, f'{name} holds "{_crop(value)}"', needed)


def _looks_like_a_kind(word: str) -> bool:
    return word.startswith(("ssh-", "ecdsa-", "sk-", "rsa-", "x509"))


def _word(text: str, at: int) -> tuple[str, int]:
    end = at
    while end < len(text) and text[end] not in _SPACE:
        end += 1
    return text[at:end], end


def _skip(text: str, at: int) -> int:
    while at < len(text) and text[at] in _SPACE:
        at += 1
    return at


def _crop(text: str) -> str:
    text = text.replace("\t", "<U+0009>")
    return text if len(text) <= 40 else f"{text[:39]}…"


def _unreadable(at: int, found: str, needed: str) -> _Refused:
    return _Refused("signers-line-unreadable", at, found, needed)
