"""Words that do not belong into the project's files: paths of one machine, package hosts, talk about how it was written.

The words are kept in two halves, so that this list does not find itself.
"""

from __future__ import annotations

import re

_HALVES = (
    # paths of one machine
    ("/wo", "rk/"), ("/ro", "ot/"), ("/tmp/br", "ief"), ("/opt/py", "pi"), ("/opt/wh", "eels"), ("/home/u", "ser"),
    ("/.lib", "rary/"), ("design/archit", "ecture.md"), ("product", ".md"), ("records", ".md"), ("mobile", ".md"),
    # hosts that packages come from
    ("pypi", ".org"), ("pythonhosted", ".org"), ("npmjs", ".org"), ("deb.debian", ".org"), ("proxy.golang", ".org"),
    # how a text came about
    ("trans", "cript"), ("chat", "bot"), ("chat", "gpt"), ("open", "ai"), ("anth", "ropic"), ("cla", "ude"),
    ("co", "pilot"), ("language ", "model"), ("artificial ", "intelligence"), ("prom", "pted by"),
)  # fmt: skip
_PATTERNS = (
    *(re.compile(re.escape(first + second), re.IGNORECASE) for first, second in _HALVES),
    re.compile(r"\bA" + r"I\b"),
    re.compile(r"\bLL" + r"Ms?\b"),
    re.compile(r"\bissue\s+#?\d", re.IGNORECASE),
    re.compile(r"\b(?:this|a|the|each|my|our) (?:coding|helper|agent|current) session\b", re.IGNORECASE),
)


def forbidden_in(text: str) -> list[str]:
    """Every forbidden word that occurs in a text, as it is written there."""
    return [match.group() for pattern in _PATTERNS for match in pattern.finditer(text)]
