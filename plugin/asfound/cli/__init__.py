"""Floor 7: arguments and exit codes, nothing else.

Exit codes: 0 nothing stands against it, 1 something does (of a check: a problem of the level that fails), 2 wrong
usage, 3 a fault of the program. Data goes to standard output, messages to standard error.
"""

from asfound.cli.main import main

__all__ = ["main"]
