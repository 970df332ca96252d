"""Floor 6: problems as text for people, for programs and for hosts of code; schemas for editors.

Here stands what every command says. A form that one command asks for is taken from its module, so that a check at the
bench loads no reports for hosts of code (XML with all that comes with it is a fiftieth of its time).
"""

from asfound.emit.as_text import summary, text
from asfound.model.plain import plain

__all__ = ["plain", "summary", "text"]
