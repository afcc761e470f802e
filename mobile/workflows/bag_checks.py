"""A later look at a tree's bags: how many still hang, fell empty, fell with fruit, are torn.

Offers `check_bags` and `bag_check_in_words`. The bags that were put on stay counted as they are.
"""

from dataclasses import dataclass

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drafting import said
from mobile.workflows.moments import NOW, Told
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.bag_checks import BagCheck
from shared_models.records.fields import Doubt


@dataclass(frozen=True, slots=True)
class BagsSeen:
    """What was found at one look; None is *not looked at*, 0 is none."""

    still_on: int | None = None
    fell_empty: int | None = None
    fell_with_fruit: int | None = None
    torn: int | None = None


@dataclass(frozen=True, slots=True)
class BagsChecked:
    """A look that was recorded, in words, and what does not seem to fit."""

    check: str
    in_words: str
    doubts: tuple[Doubt, ...]


def check_bags(store: PhoneStore, tree: str, seen: BagsSeen, told: Told = NOW) -> BagsChecked:
    """Record a look at the bags of a tree; BadInputError where no number is given."""
    if seen == BagsSeen():
        raise BadInputError(say("Give at least one of the numbers; none is 0."), "still_on")
    where = {"tree": tree}
    numbers = said(
        still_on=seen.still_on,
        fell_empty=seen.fell_empty,
        fell_with_fruit=seen.fell_with_fruit,
        torn=seen.torn,
    )
    made = store.record(BagCheck.kind, where | told.fields(store, where) | numbers)
    check = store.get(BagCheck, made)
    assert check is not None  # recorded just now
    return BagsChecked(made, bag_check_in_words(check), tuple(check.doubts()))


def bag_check_in_words(check: BagCheck) -> str:
    """What a look found."""
    found = [
        *([] if check.still_on is None else [say("{number} on", number=check.still_on)]),
        *([] if check.fell_empty is None else [say("{number} fell empty", number=check.fell_empty)]),
        *(
            []
            if check.fell_with_fruit is None
            else [say("{number} fell with fruit", number=check.fell_with_fruit)]
        ),
        *([] if check.torn is None else [say("{number} torn", number=check.torn)]),
    ]
    return ", ".join(found) or say("no number")
