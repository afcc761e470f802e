"""Records that check the scoring itself: fruit scored by two people, and fruit cut open after scoring. Never crop."""

from typing import Annotated, ClassVar

from pydantic import Field

from shared_models.records.fields import Count, Doubt, Happening, Identifier, doubt
from shared_models.vocabulary import Fruit

_Marks = Annotated[list[Fruit], Field(min_length=1, max_length=200)]


class DoubleScore(Happening):
    """The same fruit scored by two people, one after the other and unseen: what each gave to each, in one order.

    The first is who did it (`person`); `second` is the other. They count in no rate.
    """

    kind: ClassVar[str] = "double_score"
    second: Identifier
    first_marks: _Marks
    second_marks: _Marks
    tree: Identifier | None = None
    garden: Identifier | None = None

    def doubts(self) -> list[Doubt]:
        """Warns where the two did not score the same number of fruit, or one person is named twice."""
        found = []
        if len(self.first_marks) != len(self.second_marks):
            found.append(doubt("second_marks", "The two did not score the same number of fruit."))
        if self.second == self.person:
            found.append(doubt("second", "A double score needs two people; one is named twice."))
        return found


class CutSample(Happening):
    """Fruit of a tree that looked clean from outside and was cut open: how many, and in how many an entry was found."""

    kind: ClassVar[str] = "cut_sample"
    tree: Identifier
    cut: Count
    found: Count

    def doubts(self) -> list[Doubt]:
        """Warns where more entries were found than fruit cut."""
        if self.found > self.cut:
            return [doubt("found", "Entries were found in more fruit than were cut.")]
        return []
