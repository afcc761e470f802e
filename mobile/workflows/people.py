"""People who record or help: add one without a phone, rename, retire, and their names for other workflows."""

from dataclasses import dataclass

from mobile.storage.phone_store import PhoneStore
from shared_models.language import say
from shared_models.records.gardens import Person


@dataclass(frozen=True, slots=True)
class PersonLine:
    """One person of the list; `is_me` is the person of this phone."""

    person: str
    name: str
    is_me: bool
    retired: bool


def add_person(store: PhoneStore, name: str) -> str:
    """A helper without a phone of their own; returns the person's id."""
    return store.record(Person.kind, {"name": name.strip()})


def rename_person(store: PhoneStore, person: str, name: str) -> None:
    """Give a person another name; the old one stays in the history."""
    store.record(Person.kind, {"name": name.strip()}, person)


def retire_person(store: PhoneStore, person: str) -> None:
    """Offer this person no longer; what they did stays theirs."""
    store.record(Person.kind, {"retired": True}, person)


def bring_back_person(store: PhoneStore, person: str) -> None:
    """Offer somebody again who was not any more."""
    store.record(Person.kind, {"retired": False}, person)


def people(store: PhoneStore) -> list[PersonLine]:
    """Everybody, the person of this phone first, then by name, retired ones last."""
    me = store.identity.person if store.identity else None
    lines = [
        PersonLine(person.rec, person.name, person.rec == me, person.retired) for person in store.all(Person)
    ]
    return sorted(lines, key=lambda line: (line.retired, not line.is_me, line.name.casefold(), line.person))


def names(store: PhoneStore) -> dict[str, str]:
    """Everybody's name by id."""
    return {person.rec: person.name for person in store.all(Person)}


def name_of(store: PhoneStore, person: str) -> str:
    """The name of one person, or a word for somebody whose record is not here yet."""
    found = store.get(Person, person)
    return found.name if found else somebody()


def somebody() -> str:
    """The word for a person whose record is not here yet."""
    return say("somebody")
