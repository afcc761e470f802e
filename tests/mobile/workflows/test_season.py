"""The season's report on a phone without any signal."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import name_garden
from mobile.workflows.moments import Told
from mobile.workflows.picking import PickingVisit
from mobile.workflows.season import held_until, report_of, report_text, season_choices
from mobile.workflows.tree_plans import declare_untreated
from mobile.workflows.trees import add_row
from shared_models.errors import BadInputError
from shared_models.reports import season_report
from shared_models.season_records import from_entries
from shared_models.seasons import Hemisphere
from shared_models.vocabulary import Fruit
from tests.mobile.pages import oldest_first
from tests.mobile.phones import SetClock


def test_a_phone_alone_has_the_whole_report(phone: PhoneStore, tree: str) -> None:
    declare_untreated(phone, [tree])
    visit = PickingVisit(phone, tree)
    for fruit in (Fruit.CLEAN, Fruit.CLEAN, Fruit.STING):
        visit.score(fruit)
    visit.done()
    assert report_of(phone) == season_report(from_entries(oldest_first(phone), "2026"))
    assert "Season 2026" in report_text(phone) and "1 of 3" in report_text(phone)


def test_the_seasons_of_both_halves_of_the_earth_can_be_looked_at(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    south = name_garden(phone, "Far garden", Hemisphere.SOUTH).garden
    far = add_row(phone, south, 1).trees[0]
    PickingVisit(phone, far, Told(when="2026-03-02")).score(Fruit.CLEAN)
    assert {"2026", "2025/26", "2026/27"} <= set(season_choices(phone))
    assert [line.label for line in report_of(phone, "2025/26").trees] == ["1"]
    assert report_of(phone, "2025/26").scored.clean == 1
    assert report_of(phone, "2026/27").scored.clean == report_of(phone, "2026").scored.clean == 0


def test_a_garden_without_any_record_can_still_be_looked_at(phone: PhoneStore, garden: str) -> None:
    assert season_choices(phone) == ["2026"]
    assert report_of(phone).season == "2026"


def test_without_a_garden_there_is_no_season_and_a_key_must_be_one(phone: PhoneStore) -> None:
    with pytest.raises(BadInputError, match="name a garden first"):
        report_of(phone)
    with pytest.raises(BadInputError, match="names no season"):
        report_of(phone, "26")


def test_it_says_how_far_the_records_reach(phone: PhoneStore) -> None:
    assert held_until(phone) == "From the records of this phone alone."
