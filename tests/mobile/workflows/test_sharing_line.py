"""The few words of the top line."""

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.sharing_line import sharing_line
from tests.mobile.phones import Phones


def test_a_phone_before_its_first_start_says_nothing(phones: Phones) -> None:
    assert sharing_line(phones.open()) == ""


def test_a_phone_alone_says_so(phone: PhoneStore) -> None:
    assert sharing_line(phone) == "on this phone only"
