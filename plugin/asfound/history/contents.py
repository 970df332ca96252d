"""Contents of files as git keeps them: one process answers for all of them, in the order asked."""

from __future__ import annotations

import hashlib
import subprocess
import tempfile
from collections.abc import Generator, Iterable, Iterator
from itertools import islice
from threading import Timer
from typing import IO

from asfound.history.git import LONG_SECONDS, Git, GitError, environment, words

_AHEAD = 256
"""Questions written before an answer is read: few enough to fit in a pipe, so that neither side waits for the other."""


def contents(git: Git, idents: Iterable[str]) -> Generator[tuple[str, bytes | None], None, None]:
    """The contents under each id, in order; None where this clone does not hold them.

    Raises GitError where git fails or takes too long. Contents are held one at a time; closing ends git.
    """
    wanted = iter(idents)
    if git.partial:
        # Asking for what is held back would make git fetch it, which is refused here, and end.
        said = git.run("cat-file", "--batch-all-objects", "--batch-check=%(objectname)")
        here = frozenset(said.decode("ascii").split())
        for ident in wanted:
            yield from _read(git, iter((ident,))) if ident in here else ((ident, None),)
        return
    yield from _read(git, wanted)


def _read(git: Git, wanted: Iterator[str]) -> Iterator[tuple[str, bytes | None]]:
    group = list(islice(wanted, _AHEAD))
    if not group:
        return
    with tempfile.TemporaryFile() as said:
        try:
            process = subprocess.Popen(
                git.command("cat-file", "--batch"),
                stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=said, env=environment(),
            )  # fmt: skip
        except OSError as error:
            raise GitError(f"git could not be started: {error.strerror}", -1) from error
        assert process.stdin is not None and process.stdout is not None
        watch = Timer(LONG_SECONDS, process.kill)
        watch.daemon = True
        watch.start()
        try:
            while group:
                process.stdin.write("".join(f"{ident}\n" for ident in group).encode("ascii"))
                process.stdin.flush()
                for ident in group:
                    yield ident, _answer(process.stdout, said)
                group = list(islice(wanted, _AHEAD))
        except BrokenPipeError:
            raise _ended(said) from None
        finally:
            watch.cancel()
            # A process with a thread that is about to end cannot be copied.
            watch.join()
            process.stdin.close()
            process.stdout.close()
            process.kill()
            process.wait()


def _answer(stream: IO[bytes], said: IO[bytes]) -> bytes | None:
    head = stream.readline().split()
    if len(head) == 2 and head[1] == b"missing":
        return None
    if len(head) != 3:
        raise _ended(said)
    size = int(head[2])
    body = stream.read(size + 1)
    if len(body) != size + 1:
        raise _ended(said)
    return body[:-1] if head[1] == b"blob" else None


def _ended(said: IO[bytes]) -> GitError:
    said.seek(0)
    return GitError(words(said.read()) or "git cat-file ended before it had answered", 128)


def content_id(data: bytes, like: str) -> str:
    """The id git gives to contents, by the method of the repository that gave the id `like`."""
    method = "sha256" if len(like) == 64 else "sha1"
    return hashlib.new(method, b"blob %d\0" % len(data) + data, usedforsecurity=False).hexdigest()
