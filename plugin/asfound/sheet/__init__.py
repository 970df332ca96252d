"""Floor 7: a form in the browser, on this machine, into which readings are typed at the bench.

It writes into the same files as everything else, through the desk, and shows no verdict before a sheet is closed.
"""

from asfound.sheet.app import create_app
from asfound.sheet.bench import Bench
from asfound.sheet.door import Door
from asfound.sheet.serve import Listening, NoAddress, listen

__all__ = ["Bench", "Door", "Listening", "NoAddress", "create_app", "listen"]
