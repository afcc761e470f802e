"""Facts about this phone, a name and a text each. Knows no records.

The device's token is among them for now, readable by whoever can read the file; it moves to the device's own
keystore with `mobile/device`.
"""

from dataclasses import dataclass
from enum import StrEnum

from sqlalchemy import Connection, bindparam, select

from mobile.storage.own_tables import PHONE
from shared_models.store.upserts import insert_or_replace


class Fact(StrEnum):
    """Everything that is noted about the phone itself."""

    LAST_STAMP = "last_stamp"
    DEVICE = "device"
    PERSON = "person"
    ZONE = "zone"
    SERVER = "server"
    PIN = "pin"
    GROUP = "group"
    GROUP_NAME = "group_name"
    ROLE = "role"
    TOKEN = "token"
    CURSOR = "cursor"
    EPOCH = "epoch"
    DIGEST = "digest"
    LOOKED_THROUGH = "looked_through"
    DIFFERS = "differs"
    EXCHANGED_AT = "exchanged_at"
    PLACE = "place"
    CHOICES = "choices"
    UNFINISHED = "unfinished"
    LAST_COPY = "last_copy"
    TAKEN_IN = "taken_in"
    SAVED = "saved"  # what was saved from damaged files, until it was read
    CHECKED_AT = "checked_at"


SECRET = (Fact.TOKEN,)  # in no copy of the file


@dataclass(frozen=True, slots=True)
class Identity:
    """Which device this is, the person who records on it, and the IANA time zone of their garden."""

    device: str
    person: str
    zone: str


_VALUE = select(PHONE.c.value).where(PHONE.c.name == bindparam("fact"))


def read(core: Connection, fact: Fact) -> str | None:
    """The text of a fact; None where it was never noted."""
    return core.execute(_VALUE, {"fact": fact.value}).scalar_one_or_none()


def note(core: Connection, facts: dict[Fact, str]) -> None:
    """Note facts, replacing earlier ones."""
    rows = [{"name": fact.value, "value": value} for fact, value in facts.items()]
    core.execute(insert_or_replace(core, PHONE), rows)


def identity(core: Connection) -> Identity | None:
    """Who this phone is; None before its first start."""
    device, person, zone = (read(core, fact) for fact in (Fact.DEVICE, Fact.PERSON, Fact.ZONE))
    return Identity(device, person, zone) if device and person and zone else None
