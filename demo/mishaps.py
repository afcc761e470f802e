"""What goes wrong or crosswise while scoring: two phones at one tree, slips taken back, a number typed twice. Records nothing."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from dataclasses import replace
from datetime import date

from demo.diary import at
from demo.doings import CorrectLater, Doing, PickedInAll, Score

TYPED_TWICE = "scored with six clean fruit too many"


def with_mishaps(scores: Sequence[Score], compared: Container[str]) -> Iterator[Doing]:
    """The same scores, three by one phone and one by another of Larkhollow with something gone wrong."""
    whole = [one for one in scores if one.cover == "none" and one.tree in compared]
    # A seed in which every such total was told by weight has no tree that two phones score.
    at_one_tree = next((one for one in whole if one.phone == "ansa" and one.picked.total), None)
    typed = next(one for one in whole if one.phone == "brun")
    slip, double_slip = [one for one in scores if one.phone == "ansa" and one is not at_one_tree][:2]
    for one in scores:
        if one is at_one_tree:
            yield from _two_phones_at(one)
        elif one is typed:
            yield from _typed_twice(one)
        else:
            yield replace(one, slips=1 if one is slip else 2 if one is double_slip else 0)


def _two_phones_at(one: Score) -> Iterator[Score]:
    """Both begin at the same minute, each with a bucket of their own, and neither knows of the other's pick."""
    half = len(one.scores) // 2
    yield replace(one, scores=one.scores[:half], picked=_less(one.picked, len(one.scores) - half))
    moment = at("brun", one.moment.date(), one.moment.hour, one.moment.minute)
    yield replace(
        one, moment=moment, phone="brun", scores=one.scores[half:], picked=PickedInAll(all_scored=True)
    )


def _less(picked: PickedInAll, fruit: int) -> PickedInAll:
    return replace(picked, total=(picked.total or 0) - fruit)


def _typed_twice(one: Score) -> Iterator[Doing]:
    """Six clean fruit too many, put right in October by somebody else, by a difference and with a reason."""
    yield replace(one, scores=(*one.scores, *["clean"] * 6), name=TYPED_TWICE)
    yield CorrectLater(
        moment=at("ansa", date(2026, 10, 10), 19),
        phone="ansa",
        score=TYPED_TWICE,
        what="clean",
        difference=-6,
        reason="the tally sheet has six clean fruit fewer",
    )
