"""Floor 6: problems as text for people, as JSON for programs, as annotations for a code host."""

from asfound.emit.as_github import github
from asfound.emit.as_json import as_json
from asfound.emit.as_text import summary, text

__all__ = ["as_json", "github", "summary", "text"]
