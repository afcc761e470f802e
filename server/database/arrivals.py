"""An entry as it came in and is written: checked plain fields, its text and hash. Judges nothing."""

from dataclasses import dataclass
from typing import Any


@dataclass(slots=True)  # not frozen: one is made for every entry, and freezing costs as much again
class Arrival:
    """A `SealedEntry` without the class of its entry, which would cost a tenth of a push.

    `envelope` holds the entry's fields by their names, and no `prev` where nothing was replaced.
    """

    envelope: dict[str, Any]
    body: str
    hash: str

    @property
    def id(self) -> str:
        """The entry's id."""
        return str(self.envelope["id"])
