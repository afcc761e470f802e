"""What is said of a pick after scoring, and taken back."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.picked_in_all import SaidOfPick, say_of_picks
from mobile.workflows.picking import PickingVisit
from mobile.workflows.tally import BAG_ON, BARE
from shared_models.errors import BadInputError
from shared_models.records.tallies import Pick
from shared_models.vocabulary import AllScored, Certainty, Fruit


@pytest.fixture
def visit(phone: PhoneStore, tree: str) -> str:
    """A finished visit, bagged and bare."""
    picking = PickingVisit(phone, tree)
    for part in (BAG_ON, BARE):
        picking.from_part(part)
        picking.score(Fruit.CLEAN)
    picking.done()
    return str(picking.visit)


def picks(phone: PhoneStore) -> dict[str, Pick]:
    """The picks by cover."""
    return {pick.cover.value: pick for pick in phone.all(Pick)}


def test_each_part_has_its_own_number(phone: PhoneStore, tree: str, visit: str) -> None:
    say_of_picks(
        phone,
        tree,
        visit,
        [
            SaidOfPick("whole", "bagged", total=60, about=True),
            SaidOfPick("whole", "bare", weight_kg=12.5, fruit_per_kg=7, taken_by_others=4),
        ],
    )
    told = picks(phone)
    assert (told["bagged"].total, told["bagged"].total_certainty) == (60, Certainty.ESTIMATED)
    assert (told["bare"].typed_total, told["bare"].taken_by_others) == (87.5, 4)
    assert len(phone.all(Pick)) == 2


def test_what_was_said_is_taken_back_to_what_it_was(phone: PhoneStore, tree: str, visit: str) -> None:
    say_of_picks(phone, tree, visit, [SaidOfPick("whole", "bare", total=50, all_scored=AllScored.NO)])
    second = SaidOfPick("whole", "bare", total=70, about=True, all_scored=AllScored.YES)
    say_of_picks(phone, tree, visit, [second])(phone)
    pick = picks(phone)["bare"]
    assert (pick.total, pick.total_certainty, pick.all_scored) == (50, Certainty.EXACT, AllScored.NO)


@pytest.mark.parametrize(
    "half", [SaidOfPick("whole", "bare", weight_kg=3), SaidOfPick("whole", "bare", fruit_per_kg=7)]
)
def test_half_a_weight_is_refused_and_nothing_of_it_kept(
    phone: PhoneStore, tree: str, visit: str, half: SaidOfPick
) -> None:
    with pytest.raises(BadInputError, match="kilogram"):
        say_of_picks(phone, tree, visit, [SaidOfPick("whole", "bagged", total=9), half])
    assert picks(phone)["bagged"].total is None
