"""What a terminal's code page cannot show, said in ASCII: `ohm`, `+/-`, `<=`, never a question mark.

Signs of the trade have names that everybody reads (the units' as in ISO 2955, from memory). A letter of a language has
none: it is part of somebody's name or of a file's, and is written out as its code point, as `\\xe4`, so that it is
neither lost nor taken for another letter.
"""

from __future__ import annotations

import codecs
import contextlib
import os
import sys
import unicodedata

import click

NAME = "asfound-words"
"""The name of the error handler."""
ASCII = "asfound_ascii"
"""The name of the codec."""

_SIGNS = {
    "Ω": "ohm", "\u2126": "ohm", "µ": "u", "μ": "u", "°": "deg", "℃": "degC", "℉": "degF",
    "±": "+/-", "×": "x", "·": ".", "•": "*", "−": "-", "–": "-", "—": "-", "‐": "-", "\u2011": "-", "…": "...",
    "→": "->", "←": "<-", "↔": "<->", "≤": "<=", "≥": ">=", "≠": "!=", "≈": "~", "∝": "~", "√": "sqrt ",
    "∫": "integral ", "∂": "d", "∥": "||", "‖": "||", "½": "1/2", "¼": "1/4", "¾": "3/4", "‰": "per mille",
    "§": "section ",
    "“": '"', "”": '"', "„": '"', "«": '"', "»": '"', "‘": "'", "’": "'", "‚": "'", "‹": "'", "›": "'",
    "\u00a0": " ", "\u202f": " ", "\u2009": " ",
}  # fmt: skip


def in_ascii(run: str) -> str:
    """A run of characters that cannot be shown, in ASCII."""
    said, raised = [], False
    for char in run:
        form = unicodedata.decomposition(char)
        up = form.startswith("<super>")
        plain = unicodedata.normalize("NFKC", char).replace("−", "-") if form.startswith(("<super>", "<sub>")) else ""
        if plain.isascii() and plain:
            said.append(f"^{plain}" if up and not raised else plain)
        else:
            said.append(_SIGNS.get(char) or _greek(char) or char.encode("ascii", "backslashreplace").decode("ascii"))
        raised = up
    return "".join(said)


def _greek(char: str) -> str:
    name = unicodedata.name(char, "")
    case, _, letter = name.removeprefix("GREEK ").partition(" LETTER ")
    if not name.startswith("GREEK ") or " " in letter or case not in ("SMALL", "CAPITAL"):
        return ""
    return letter.capitalize() if case == "CAPITAL" else letter.lower()


def _handler(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return in_ascii(error.object[error.start : error.end]), error.end


def read_names_as_utf_8() -> None:
    """Begin anew in UTF-8 mode where this locale would take names of files for ASCII or another code page.

    A case bears the same names in git, in its records and on every machine; under such a locale those with an accent
    could be neither found nor written. Streams keep the code page they have. Python does this by itself for the
    locales C and POSIX unless it is told not to. Returns where there is nothing to do, or nothing that can be done.
    """
    if sys.flags.utf8_mode or sys.getfilesystemencoding().lower() == "utf-8" or not sys.executable:
        return
    page = getattr(sys.stdout, "encoding", None) or "ascii"
    with contextlib.suppress(OSError):
        # This very program, by the words it was started with.
        again = [sys.executable, "-X", "utf8", *sys.orig_argv[1:]]
        os.execve(sys.executable, again, {"PYTHONIOENCODING": page, **os.environ})


def _ascii(name: str) -> codecs.CodecInfo | None:
    """ASCII by a name of ours: click writes UTF-8 to a stream that says `ascii`, whatever stands behind it."""
    if name != ASCII:
        return None
    one = codecs.lookup("ascii")
    return codecs.CodecInfo(
        one.encode, one.decode, one.streamreader, one.streamwriter, one.incrementalencoder, one.incrementaldecoder,
        name=ASCII,
    )  # fmt: skip


def mind_code_pages() -> None:
    """From here on no stream ends a run on a sign it cannot show."""
    codecs.register_error(NAME, _handler)
    codecs.register(_ascii)
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is None:
            continue
        if codecs.lookup(stream.encoding or "ascii").name == "ascii":
            reconfigure(encoding=ASCII, errors=NAME)
        else:
            reconfigure(errors=NAME)


def echo_data(text: str) -> None:
    """Print what another program or a file takes in. It is UTF-8 whatever the code page, and its lines end as they do
    in `text`; only a terminal, which would show it wrongly, gets it as it gets everything else."""
    if sys.stdout.isatty():
        click.echo(text, nl=False)
    else:
        click.echo(text.encode("utf-8", "backslashreplace"), nl=False)
