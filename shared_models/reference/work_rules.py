"""The figures by which work falls due, each with its source, and what a group sets instead. Knows no garden."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from shared_models.reference.reading import Mark, rows_of


@dataclass(frozen=True, slots=True)
class WorkRule:
    """One figure: `value` in its unit, or None where the group wants none of it. `own` says that the group set it."""

    key: str
    value: float | None
    unit: str
    what: str
    source: str
    mark: Mark
    own: bool = False


@cache
def published_rules() -> dict[str, WorkRule]:
    """The rules as they come, by key."""
    return {
        row["key"]: WorkRule(
            row["key"], float(row["value"]), row["unit"], row["what"], row["source"], Mark(row["mark"])
        )
        for row in rows_of("work_rules")
    }


@dataclass(frozen=True)
class WorkRules:
    """The rules of a group: the published ones, with its own values instead of some (None switches a rule off)."""

    own: Mapping[str, float | None]

    def rule(self, key: str) -> WorkRule:
        """One rule; KeyError where there is none of that name."""
        published = published_rules()[key]
        if key not in self.own:
            return published
        return WorkRule(
            key, self.own[key], published.unit, published.what, published.source, published.mark, own=True
        )

    def value(self, key: str) -> float | None:
        """The figure of a rule; None where the group switched it off."""
        return self.rule(key).value
