"""What is noted of single fruit beside their marks."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.fruit_details import (
    NOTHING_NOTED,
    Asked,
    FruitDetail,
    asked_of,
    causes_of,
    noted_in_words,
)
from mobile.workflows.picking import PickingVisit
from mobile.workflows.season import report_of
from shared_models.errors import BadInputError
from shared_models.records.tallies import TallyMark
from shared_models.vocabulary import EntryPoint, Fruit

CALYX = FruitDetail(EntryPoint.CALYX, larva_found=True, cut_open=True)


@pytest.fixture
def visit(phone: PhoneStore, tree: str) -> PickingVisit:
    """At a tree, nothing scored yet."""
    return PickingVisit(phone, tree)


def test_it_stands_on_the_fruit_scored_last_and_is_gone_with_the_next(visit: PickingVisit) -> None:
    visit.score(Fruit.DEEP_ENTRY)
    assert visit.detail(CALYX).last_detail == CALYX
    assert visit.score(Fruit.DEEP_ENTRY).last_detail == NOTHING_NOTED
    assert visit.take_back().last_detail == CALYX  # the first fruit is the last one again


def test_it_is_there_when_the_visit_is_gone_on_with(
    phone: PhoneStore, tree: str, visit: PickingVisit
) -> None:
    visit.score(Fruit.STING)
    visit.detail(CALYX)
    assert PickingVisit(phone, tree).view.last_detail == CALYX


def test_it_changes_no_count_and_no_rate(phone: PhoneStore, visit: PickingVisit) -> None:
    visit.score(Fruit.DEEP_ENTRY)
    before = visit.view.counts, report_of(phone).mixes
    visit.detail(CALYX)
    assert (visit.view.counts, report_of(phone).mixes) == before


def test_it_is_taken_back_with_a_second_mark_or_by_itself(visit: PickingVisit) -> None:
    visit.score(Fruit.OTHER)
    view = visit.detail(FruitDetail(cause="hail"))
    visit.detail(FruitDetail(cause="bird"))
    assert visit.as_before(view).last_detail.cause == "hail"
    visit.and_also(Fruit.STING)
    back = visit.as_before(view)
    assert (back.last_fruit, back.last_detail.cause) == ((Fruit.OTHER,), "hail")


def test_without_a_fruit_it_says_what_to_do(phone: PhoneStore, visit: PickingVisit) -> None:
    with pytest.raises(BadInputError, match="Score the fruit first"):
        visit.detail(CALYX)
    assert phone.all(TallyMark) == []


@pytest.mark.parametrize(
    ("marks", "asked"),
    [
        ([], ()),
        ([Fruit.CLEAN], ()),
        ([Fruit.STING], (Asked.ENTRY,)),
        ([Fruit.NOT_SURE], (Asked.ENTRY,)),
        ([Fruit.OTHER], (Asked.CAUSE,)),
        ([Fruit.OTHER_INSECT, Fruit.DEEP_ENTRY], (Asked.ENTRY, Asked.CAUSE)),
    ],
)
def test_only_what_fits_the_marks_is_asked(marks: list[Fruit], asked: tuple[Asked, ...]) -> None:
    assert asked_of(marks) == asked
    assert bool(causes_of(marks)) == (Asked.CAUSE in asked)


def test_the_result_counts_what_was_noted(visit: PickingVisit) -> None:
    for fruit, detail in (
        (Fruit.DEEP_ENTRY, CALYX),
        (Fruit.DEEP_ENTRY, FruitDetail(EntryPoint.CALYX, larva_found=False)),
        (Fruit.STING, FruitDetail(EntryPoint.SIDE)),
        (Fruit.OTHER, FruitDetail(cause="hail")),
        (Fruit.OTHER, FruitDetail(cause="gnawed")),
    ):
        visit.score(fruit)
        visit.detail(detail)
    visit.score(Fruit.CLEAN)
    noted = visit.done().noted
    assert (
        noted
        == "Noted of single fruit: 1 at the side, 2 at the calyx, a larva in 1, 1 cut open, gnawed 1, hail 1."
    )


def test_fruit_that_was_taken_back_is_not_among_what_was_noted(
    phone: PhoneStore, visit: PickingVisit
) -> None:
    visit.score(Fruit.DEEP_ENTRY)
    visit.detail(CALYX)
    visit.take_back()
    assert visit.visit is not None and noted_in_words(phone.few.marks_of(visit.visit)) == ""


def test_a_note_in_words() -> None:
    assert CALYX.in_words == "at the calyx, larva found, cut open"
    assert FruitDetail(larva_found=False, cause="scab").in_words == "no larva found, scab"
    assert NOTHING_NOTED.in_words == ""
