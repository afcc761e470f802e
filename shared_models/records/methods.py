"""Records of methods and of what is to be compared: a group's own method, and contrasts named beforehand."""

from typing import Annotated, ClassVar

from shared_models.records.fields import (
    Doubt,
    Happening,
    Label,
    MethodKey,
    Mix,
    Record,
    SeasonKey,
    StrictBool,
    between,
    doubt,
)
from shared_models.vocabulary import Method, Reach


class OwnMethod(Record):
    """A group's own method, or its own "counts as" for a known key (least times in the season, or a month)."""

    kind: ClassVar[str] = "method"
    changes: ClassVar[bool] = True
    key: MethodKey
    name: Label
    reach: Reach
    in_mix: StrictBool = True
    least_times: Annotated[int, between(1, 100)] = 1
    unit_cost: Annotated[float, between(0, 1e6)] | None = None

    def as_method(self) -> Method:
        """The method in the words of the vocabulary."""
        return Method(self.key, self.name, self.reach, self.in_mix, self.least_times)


class PlannedContrast(Happening):
    """A comparison named at `when`: mix `a` with mix `b`, or trees with a method with trees without it."""

    kind: ClassVar[str] = "planned_contrast"
    changes: ClassVar[bool] = True
    content: ClassVar[tuple[str, ...]] = ("season", "a", "b", "with_method")
    season: SeasonKey
    a: Mix | None = None
    b: Mix | None = None
    with_method: MethodKey | None = None

    def doubts(self) -> list[Doubt]:
        """Warns where neither two mixes nor one method are named."""
        if self.with_method or (self.a is not None and self.b is not None):
            return []
        return [
            doubt("a", "A contrast names two method mixes, or one method to be compared with and without.")
        ]
