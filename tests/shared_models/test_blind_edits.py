"""Edits that did not know of each other: told as long as nobody settled them, whatever the order in which they arrive."""

from __future__ import annotations

import random
from dataclasses import dataclass, field

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared_models.blind_edits import blind_edits, heads
from shared_models.entries import DELETED, Entry
from shared_models.fold import fold, in_order
from tests.builders import FieldPhone
from tests.strategies import law

FIELDS = ("label", "form", DELETED)


def told(*entries: Entry) -> dict[str, tuple[object, ...]]:
    """By field what stands, then every other value, newest first."""
    found = blind_edits(in_order(entries))
    return {one.field: (one.stands.value, *(other.value for other in one.others)) for one in found}


class Walker(FieldPhone):
    """A phone that edits what it has seen."""

    def says(self, seen: list[Entry], **fields: object) -> Entry:
        """An edit of the record that these entries make, as a phone writes it."""
        self.receives(*seen)
        return self.edits(seen[0], fold(seen), **fields)


@pytest.fixture
def tree() -> Entry:
    """A tree that everybody knows."""
    phone = FieldPhone()
    return phone.tree(phone.garden(), "7")


ida, ben, cleo = Walker(), Walker(), Walker()


def test_two_values_said_apart_are_told_with_who_and_when(tree):
    one, other = ida.says([tree], label="7a"), ben.says([tree], label="7b")
    first, last = in_order([one, other])
    (edit,) = blind_edits(in_order([tree, one, other]))
    assert (edit.rec, edit.kind, edit.field) == (tree.rec, "tree", "label")
    assert (edit.stands.entry, edit.stands.value, edit.stands.by) == (last.id, last.f["label"], last.by)
    (lost,) = edit.others
    assert (lost.entry, lost.value, lost.device, lost.entered) == (
        first.id,
        first.f["label"],
        first.device,
        first.entered,
    )
    assert fold([tree, one, other]).blind == ("label",)


def test_whoever_saw_a_value_and_replaced_it_was_not_blind(tree):
    one = ida.says([tree], label="7a")
    other = ben.says([tree, one], label="7b")
    assert told(tree, one, other) == {}


def test_the_same_value_twice_and_other_fields_are_no_matter(tree):
    assert told(tree, ida.says([tree], label="7a"), ben.says([tree], label="7a")) == {}
    assert told(tree, ida.says([tree], label="7a"), ben.says([tree], form="fan")) == {}


def test_a_field_that_two_set_for_the_first_time_is_told(tree):
    one, other = in_order([ida.says([tree], form="fan"), ben.says([tree], form="cordon")])
    assert told(tree, one, other) == {"form": (other.f["form"], one.f["form"])}


def test_a_later_edit_of_what_stands_leaves_the_other_open(tree):
    lost, stands = in_order([ida.says([tree], label="7a"), ben.says([tree], label="7b")])
    later = cleo.says([tree, lost, stands], label="8")
    assert told(tree, lost, stands, later) == {"label": ("8", lost.f["label"])}


def test_keeping_says_again_what_stands_in_place_of_what_lost(tree):
    lost, stands = in_order([ida.says([tree], label="7a"), ben.says([tree], label="7b")])
    cleo.receives(lost, stands)
    kept = cleo.edits(tree, None, label=stands.f["label"]).model_copy(update={"prev": {"label": lost.id}})
    assert told(tree, lost, stands, kept) == {}
    assert fold([tree, lost, stands, kept]).fields["label"] == stands.f["label"]
    switched = cleo.edits(tree, None, label=lost.f["label"]).model_copy(update={"prev": {"label": stands.id}})
    assert told(tree, lost, stands, switched) == {}
    assert fold([tree, lost, stands, switched]).fields["label"] == lost.f["label"]
    assert told(tree, lost, stands, kept, switched), "two who decide otherwise while apart are told again"


def test_who_goes_on_from_a_decision_goes_on_from_all_who_agreed(tree):
    lost, stands = in_order([ida.says([tree], label="7a"), ben.says([tree], label="7b")])
    cleo.receives(lost, stands)
    kept = cleo.edits(tree, None, label=stands.f["label"]).model_copy(update={"prev": {"label": lost.id}})
    seen = [tree, lost, stands, kept]
    later = ida.says(seen, label="8")
    assert later.prev == {"label": kept.id} and told(*seen, later) == {}
    blind = ben.says([tree, lost, stands], label="9")
    assert set(told(*seen, later, blind)) == {"label"}


def test_a_tree_taken_back_by_one_and_edited_by_another_is_told(tree):
    removed = ida.says([tree], **{DELETED: True})
    ben.receives(removed)  # its clock only: what it shows does not know of it
    edited = ben.says([tree], label="7b")
    assert told(tree, removed, edited) == {DELETED: (True, False)}
    back = cleo.says([tree, removed, edited], **{DELETED: False})
    assert told(tree, removed, edited, back) == {}
    gone = cleo.says([tree, removed, edited], **{DELETED: True})
    assert told(tree, removed, edited, gone) == {}


def test_of_a_tree_that_was_taken_back_nothing_else_is_told(tree):
    one, other = ida.says([tree], label="7a"), ben.says([tree], label="7b")
    seen = [tree, one, other]
    assert told(*seen, cleo.says(seen, **{DELETED: True})) == {}


def test_taken_back_by_one_and_put_back_by_another(tree):
    removed = ida.says([tree], **{DELETED: True})
    again, anew = (
        ben.says([tree, removed], **{DELETED: False}),
        cleo.says([tree, removed], **{DELETED: False}),
    )
    assert told(tree, removed, again, anew) == {}
    still = in_order([again, ida.says([tree, removed], **{DELETED: True})])
    assert told(tree, removed, *still) == {DELETED: (still[1].f[DELETED], still[0].f[DELETED])}


def test_why_something_was_said_is_no_value():
    phone = FieldPhone()
    line = phone.untreated(phone.tree(phone.garden()))
    assert told(line, ida.says([line], reason="typing"), ben.says([line], reason="misread")) == {}


def test_what_replaced_an_entry_that_is_not_here_yet_is_told_later_not_wrongly(tree):
    between = ida.says([tree], label="7a")
    after = ida.says([tree, between], label="8")
    assert told(tree, after) == {}
    blind = ben.says([tree], label="9")
    assert set(told(tree, between, after, blind)) == {"label"}


def test_entries_that_name_each_other_or_themselves_are_read_to_the_end(tree):
    one, other = ida.says([tree], label="7a"), ben.says([tree], label="7b")
    ring = [
        one.model_copy(update={"prev": {"label": other.id}}),
        other.model_copy(update={"prev": {"label": one.id}}),
    ]
    assert told(tree, *ring)["label"][-1] == "7", "nobody replaced the first label"
    itself = one.model_copy(update={"prev": {"label": one.id}})
    assert told(tree, itself) == {"label": ("7a", "7")}


def test_a_long_chain_is_read_in_one_go(tree):
    seen, blind = [tree], ben.says([tree], label="blind")
    for number in range(2000):
        seen.append(
            ida.edits(tree, None, label=str(number)).model_copy(update={"prev": {"label": seen[-1].id}})
        )
    assert told(*seen) == {}
    ida.receives(blind)
    seen.append(ida.edits(tree, None, label="last").model_copy(update={"prev": {"label": seen[-1].id}}))
    assert told(*seen, blind) == {"label": ("last", "blind")}


# ---------------------------------------------------------------- random groups of phones
@dataclass
class Meeting:
    """Phones with what each holds of one tree; edits see what is held, and meetings share it."""

    phones: list[Walker] = field(default_factory=lambda: [Walker() for _ in range(3)])
    held: list[dict[str, Entry]] = field(default_factory=list)

    def begin(self) -> None:
        tree = self.phones[0].tree("0" * 8 + "-0000-7000-8000-" + "0" * 12, "1")
        self.held = [{tree.id: tree} for _ in self.phones]

    def edit(self, phone: int, name: str, value: object) -> None:
        if fold(self.held[phone].values()).deleted and name != DELETED:
            return  # no phone offers to change what it knows to be gone
        said = value == "a" if name == DELETED else value
        entry = self.phones[phone].says(in_order(self.held[phone].values()), **{name: said})
        self.held[phone][entry.id] = entry

    def meet(self, one: int, other: int) -> None:
        both = self.held[one] | self.held[other]
        self.held[one], self.held[other] = dict(both), dict(both)

    def all(self) -> list[Entry]:
        return list({id: entry for held in self.held for id, entry in held.items()}.values())


edits = st.tuples(st.just("edit"), st.integers(0, 2), st.sampled_from(FIELDS), st.sampled_from("abc"))
meetings = st.tuples(st.just("meet"), st.integers(0, 2), st.integers(0, 2))
stories = st.lists(edits | meetings, min_size=1, max_size=14)


def lived(story: list[tuple], everybody_sees_all: bool = False) -> list[Entry]:
    """The entries of a story."""
    group = Meeting()
    group.begin()
    for what, *told_of in story:
        if everybody_sees_all:
            for one, other in ((0, 1), (1, 2), (0, 1)):
                group.meet(one, other)
        if what == "edit":
            group.edit(*told_of)
        else:
            group.meet(*told_of)
    return group.all()


@law
@given(stories, st.randoms(use_true_random=False))
def test_the_order_of_arrival_and_repetition_make_no_difference(story: list, chance: random.Random):
    entries = lived(story)
    mixed = entries + chance.choices(entries, k=3)
    chance.shuffle(mixed)
    assert blind_edits(in_order(mixed)) == blind_edits(in_order(entries))
    assert fold(mixed).blind == tuple(one.field for one in blind_edits(in_order(entries)))


@law
@given(stories)
def test_phones_that_saw_each_other_are_never_blind(story: list):
    assert blind_edits(in_order(lived(story, everybody_sees_all=True))) == []


def replaced_in_all(entry: Entry, name: str, by_id: dict[str, Entry]) -> set[str]:
    """The chain of an entry, walked to its end."""
    chain: set[str] = set()
    at = (entry.prev or {}).get(name)
    while at in by_id and at not in chain:
        chain.add(at)
        at = (by_id[at].prev or {}).get(name)
    return chain


@law
@given(stories)
def test_what_is_told_is_what_the_chains_do_not_hold(story: list):
    entries = in_order(lived(story))
    by_id = {entry.id: entry for entry in entries}
    folded = fold(entries)
    if folded.deleted:
        return
    for name in set(FIELDS) & set(folded.fields):
        stands = by_id[folded.winners[name]]
        setting = [entry for entry in entries if name in entry.f]
        known = set().union(*(replaced_in_all(entry, name, by_id) for entry in setting))
        # Who agreed with a value before it was replaced was answered with it.
        known |= {
            one.id
            for place, one in enumerate(setting)
            if any(later.f[name] == one.f[name] and later.id in known for later in setting[place + 1 :])
        }
        lost = {one.f[name] for one in setting if one.id not in known and one.f[name] != stands.f[name]}
        assert lost == set(told(*entries).get(name, (stands.f[name],))[1:])
        assert lost <= {one.f[name] for one in setting if one.id not in replaced_in_all(stands, name, by_id)}


@law
@given(stories, st.data())
def test_an_entry_that_has_not_come_yet_makes_nobody_blind_who_was_not(story: list, data: st.DataObject):
    entries = in_order(lived(story))
    missing = data.draw(st.sampled_from(entries))
    here = [entry for entry in entries if entry is not missing]
    for name in FIELDS:
        replaced = any((entry.prev or {}).get(name) == missing.id for entry in here)
        if name in missing.f and replaced:
            before = {entry.id for entry in heads(entries, name)}
            assert {entry.id for entry in heads(here, name)} <= before


@law
@given(stories, st.data())
def test_one_decision_settles_a_field_and_it_stays_settled(story: list, data: st.DataObject):
    entries = in_order(lived(story))
    found = blind_edits(entries)
    if not found:
        return
    edit = data.draw(st.sampled_from(found))
    chosen = data.draw(st.sampled_from([edit.stands, *edit.others]))
    decider = Walker()
    decider.receives(*entries)
    for head in heads(entries, edit.field):
        if head.f[edit.field] != chosen.value or edit.field == DELETED:
            made = decider.edits(entries[0], None, **{edit.field: chosen.value})
            entries.append(made.model_copy(update={"prev": {edit.field: head.id}}))
    after = fold(entries)
    assert edit.field not in after.blind and after.fields[edit.field] == chosen.value
    if not after.deleted or edit.field == DELETED:
        later = Walker().says(entries, **{edit.field: data.draw(st.sampled_from([True, False]))})
        assert edit.field not in fold([*entries, later]).blind, "whoever goes on from it goes on from all"
