"""Damage that no start meets: found by the weekly look or while working, put in order by the next start."""

import pytest

from mobile.storage.phone_store import PhoneStore
from shared_models.errors import StoreError
from shared_models.records.gardens import Garden
from tests.mobile.phones import Phones, SetClock, mark, picking_visit, total


def test_the_weekly_check_is_made_once_a_week(phones: Phones, phone: PhoneStore, clock: SetClock) -> None:
    visit = picking_visit(phone)
    mark(phone, visit)
    assert phone.safe_keeping.check_if_due()
    with phone._database.writing() as line:
        line.driver.execute("UPDATE entry SET body = replace(body, 'picked', 'packed') WHERE kind = 'mark'")
    clock.move(days=6)
    assert phone.safe_keeping.check_if_due(), "not due yet"
    clock.move(days=1)
    assert not phone.safe_keeping.check_if_due()
    assert (phones.folder / "phone.db.suspect").exists()
    phones.close()
    again = phones.open()
    assert total(again, visit) == 1
    assert not (phones.folder / "phone.db.suspect").exists()
    assert len(again.safe_keeping.saved()) == 1


def test_trouble_that_was_none_is_forgotten(phones: Phones, phone: PhoneStore) -> None:
    picking_visit(phone)
    phones.close()
    (phones.folder / "phone.db.suspect").touch()
    again = phones.open()
    assert again.safe_keeping.saved() == [] and not (phones.folder / "phone.db.suspect").exists()


def test_damage_that_is_met_while_working_is_told_and_put_in_order_by_the_next_start(
    phones: Phones, phone: PhoneStore
) -> None:
    mark(phone, picking_visit(phone))
    phones.in_the_file("phone.db", "UPDATE entry SET body = CAST(x'7bff7d' AS TEXT) WHERE kind = 'garden'")
    with pytest.raises(StoreError, match="Close the app"):
        phone.history(100)
    phones.close()
    again = phones.open()
    assert len(again.history(100)) == 5 and again.all(Garden)[0].name == "Hill"
