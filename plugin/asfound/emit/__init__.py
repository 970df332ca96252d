"""Floor 6: problems as text for people, for programs and for hosts of code; schemas for editors."""

from asfound.emit.as_ahead import ahead_json, ahead_text
from asfound.emit.as_calc import calc_ground, calc_json, calc_list, calc_needs, calc_text
from asfound.emit.as_change import change_html, change_json, change_markdown, change_text
from asfound.emit.as_github import github, quiet
from asfound.emit.as_gitlab import gitlab
from asfound.emit.as_json import as_json
from asfound.emit.as_junit import junit
from asfound.emit.as_sarif import sarif
from asfound.emit.as_starter import starter_yaml
from asfound.emit.as_strike import strike_json, strike_text, strikes_json, strikes_text
from asfound.emit.as_summary import github_summary
from asfound.emit.as_text import summary, text
from asfound.emit.as_trace import trace_json, trace_text
from asfound.emit.schemas import globs, schema_json, schemas
from asfound.emit.told import Told
from asfound.model.plain import plain

__all__ = [
    "Told",
    "ahead_json",
    "ahead_text",
    "as_json",
    "calc_ground",
    "calc_json",
    "calc_list",
    "calc_needs",
    "calc_text",
    "change_html",
    "change_json",
    "change_markdown",
    "change_text",
    "github",
    "github_summary",
    "gitlab",
    "globs",
    "junit",
    "plain",
    "quiet",
    "sarif",
    "schema_json",
    "schemas",
    "starter_yaml",
    "strike_json",
    "strike_text",
    "strikes_json",
    "strikes_text",
    "summary",
    "text",
    "trace_json",
    "trace_text",
]
