"""Floor 7: MkDocs events, and nothing else. The only box that imports mkdocs."""

from asfound.bridge.plugin import AsfoundPlugin

__all__ = ["AsfoundPlugin"]
