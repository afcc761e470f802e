"""What the demo notes while the seasons are lived through. Plain values, no words."""

from __future__ import annotations

from dataclasses import dataclass, field

from mobile.sync.engine import ExchangeOutcome


@dataclass(frozen=True, slots=True)
class RowStage:
    """What a phone's report says of the doubled row at one moment."""

    when: str
    trees: int
    clashes: int
    merged: int
    compared: int


@dataclass(slots=True)
class Lived:
    """What was noted while the seasons were lived through."""

    exchanges: list[tuple[str, ExchangeOutcome]] = field(default_factory=list)
    row: list[RowStage] = field(default_factory=list)
