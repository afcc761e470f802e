"""Fruit scored by two people and fruit cut open, as a phone records them."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.scoring_checks import cut_open, score_twice
from mobile.workflows.season import report_of
from shared_models.errors import BadInputError
from shared_models.records.gardens import Person
from shared_models.records.scoring_checks import CutSample, DoubleScore
from shared_models.vocabulary import Fruit

C, S = Fruit.CLEAN, Fruit.STING


@pytest.fixture
def ben(phone: PhoneStore) -> str:
    return phone.record(Person.kind, {"name": "Ben"})


def test_two_people_on_the_same_fruit_stand_in_the_season_and_in_no_rate(
    phone: PhoneStore, tree: str, ben: str
) -> None:
    before = report_of(phone)
    score_twice(phone, tree, ben, [C] * 9 + [S], [C] * 8 + [S, S])
    report = report_of(phone)
    [line] = report.scoring.agreement
    assert (line.fruit, line.equal) == (10, 0.9) and "Ben" in (line.first, line.second)
    assert report.mixes == before.mixes and report.scored == before.scored


@pytest.mark.parametrize(("first", "second"), [([], []), ([C, C], [C])])
def test_unequal_or_no_fruit_is_refused_and_nothing_kept(
    phone: PhoneStore, tree: str, ben: str, first: list[Fruit], second: list[Fruit]
) -> None:
    with pytest.raises(BadInputError, match="same fruit"):
        score_twice(phone, tree, ben, first, second)
    assert phone.all(DoubleScore) == []


def test_one_person_is_no_second_opinion(phone: PhoneStore, tree: str) -> None:
    assert phone.identity is not None
    with pytest.raises(BadInputError, match="second person"):
        score_twice(phone, tree, phone.identity.person, [C], [C])


def test_fruit_cut_open_stands_in_the_season(phone: PhoneStore, tree: str) -> None:
    cut_open(phone, tree, 25, 1)
    found = report_of(phone).scoring.cut
    assert found is not None and (found.cut, found.found, found.share) == (25, 1, 0.04)


@pytest.mark.parametrize(("cut", "found"), [(0, 0), (3, 4), (3, -1)])
def test_numbers_that_cannot_be_are_refused(phone: PhoneStore, tree: str, cut: int, found: int) -> None:
    with pytest.raises(BadInputError, match="how many were cut"):
        cut_open(phone, tree, cut, found)
    assert phone.all(CutSample) == []
