"""What the phone's store promises to the workflows."""

import threading
from datetime import datetime
from typing import Any

import pytest

from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from shared_models.entries import canonical_text, read_entry, seal
from shared_models.errors import BadInputError
from shared_models.records.gardens import Garden, Person, Tree
from shared_models.records.tallies import TallyMark
from shared_models.season_records import from_entries
from shared_models.vocabulary import Fruit, Source
from tests.mobile.phones import Phones, SetClock, mark, picking_visit, total


def everything(store: PhoneStore) -> list[str]:
    """The ids of all entries, newest first."""
    return [entry.id for entry in store.history(10_000)]


def test_first_start_gives_the_phone_a_device_and_a_person(phones: Phones) -> None:
    store = phones.open()
    assert store.identity is None
    identity = store.begin("Ida", "Europe/Rome")
    assert store.identity == identity
    person = store.get(Person, identity.person)
    assert person is not None and person.name == "Ida" and person.by == identity.person


def test_who_the_phone_is_survives_a_restart(phones: Phones, phone: PhoneStore) -> None:
    assert phones.open().identity == phone.identity


def test_a_phone_is_set_up_only_once(phone: PhoneStore) -> None:
    with pytest.raises(BadInputError, match="set up already"):
        phone.begin("Somebody else", "Europe/Rome")
    assert len(phone.all(Person)) == 1


def test_a_first_start_with_a_bad_zone_or_name_leaves_the_phone_as_it_was(phones: Phones) -> None:
    store = phones.open()
    with pytest.raises(BadInputError) as zone:
        store.begin("Ida", "Middle/Earth")
    with pytest.raises(BadInputError) as name:
        store.begin("", "Europe/Rome")
    assert (zone.value.field, name.value.field) == ("zone", "name")
    assert store.identity is None and everything(store) == []


def test_nothing_is_recorded_before_the_first_start(phones: Phones) -> None:
    with pytest.raises(BadInputError, match="not been set up"):
        phones.open().record("garden", {"name": "Hill", "hemisphere": "north"})


def test_what_was_recorded_is_there_after_a_restart(phones: Phones, phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    marks = [mark(phone, visit) for _ in range(3)]
    again = phones.open()
    assert again.tallies(visit) == phone.tallies(visit) and total(again, visit) == 3
    assert [one.rec for one in again.all(TallyMark)] == marks


def test_a_bad_value_is_named_by_its_field_and_nothing_is_stored(phone: PhoneStore) -> None:
    garden = phone.record("garden", {"name": "Hill", "hemisphere": "north"})
    before = everything(phone)
    with pytest.raises(BadInputError) as refusal:
        phone.record("tree", {"label": "7", "garden": garden, "year_planted": 3000})
    assert refusal.value.field == "year_planted" and str(refusal.value).endswith(".")
    assert everything(phone) == before and phone.all(Tree) == []


@pytest.mark.parametrize(
    ("kind", "fields", "field"),
    [
        ("spaceship", {"name": "x"}, "kind"),
        ("garden", {"hemisphere": "north"}, "name"),
        ("note", {"when": "yesterday", "text": "x"}, "when"),
        ("note", {"when": "2026-09-01", "text": "x", "Bad Name": 1}, "f.Bad Name"),
        ("garden", {}, "name"),
    ],
)
def test_what_is_no_record_is_refused_in_a_sentence(
    phone: PhoneStore, kind: str, fields: dict[str, Any], field: str
) -> None:
    with pytest.raises(BadInputError) as refusal:
        phone.record(kind, fields)
    assert refusal.value.field is not None and refusal.value.field.startswith(field)
    assert len(everything(phone)) == 1, "only the first person"


def test_several_records_are_all_stored_or_none(phone: PhoneStore) -> None:
    good = Draft("garden", {"name": "Hill", "hemisphere": "north"})
    before = everything(phone)
    with pytest.raises(BadInputError):
        phone.record_all([good, Draft("garden", {"name": "Dale", "hemisphere": "up"})])
    assert everything(phone) == before
    assert len(phone.record_all([good, good])) == 2 and len(phone.all(Garden)) == 2
    assert phone.record_all([]) == []


def test_a_draft_may_bring_an_id_for_a_record_that_others_of_the_batch_name(phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    given = visit[:-4] + "abcd"
    tree = phone.folded(visit)
    assert tree is not None
    drafts = [
        Draft("visit", {"tree": tree.fields["tree"], "round": "drops", "when": "2026-09-12"}, given),
        Draft("mark", {"visit": given, "marks": ["clean"]}),
    ]
    assert phone.record_all(drafts)[0] == given
    assert total(phone, given) == 1
    assert phone.entries_of(given)[0].creates


def test_undo_takes_a_mark_back_and_redo_puts_it_back(phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    first, second = mark(phone, visit), mark(phone, visit, "sting")
    phone.undo(second)
    assert [(count.marks, count.n) for count in phone.tallies(visit)] == [("clean", 1)]
    assert phone.get(TallyMark, second) is None and phone.newest_own_mark(visit) == first
    phone.redo(second)
    assert total(phone, visit) == 2 and phone.newest_own_mark(visit) == second
    assert [entry.f.get("_del") for entry in phone.entries_of(second)] == [None, True, False]


def test_undoing_twice_adds_nothing_to_the_history(phone: PhoneStore) -> None:
    one = mark(phone, picking_visit(phone))
    phone.undo(one)
    before = everything(phone)
    phone.undo(one)
    assert everything(phone) == before


def test_what_is_not_on_this_phone_cannot_be_undone(phone: PhoneStore) -> None:
    with pytest.raises(BadInputError, match="not on this phone"):
        phone.undo("01900000-0000-7000-8000-000000000000")


def test_undone_records_leave_the_lists_and_stay_in_the_history(phone: PhoneStore) -> None:
    garden = phone.record("garden", {"name": "Hill", "hemisphere": "north"})
    phone.undo(garden)
    assert phone.get(Garden, garden) is None and phone.all(Garden) == []
    folded = phone.folded(garden)
    assert folded is not None and folded.deleted and folded.fields["name"] == "Hill"


def test_numbers_and_adjustments_count_with_the_marks(phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    mark(phone, visit)
    number = phone.record("number", {"visit": visit, "marks": ["clean"], "low": 10, "high": 20})
    phone.record("adjustment", {"visit": visit, "marks": ["clean"], "n": -2, "reason": "counted twice"})
    assert sorted((count.n, count.estimated) for count in phone.tallies(visit)) == [
        (-2, False),
        (1, False),
        (15, True),
    ]
    phone.undo(number)
    assert total(phone, visit) == -1


def test_the_newest_mark_is_the_last_one_made_whatever_the_clock_does(
    phone: PhoneStore, clock: SetClock
) -> None:
    visit = picking_visit(phone)
    for move in (0.0, 0.0, -3.0, 0.0, 1.0):  # hours; several within one millisecond
        clock.move(hours=move)
        batch = phone.record_all([Draft("mark", {"visit": visit, "marks": ["clean"]}) for _ in range(20)])
        assert phone.newest_own_mark(visit) == batch[-1]


def test_stamps_and_ids_only_go_forward_under_a_clock_that_jumps(phone: PhoneStore, clock: SetClock) -> None:
    made = []
    for moment in ("2026-09-12T10:00", "2026-09-12T07:00", "1970-01-02T00:00", "2099-01-01T00:00"):
        clock.time = datetime.fromisoformat(moment + "+02:00")
        made.append(phone.record("garden", {"name": "Hill", "hemisphere": "north"}))
    entries = [phone.entries_of(rec)[0] for rec in made]
    assert made == sorted(made) and len(set(made)) == len(made)
    stamps = [entry.stamp for entry in entries]
    assert stamps == sorted(stamps) and len(set(stamps)) == len(stamps)
    assert [entry.entered[:10] for entry in entries][2:] == ["1970-01-01", "2098-12-31"]


def test_an_edit_names_what_it_replaces(phone: PhoneStore) -> None:
    garden = phone.record("garden", {"name": "Hill", "hemisphere": "north"})
    assert phone.record("garden", {"name": "Hilltop", "elevation_m": 412.0}, garden) == garden
    first, second = phone.entries_of(garden)
    assert second.prev == {"name": first.id} and second.f == {"name": "Hilltop", "elevation_m": 412}
    phone.record("garden", {"name": "Top"}, garden)
    assert phone.entries_of(garden)[-1].prev == {"name": second.id}
    kept = phone.get(Garden, garden)
    assert kept is not None and (kept.name, kept.elevation_m, kept.hemisphere) == ("Top", 412, "north")


def test_two_edits_in_one_batch_see_each_other(phone: PhoneStore) -> None:
    garden = phone.record("garden", {"name": "Hill", "hemisphere": "north"})
    phone.record_all([Draft("garden", {"name": "A"}, garden), Draft("garden", {"name": "B"}, garden)])
    _, first, second = phone.entries_of(garden)
    assert second.prev == {"name": first.id}
    kept = phone.get(Garden, garden)
    assert kept is not None and kept.name == "B"


def test_an_edit_cannot_make_a_garden_a_tree(phone: PhoneStore) -> None:
    garden = phone.record("garden", {"name": "Hill", "hemisphere": "north"})
    with pytest.raises(BadInputError, match="stays one"):
        phone.record("tree", {"label": "7"}, garden)


def test_words_of_the_vocabulary_and_plain_words_make_the_same_entry(phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    words = phone.record("mark", {"visit": visit, "marks": [Fruit.CLEAN], "source": Source.PICKED})
    plain = phone.record("mark", {"visit": visit, "marks": ["clean"], "source": "picked"})
    assert phone.entries_of(words)[0].f == phone.entries_of(plain)[0].f
    assert [count.n for count in phone.tallies(visit)] == [2]


def test_stored_entries_are_canonical_and_valid(phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    mark(phone, visit)
    phone.record("note", {"when": "2026-09-12", "text": "zürich\n“quote” \U0001f34e", "about": visit})
    for entry in phone.history():
        assert read_entry(canonical_text(entry)) == entry
        assert seal(entry).body == canonical_text(entry)


def test_history_is_newest_first_and_can_be_paged_without_a_gap(phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    phone.record_all([Draft("mark", {"visit": visit}) for _ in range(25)])
    whole = everything(phone)
    stamps = [entry.stamp for entry in phone.history(10_000)]
    assert stamps == sorted(stamps, reverse=True) and len(whole) == 29
    paged: list[str] = []
    while page := phone.history(7, paged[-1] if paged else None):
        paged += [entry.id for entry in page]
    assert paged == whole


def test_a_season_from_the_store_equals_one_from_bare_entries(phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    phone.undo(mark(phone, visit))
    mark(phone, visit, "deep_entry")
    phone.record("number", {"visit": visit, "marks": ["clean"], "n": 40})
    assert phone.season("2026") == from_entries(phone.history(10_000), "2026")
    assert sum(count.n for count in phone.season("2026").tallies) == 41


def test_season_keys_follow_from_days_gardens_and_what_was_said_by_hand(phone: PhoneStore) -> None:
    assert phone.season_keys() == []
    picking_visit(phone)
    assert phone.season_keys() == ["2026"]
    south = phone.record("garden", {"name": "Far", "hemisphere": "south"})
    tree = phone.record("tree", {"label": "1", "garden": south})
    phone.record("visit", {"tree": tree, "round": "picking", "when": "2027-02-10", "season": "2026/27"})
    assert "2026/27" in phone.season_keys() and "2027" not in phone.season_keys()


def test_what_names_no_season_is_refused_in_a_sentence(phone: PhoneStore) -> None:
    with pytest.raises(BadInputError, match="names no season"):
        phone.season("last year")


def test_the_phone_reopens_where_it_was(phones: Phones, phone: PhoneStore) -> None:
    assert phone.place() is None
    phone.save_place({"screen": "picking", "visit": "x"})
    phone.save_place({"screen": "traps"})
    assert phones.open().place() == {"screen": "traps"}


def test_time_is_told_in_the_gardens_zone(phones: Phones) -> None:
    clock = SetClock(datetime.fromisoformat("2026-01-31T23:30:00+00:00"))
    store = phones.begun(clock=clock)
    assert store.now().isoformat() == "2026-02-01T00:30:00+01:00"
    garden = store.record("garden", {"name": "Hill", "hemisphere": "north"})
    entry = store.entries_of(garden)[0]
    assert (entry.entered, entry.tz) == ("2026-02-01T00:30:00+01:00", "Europe/Rome")


def test_a_phone_alone_says_that_everything_is_on_it_only(phone: PhoneStore) -> None:
    picking_visit(phone)
    state = phone.sharing()
    assert (state.waiting, state.needs_a_look, state.shared, state.exchanged_at) == (4, [], 0, None)


def test_threads_record_at_once_and_nothing_is_lost(phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    failures: list[BaseException] = []

    def tally() -> None:
        try:
            for _ in range(40):
                mark(phone, visit)
                phone.tallies(visit)
        except BaseException as error:
            failures.append(error)

    threads = [threading.Thread(target=tally) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == [] and total(phone, visit) == 160
    stamps = [entry.stamp for entry in phone.history(10_000)]
    assert len(set(stamps)) == len(stamps)


def test_what_is_unfinished_is_kept_by_name_until_it_is_forgotten(phone: PhoneStore) -> None:
    phone.keep_unfinished("one", {"marks": ["clean"]})
    phone.keep_unfinished("two", {"marks": []})
    phone.keep_unfinished("one", {"marks": ["clean", "sting"]})
    assert phone.unfinished("one") == {"marks": ["clean", "sting"]} and phone.unfinished("two") == {
        "marks": []
    }
    phone.keep_unfinished("one", None)
    assert phone.unfinished("one") is None and phone.unfinished("two") is not None
