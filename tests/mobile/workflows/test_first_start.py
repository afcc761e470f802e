"""The first minutes: who you are, a garden, trees, a trap."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import begin, gardens, name_garden, steps
from mobile.workflows.people import add_person, people, rename_person, retire_person
from mobile.workflows.traps import hang_trap
from mobile.workflows.trees import add_tree
from shared_models.errors import BadInputError
from shared_models.records.gardens import Garden
from shared_models.seasons import Hemisphere
from tests.mobile.phones import Phones, SetClock


def test_the_three_lines_are_done_one_by_one(phones: Phones, clock: SetClock) -> None:
    phone = phones.open(clock=clock)
    begin(phone, " Ada ", "Europe/Rome")
    assert [line.done for line in steps(phone)] == [False, False, False]
    garden = name_garden(phone, "Lower garden", Hemisphere.NORTH).garden
    add_tree(phone, "1", garden)
    assert [line.done for line in steps(phone)] == [True, True, False]
    hang_trap(phone, "A", garden)
    assert all(line.done for line in steps(phone))
    assert [person.name for person in people(phone)] == ["Ada"]


def test_a_garden_asks_north_or_south(phone: PhoneStore) -> None:
    with pytest.raises(BadInputError, match="north or in the south") as refused:
        name_garden(phone, "Lower garden", None)
    assert refused.value.field == "hemisphere" and gardens(phone) == []


def test_a_garden_needs_no_position_and_takes_one(phone: PhoneStore) -> None:
    plain = name_garden(phone, "Plain", Hemisphere.NORTH).garden
    placed = name_garden(phone, "Placed", Hemisphere.NORTH, lat=46.07, lon=11.12, elevation_m=200).garden
    assert phone.get(Garden, plain).lat is None  # type: ignore[union-attr]
    found = phone.get(Garden, placed)
    assert found is not None and (found.lat, found.lon, found.zone) == (46.07, 11.12, "Europe/Rome")


def test_half_a_position_is_refused(phone: PhoneStore) -> None:
    with pytest.raises(BadInputError, match="latitude and longitude"):
        name_garden(phone, "Half", Hemisphere.NORTH, lat=46.0)


def test_a_latitude_in_the_other_half_of_the_earth_is_kept_and_doubted(phone: PhoneStore) -> None:
    made = name_garden(phone, "Odd", Hemisphere.SOUTH, lat=46.0, lon=11.0)
    assert [doubt.field for doubt in made.doubts] == ["lat"] and len(gardens(phone)) == 1


@pytest.mark.parametrize("name", ["", "   "])
def test_an_empty_name_is_refused_with_its_field(phone: PhoneStore, name: str) -> None:
    with pytest.raises(BadInputError) as refused:
        name_garden(phone, name, Hemisphere.NORTH)
    assert refused.value.field == "name" and str(refused.value).endswith(".")


def test_helpers_without_a_phone_are_people_too(phone: PhoneStore) -> None:
    bo = add_person(phone, "Bo 🌳")
    cy = add_person(phone, "Cy")
    rename_person(phone, cy, "Cyril")
    assert [line.name for line in people(phone)] == ["Keeper of phone.db", "Bo 🌳", "Cyril"]
    retire_person(phone, bo)
    assert [(line.name, line.retired) for line in people(phone)][-1] == ("Bo 🌳", True)
