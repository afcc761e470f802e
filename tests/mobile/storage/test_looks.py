"""What waits to be decided is counted after every touch: what was looked at before must never hide what came since."""

from __future__ import annotations

import random

from mobile.storage.looks import Looks
from mobile.storage.phone_store import PhoneStore
from shared_models.store import entry_log, state
from shared_models.store.tables import OWN_GROUP
from tests.mobile.pages import page


def hung(phone: PhoneStore) -> str:
    """A trap."""
    garden = phone.record("garden", {"name": "Hill", "hemisphere": "north"})
    return phone.record("trap", {"label": "1", "garden": garden})


def anew(phone: PhoneStore) -> list[tuple[str, str]]:
    """The pairs as somebody finds them who has not looked before."""
    return [(one.first.rec, one.second.rec) for one in Looks(phone._database).double_counts()]


def test_visits_in_any_order_are_found_as_if_for_the_first_time(phone: PhoneStore) -> None:
    chance, trap = random.Random(7), hung(phone)
    visits: list[str] = []
    for _ in range(60):
        what = chance.random()
        if what < 0.4 or len(visits) < 2:
            before = {"previous": chance.choice(visits)} if visits else {}
            told = {"trap": trap, "state": "counted", "moths": 1, "when": "2026-06-01"}
            visits.append(phone.record("trap_visit", told | before))
        elif what < 0.6:
            phone.record("trap_visit", {"previous": chance.choice([None, *visits])}, chance.choice(visits))
        elif what < 0.8:
            phone.record("trap_visit", {"_del": chance.random() < 0.5}, chance.choice(visits))
        else:
            phone.record("note", {"text": "nothing", "when": "unknown"})
        found = [(one.first.rec, one.second.rec) for one in phone.looks.double_counts()]
        assert found == anew(phone) and phone.looks.count() == len(found)


def test_a_visit_that_is_set_aside_is_no_double_until_it_is_taken(phone: PhoneStore) -> None:
    trap = hung(phone)
    told = {"trap": trap, "state": "counted", "moths": 1, "when": "2026-06-01"}
    first = phone.record("trap_visit", told)
    second = phone.record("trap_visit", told)
    assert phone.looks.count() == 1
    with phone._database.writing() as line:
        entry_log.set_aside(line.core, OWN_GROUP, second, second, True)
        state.refold_touched(line.core, OWN_GROUP)
    assert phone.looks.count() == 0
    with phone._database.writing() as line:
        entry_log.set_aside(line.core, OWN_GROUP, second, second, False)
        state.refold_touched(line.core, OWN_GROUP)
    assert [one.first.rec for one in phone.looks.double_counts()] == [first]


def test_what_came_from_others_is_looked_at_too(phone: PhoneStore, neighbour: PhoneStore) -> None:
    trap = hung(neighbour)
    assert phone.looks.count() == 0
    told = {"trap": trap, "state": "counted", "moths": 1, "when": "2026-06-01"}
    neighbour.record("trap_visit", told)
    neighbour.record("trap_visit", told)
    phone.incoming.take(page(reversed(neighbour.history(100))))
    assert phone.looks.count() == 1
