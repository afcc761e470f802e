"""Choices for one device."""

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.device_choices import DeviceChoices, choices, choose
from tests.mobile.phones import Phones


def test_a_new_phone_looks_and_feels_as_usual(phone: PhoneStore) -> None:
    assert choices(phone) == DeviceChoices("sun", 1.0, True, False)


def test_a_choice_is_there_after_a_restart_and_changes_nothing_else(phones: Phones) -> None:
    first = phones.begun()
    choose(first, scheme="dusk")
    choose(first, type_size=1.5)
    first.close()
    assert choices(phones.open()) == DeviceChoices("dusk", 1.5, True, False)


def test_a_choice_of_another_release_is_kept_and_passed_over(phone: PhoneStore) -> None:
    phone.save_choices({"scheme": "dusk", "hat": "straw"})
    assert choose(phone, buzz=False) == DeviceChoices("dusk", 1.0, False, False)
    assert phone.choices()["hat"] == "straw"


def test_a_choice_is_no_record(phone: PhoneStore) -> None:
    before = phone.history()
    choose(phone, click=True)
    assert phone.history() == before
