"""Run a program text in a child of this process: a real process that can be killed, without loading everything anew."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import traceback


def run_forked(program: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    """What `python -c program arguments` would give: exit code (negative: the signal), output, errors.

    The child shares what this process has loaded, and nothing it does reaches back but its files.
    """
    with tempfile.TemporaryFile("w+") as out, tempfile.TemporaryFile("w+") as err:
        sys.stdout.flush()
        sys.stderr.flush()
        child = os.fork()
        if child == 0:
            code = 1
            try:
                os.dup2(out.fileno(), 1)
                os.dup2(err.fileno(), 2)
                sys.stdout, sys.stderr = open(1, "w", closefd=False), open(2, "w", closefd=False)  # noqa: SIM115
                sys.argv = ["-c", *arguments]
                exec(compile(program, "<program>", "exec"), {"__name__": "__main__"})
                code = 0
            except SystemExit as done:
                code = int(done.code or 0) if isinstance(done.code, int | None) else 1
            except BaseException:
                traceback.print_exc()
            finally:
                sys.stdout.flush()
                sys.stderr.flush()
                os._exit(code)
        _, status = os.waitpid(child, 0)
        out.seek(0)
        err.seek(0)
        return subprocess.CompletedProcess([], os.waitstatus_to_exitcode(status), out.read(), err.read())
