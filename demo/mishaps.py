"""What goes wrong or crosswise while scoring: two phones at one tree, slips taken back, a number typed twice. Records nothing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from demo.diary import at
from demo.doings import CorrectLater, Doing, Score

TYPED_TWICE = "scored with six clean fruit too many"


def with_mishaps(scores: Sequence[Score]) -> Iterator[Doing]:
    """The same scores, three by one phone and one by another of Larkhollow with something gone wrong."""
    tapped = [one for one in scores if one.phone == "ansa" and one.cover == "none" and len(one.scores) == 30]
    typed = next(one for one in scores if one.phone == "brun" and one.cover == "none")
    at_one_tree, slip, double_slip = tapped[:3]
    for one in scores:
        if one is at_one_tree:
            yield from _two_phones_at(one)
        elif one is typed:
            yield from _typed_twice(one)
        else:
            yield replace(one, slips=1 if one is slip else 2 if one is double_slip else 0)


def _two_phones_at(one: Score) -> Iterator[Score]:
    """Both begin at the same minute and neither knows of the other; one of them notes how many were picked."""
    half = len(one.scores) // 2
    yield replace(one, scores=one.scores[:half])
    yield replace(
        one, moment=at("brun", one.moment.date(), one.moment.hour, one.moment.minute), phone="brun",
        scores=one.scores[half:], picked=None,
    )  # fmt: skip


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
