"""allowed_signers: what OpenSSH would take and a report must not."""

from __future__ import annotations

import base64
import datetime as dt
import subprocess
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.problems import Level
from asfound.seal import ENTRIES, read_signers
from tests.rules.signing import public, sign

FILE = ".asfound/allowed_signers"


def made_up(letter: str) -> str:
    """A key that nobody holds: well formed, and the same in every run."""
    blob = b"".join(len(part).to_bytes(4, "big") + part for part in (b"ssh-ed25519", letter.encode() * 32))
    return f"ssh-ed25519 {base64.b64encode(blob).decode()}"


def line(name: str, letter: str) -> str:
    """A line of a signer."""
    return f'{name} namespaces="approval@asfound" {made_up(letter)}\n'


KEY, OTHER = made_up("a"), made_up("b")
GOOD = f'examiner-1 namespaces="approval@asfound" {KEY} a comment of several words\n'


def refused(text: str | bytes) -> list[tuple[str, str]]:
    """Place and rule of each problem."""
    found = read_signers(text.encode() if isinstance(text, str) else text)
    for one in found.problems:
        assert one.level is Level.REJECT and one.mend.endswith(".")
        assert one.found and one.needed and one.headline().isprintable()
    return [(f"{one.span.line}:{one.span.column}", one.rule) for one in found.problems]


def test_a_good_file_is_taken_whole() -> None:
    text = f'\ufeff# who may sign\r\n\r\n  {GOOD}\tsecond  NAMESPACES="git,approval@asfound" {public("second")}'
    found = read_signers(text.encode())
    assert found.problems == ()
    assert [one.name for one in found.lines] == ["examiner-1", "second"]
    assert [str(one.span) for one in found.lines] == [f"{FILE}:3:3", f"{FILE}:4:2"]
    assert found.lines[0].key.text == KEY


@pytest.mark.parametrize(
    ("text", "place", "rule"),
    [
        (GOOD.replace("examiner-1", "*"), "1:1", "signers-wildcard"),
        (GOOD.replace("examiner-1", "*@example.org"), "1:1", "signers-wildcard"),
        (GOOD.replace("examiner-1", "exam?ner"), "1:1", "signers-wildcard"),
        (GOOD.replace("examiner-1", "!examiner"), "1:1", "signers-wildcard"),
        (GOOD.replace("examiner-1", "one,two"), "1:1", "signers-wildcard"),
        (f"examiner-1 {KEY}\n", "1:12", "signers-namespace-missing"),
        (GOOD.replace("approval@asfound", "git"), "1:12", "signers-namespace-missing"),
        (GOOD.replace("approval@asfound", "*"), "1:12", "signers-namespace-missing"),
        (GOOD.replace("approval@asfound", "approval@asfound,*"), "1:12", "signers-namespace-missing"),
        (GOOD.replace("approval@asfound", ""), "1:12", "signers-namespace-missing"),
        (GOOD.replace("approval", "a\tpproval"), "1:12", "signers-namespace-missing"),
        (f'examiner-1 valid-after="20260101" {KEY}\n', "1:12", "signers-namespace-missing"),
        (GOOD.replace("namespaces", "cert-authority,namespaces"), "1:12", "signers-authority"),
        (f'examiner-1 namespaces="approval@asfound",Cert-Authority {KEY}\n', "1:42", "signers-authority"),
        (GOOD.replace("ssh-ed25519", "ssh-ed25520"), "1:42", "signers-line-unreadable"),
        (GOOD.replace("ssh-ed25519", "ssh-rsa"), "1:50", "signers-line-unreadable"),
        (GOOD.replace(KEY[-6:], KEY[-6:-2]), "1:54", "signers-line-unreadable"),
        (GOOD.replace("AAAAC3", "AAAAC*"), "1:54", "signers-line-unreadable"),
        (GOOD.replace('" ssh', '"ssh'), "1:12", "signers-line-unreadable"),
        (GOOD.replace("@asfound", "@asfoundé\0").encode().replace(b"\0", b"\x80"), "1:41", "signers-line-unreadable"),
        (GOOD.replace("examiner-1", '"examiner 1"'), "1:1", "signers-line-unreadable"),
        (GOOD.replace("examiner-1", "-examiner"), "1:1", "signers-line-unreadable"),
        (GOOD.replace("namespaces", "namespace"), "1:12", "signers-line-unreadable"),
        (GOOD.replace('"', ""), "1:12", "signers-line-unreadable"),
        (GOOD.replace('asfound"', 'asfound",namespaces="git"'), "1:42", "signers-line-unreadable"),
        (GOOD.replace('asfound"', 'asfound",valid-before="soon"'), "1:42", "signers-line-unreadable"),
        (GOOD.replace('asfound"', 'asfound",valid-before="20260230"'), "1:42", "signers-line-unreadable"),
        ("examiner-1\n", "1:11", "signers-line-unreadable"),
        ('examiner-1 namespaces="approval@asfound"\n', "1:41", "signers-line-unreadable"),
        (GOOD.replace("examiner", "exam\u202einer"), "1:5", "signers-line-unreadable"),
        (line("one", "c") + line("two", "c"), "1:1", "signers-key-shared"),
    ],
)  # fmt: skip
def test_each_of_these_lines_is_refused_at_its_place(text: str | bytes, place: str, rule: str) -> None:
    found = refused(text)
    assert found[0] == (place, rule)
    assert read_signers(text.encode() if isinstance(text, str) else text).lines == ()


def test_two_principals_with_one_key_are_both_refused_and_name_each_other() -> None:
    text = GOOD + line("second", "b") + line("both", "a")
    found = read_signers(text.encode())
    assert [one.name for one in found.lines] == ["second"]
    assert [one.rule for one in found.problems] == ["signers-key-shared"] * 2
    assert [(one.span.line, one.related[0].line) for one in found.problems] == [(1, 3), (3, 1)]


def test_names_that_differ_in_capitals_alone_are_refused() -> None:
    assert [rule for _, rule in refused(GOOD + line("Examiner-1", "b"))] == ["signers-key-shared"] * 2


def test_one_signer_may_have_several_keys() -> None:
    found = read_signers((GOOD + line("examiner-1", "b")).encode())
    assert (len(found.lines), found.problems) == (2, ())
    assert [one.key.text for one in found.of("examiner-1")] == [KEY, OTHER]


def test_a_bad_line_hides_no_other_and_all_are_told() -> None:
    text = f"* {KEY}\n{GOOD}x\n".encode() + b"\xff\n"
    assert refused(text) == [
        ("1:1", "signers-wildcard"), ("3:2", "signers-line-unreadable"), ("4:1", "signers-line-unreadable"),
    ]  # fmt: skip
    assert [one.name for one in read_signers(text).lines] == ["examiner-1"]


@pytest.mark.parametrize(
    ("option", "before", "at", "after"),
    [
        ('valid-before="20260320"', True, True, False),
        ('valid-before="20260320Z"', True, True, False),
        ('valid-after="202603201200"', False, True, True),
        ('valid-after="20260320120000Z",valid-before="20260320"', False, True, False),
    ],
)
def test_a_key_counts_from_the_first_day_to_the_last(option: str, before: bool, at: bool, after: bool) -> None:
    (one,) = read_signers(GOOD.replace('asfound"', f'asfound",{option}').encode()).lines
    days = [dt.date(2026, 3, 19), dt.date(2026, 3, 20), dt.date(2026, 3, 21)]
    assert [one.counts(day) for day in days] == [before, at, after]


def test_a_key_whose_time_is_over_is_warned_of_relative_to_the_date_of_assessment() -> None:
    found = read_signers(GOOD.replace('asfound"', 'asfound",valid-before="20260320"').encode())
    assert found.expired(dt.date(2026, 3, 20)) == ()
    (one,) = found.expired(dt.date(2026, 3, 21))
    assert (one.rule, one.level, str(one.span)) == ("signers-expired", Level.WARN, f"{FILE}:1:1")


def openssh_takes(folder: Path, text: str) -> bool:
    """Whether OpenSSH itself finds the signer examiner-1 in the file: ssh-keygen(1), -Y verify (confirmed)."""
    (folder / "allowed").write_bytes(text.encode())
    (folder / "sig").write_bytes(sign(b"x", "examiner-1"))
    done = subprocess.run(
        ["ssh-keygen", "-Y", "verify", "-f", str(folder / "allowed"), "-I", "examiner-1", "-n", "approval@asfound",
         "-s", str(folder / "sig")], input=b"x", capture_output=True, check=False, timeout=60,
    )  # fmt: skip
    return done.returncode == 0


@pytest.mark.parametrize(
    "text",
    [
        GOOD, GOOD.replace("approval@asfound", "git,approval@asfound"), "# x\n\n" + GOOD, "\ufeff# x\n" + GOOD,
        "\ufeff\r\n" + GOOD.replace("\n", "\r\n"), "x y\n" + GOOD, GOOD.replace("examiner-1 ", "\texaminer-1  "),
        GOOD.replace('asfound"', 'asfound",Valid-After="19700102"'),
    ],
)  # fmt: skip
def test_what_is_taken_here_openssh_takes_too(tmp_path: Path, text: str) -> None:
    text = text.replace(KEY, public("examiner-1"))
    assert [one.name for one in read_signers(text.encode()).lines] == ["examiner-1"]
    assert openssh_takes(tmp_path, text)


@pytest.mark.parametrize(
    ("text", "place", "rule"),
    [
        ("\ufeff" + GOOD, "1:1", "signers-line-unreadable"),
        (GOOD.replace("approval@asfound", "git, approval@asfound"), "1:12", "signers-namespace-missing"),
        (GOOD.replace("approval@asfound", "approval@asfound "), "1:12", "signers-namespace-missing"),
        (GOOD.replace('asfound"', 'asfound",valid-after="19600101"'), "1:42", "signers-line-unreadable"),
        (GOOD.replace('asfound"', 'asfound",valid-after="19700101Z"'), "1:42", "signers-line-unreadable"),
        (GOOD.replace(KEY, f"{KEY}="), "1:54", "signers-line-unreadable"),
        (GOOD.replace(KEY, f"{KEY}=="), "1:54", "signers-line-unreadable"),
        (GOOD.replace('" ssh', '"ssh'), "1:12", "signers-line-unreadable"),
    ],
)
def test_what_openssh_passes_over_is_not_taken_here(tmp_path: Path, text: str, place: str, rule: str) -> None:
    """Else a signature would hold for whoever reads it here, and for nobody who asks OpenSSH."""
    text = text.replace(KEY, public("examiner-1"))
    assert not openssh_takes(tmp_path, text)
    assert refused(text) == [(place, rule)] and read_signers(text.encode()).lines == ()


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=120), st.integers(0, 80))
def test_no_bytes_bring_an_exception(noise: bytes, at: int) -> None:
    whole = GOOD.encode()
    for data in (noise, whole[:at] + noise + whole[at:]):
        refused(data)


def test_every_rule_of_the_file_occurs_in_these_tests() -> None:
    text = Path(__file__).read_text(encoding="utf-8")
    assert all(text.count(f'"{entry.name}"') for entry in ENTRIES)
