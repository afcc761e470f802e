"""What a tally says: the part of the tree that fruit came from, amounts, and counts added up. Writes nothing."""

from collections.abc import Iterable
from dataclasses import dataclass

from mobile.workflows.drafting import said
from shared_models.entries import Fields
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.season_records import TallyCount
from shared_models.vocabulary import Bag, Certainty, Cover, Tallied


@dataclass(frozen=True, slots=True)
class Part:
    """Where on the tree fruit was: the whole tree, a graft's id or a side; and its cover and bag."""

    place: str = "whole"
    cover: Cover = Cover.NONE
    bag: Bag | None = None

    def fields(self) -> Fields:
        """As they are recorded."""
        return said(place=self.place, cover=self.cover, bag=self.bag)


WHOLE = Part()
BAG_ON = Part(cover=Cover.BAGGED, bag=Bag.ON)
BAG_TAKEN_OFF = Part(cover=Cover.BAGGED, bag=Bag.TAKEN_OFF)
BAG_LOST = Part(cover=Cover.BAGGED, bag=Bag.LOST)
BARE = Part(cover=Cover.BARE)


@dataclass(frozen=True, slots=True)
class Amount:
    """Many at once: one number, exact or estimated, or from–to (its middle counts)."""

    n: float | None = None
    low: float | None = None
    high: float | None = None
    certainty: Certainty = Certainty.EXACT

    @classmethod
    def exactly(cls, n: float) -> "Amount":
        """A counted number."""
        return cls(n=n)

    @classmethod
    def about(cls, n: float) -> "Amount":
        """An estimated number."""
        return cls(n=n, certainty=Certainty.ESTIMATED)

    @classmethod
    def from_to(cls, low: float, high: float) -> "Amount":
        """Between two numbers."""
        return cls(low=low, high=high, certainty=Certainty.ESTIMATED)

    def fields(self) -> Fields:
        """As they are recorded; BadInputError where no number is said or from lies above to."""
        if self.n is None and (self.low is None or self.high is None):
            raise BadInputError(say("Give a number, or from and to."), "n")
        if self.low is not None and self.high is not None and self.low > self.high:
            raise BadInputError(
                say(
                    "“From” ({low}) is larger than “to” ({high}); turn them round.",
                    low=self.low,
                    high=self.high,
                ),
                "low",
            )
        return said(n=self.n, low=self.low, high=self.high, certainty=self.certainty)


def bags(tallies: Iterable[TallyCount]) -> float:
    """Bags among the tallies of a visit."""
    return max(0.0, sum(count.n for count in tallies if count.what == Tallied.BAG))


def number_in_words(n: float) -> str:
    """A number without needless decimals."""
    return f"{n:g}" if n != int(n) else f"{int(n)}"


def part_notes(tree_has_bags: bool, part: Part) -> tuple[str, ...]:
    """What to say where the part of a tree with bags was not said."""
    if not tree_has_bags or part.cover is not Cover.NONE:
        return ()
    return (
        say("This tree has bags: say whether the fruit was bagged or bare, or it counts as partly bagged."),
    )
