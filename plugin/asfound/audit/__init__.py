"""Floor 6: a built site, read as a browser would read it, and what must not be in it. Knows no site engine."""

from asfound.audit.entries import ENTRIES
from asfound.audit.site import audit

__all__ = ["ENTRIES", "audit"]
