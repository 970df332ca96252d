"""Floor 5: what a case must satisfy. One file a rule; adding a rule is adding a file.

A rule is a module in one of this package's folders that holds `ENTRY`, its line in the catalogue, and
`check(facts)`, which yields problems. It is pure and knows neither its final level nor how it is shown.
"""

from asfound.rules.machinery import Rule, discover, run, run_private, topics

__all__ = ["Rule", "discover", "run", "run_private", "topics"]
