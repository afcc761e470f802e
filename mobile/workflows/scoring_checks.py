"""Checks of the scoring: the same fruit scored by two people, and clean-looking fruit cut open. They count in no rate.

Offers `score_twice` and `cut_open`. The second person scores without seeing what the first one said.
"""

from collections.abc import Sequence

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.moments import NOW, Told
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.scoring_checks import CutSample, DoubleScore
from shared_models.vocabulary import Fruit


def score_twice(
    store: PhoneStore,
    tree: str,
    second: str,
    first_marks: Sequence[Fruit],
    second_marks: Sequence[Fruit],
    told: Told = NOW,
) -> str:
    """Record what this phone's person and a second one gave to the same fruit, in one order; returns the record's id.

    BadInputError where there is no fruit, the numbers differ, or one person is named twice; then nothing is kept.
    """
    if not first_marks or len(first_marks) != len(second_marks):
        raise BadInputError(
            say("Both must have scored the same fruit, at least one; score what is missing."), "second_marks"
        )
    where = {"tree": tree}
    fields = where | told.fields(store, where)
    identity = store.identity
    first = fields.get("done_by") or (identity.person if identity else None)
    if second == first:
        raise BadInputError(say("A second person is needed; the same one is named twice."), "second")
    marks = {"first_marks": [*map(str, first_marks)], "second_marks": [*map(str, second_marks)]}
    return store.record(DoubleScore.kind, fields | {"second": second} | marks)


def cut_open(store: PhoneStore, tree: str, cut: int, found: int, told: Told = NOW) -> str:
    """Record how many clean-looking fruit of a tree were cut, and in how many an entry was found; returns its id.

    BadInputError where none was cut, or more was found than cut; then nothing is kept.
    """
    if cut < 1 or not 0 <= found <= cut:
        raise BadInputError(
            say(
                "Say how many were cut, at least one, and in how many of them an entry was found; none is 0."
            ),
            "found",
        )
    where = {"tree": tree}
    return store.record(CutSample.kind, where | told.fields(store, where) | {"cut": cut, "found": found})
