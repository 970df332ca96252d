"""Floor 7: arguments and exit codes, nothing else.

Exit codes: 0 clean, 1 problems found, 2 wrong usage, 3 a fault of the program. Data goes to standard output,
messages to standard error.
"""

from asfound.cli.main import main

__all__ = ["main"]
