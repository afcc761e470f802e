"""What was saved from a damaged file: how many entries from where, noted until the person has read it. Knows no words."""

import json
from dataclasses import asdict, dataclass

from sqlalchemy import Connection

from mobile.storage import facts
from mobile.storage.facts import Fact


@dataclass(frozen=True, slots=True)
class Saved:
    """How many entries were saved, from where; `kept_as` names the damaged file, where it was put aside.

    `altered` entries were there with another text than they were stored with, and are nowhere else on this phone.
    """

    at: str
    from_file: int = 0
    from_copy: int = 0
    from_list: int = 0
    altered: int = 0
    copied_at: str | None = None
    kept_as: str | None = None

    @property
    def total(self) -> int:
        """All of them."""
        return self.from_file + self.from_copy + self.from_list


def told(text: str | None) -> list[Saved]:
    """What `Fact.SAVED` holds, oldest first."""
    return [Saved(**one) for one in json.loads(text or "[]")]


def note(core: Connection, saved: Saved) -> None:
    """Note one more to be told."""
    before = json.loads(facts.read(core, Fact.SAVED) or "[]")
    facts.note(core, {Fact.SAVED: json.dumps([*before, asdict(saved)])})
