"""The record of a look at a tree's bags: how many still hang, fell empty, fell with their fruit, are torn."""

from typing import ClassVar

from shared_models.entries import Identifier
from shared_models.records.fields import Count, Doubt, Happening, Place, ShortText, doubt


class BagCheck(Happening):
    """Bags of one tree as they were found on a day; what was not looked at is not said.

    `fell_empty` and `fell_with_fruit` are those found on the ground at this look, `torn` hang but are open. It never
    changes how many were put on.
    """

    kind: ClassVar[str] = "bag_check"
    tree: Identifier
    place: Place = "whole"
    still_on: Count | None = None
    fell_empty: Count | None = None
    fell_with_fruit: Count | None = None
    torn: Count | None = None
    note: ShortText | None = None

    @property
    def nothing_said(self) -> bool:
        """Whether it holds no number at all."""
        return {self.still_on, self.fell_empty, self.fell_with_fruit, self.torn} == {None}

    def doubts(self) -> list[Doubt]:
        """Warns where no number is said, and where more bags are torn than hang."""
        if self.nothing_said:
            return [doubt("still_on", "This look at the bags holds no number.")]
        if self.torn is not None and self.still_on is not None and self.torn > self.still_on:
            return [doubt("torn", "More bags are torn than still hang.")]
        return []
