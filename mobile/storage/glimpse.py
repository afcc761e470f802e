"""What the first frame needs to know of a phone's file: how it looks, and what the saved place is called.

Read with the standard library alone and without writing, since the code of the records takes longer than drawing. It is a
guess that the store corrects a moment later: whatever is missing, damaged or of another release is left out.
"""

import json
import sqlite3
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

_FACTS = "SELECT name, value FROM phone WHERE name IN ('place', 'choices')"


@dataclass(frozen=True, slots=True)
class Glimpse:
    """Choices of look by their names, and the title of the saved place; empty where nothing was saved."""

    choices: dict[str, Any]
    title: str


def glimpse(file: Path) -> Glimpse:
    """What is there, in a few milliseconds; nothing where there is no file or it cannot be read."""
    facts: dict[str, Any] = {}
    if file.exists():
        with (
            suppress(sqlite3.Error),
            closing(sqlite3.connect(f"{file.resolve().as_uri()}?mode=ro", uri=True)) as driver,
        ):
            facts = {name: _object(value) for name, value in driver.execute(_FACTS)}
    title = facts.get("place", {}).get("title", "")
    return Glimpse(facts.get("choices", {}), title if isinstance(title, str) else "")


def _object(text: object) -> dict[str, Any]:
    with suppress(ValueError, TypeError):
        found = json.loads(text)  # type: ignore[arg-type]
        return found if isinstance(found, dict) else {}
    return {}
