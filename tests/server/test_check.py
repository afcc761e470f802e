"""The check finds each kind of damage, names it, and changes nothing; what is well is said to be."""

from __future__ import annotations

import pytest
from sqlalchemy import text

from server.database.season import bring_up_to_log
from server.services.check import check
from tests.builders import FieldPhone
from tests.server.running import RunningServer


@pytest.fixture
def hill(either_server: RunningServer):
    """A group with a tree that was tallied, edited and undone."""
    hill = either_server.group("Hill (invented)")
    phone = FieldPhone()
    garden = phone.garden()
    tree = phone.tree(garden)
    visit = phone.visit(tree)
    marks = [phone.mark(visit, "sting") for _ in range(30)]
    keeper = either_server.caller(hill)
    keeper.push([garden, tree, visit, *marks, phone.undoes(marks[3]), phone.edits(tree, label="2")])
    other = either_server.caller(either_server.group("Valley (invented)"))
    other.push([FieldPhone().garden()])
    return hill


def wrong(server: RunningServer, group) -> list[str]:
    """What is said to be wrong."""
    return [one.sentence for one in check(server.services.database, group) if not one.well]


def damage(server: RunningServer, group, statement: str) -> None:
    """Change the database behind the server's back."""
    with server.services.database.writing() as connection:
        bring_up_to_log(connection, group.id)
        connection.execute(text(statement), {"group": group.id} if ":group" in statement else {})


def test_what_is_well_is_said_to_be(either_server, hill):
    found = check(either_server.services.database, hill)
    assert [one.sentence for one in found] == [
        "35 entries, numbered 1 to 35 without a gap.",
        "Each entry is as it was taken in.",
        "The checksum of all entries is the one that was kept.",
        "33 records, all as they follow from the entries.",
    ]
    assert all(one.well for one in found)


def test_an_empty_group_is_well(either_server):
    group = either_server.group("New (invented)")
    assert all(one.well for one in check(either_server.services.database, group))


DAMAGES = {
    "an entry is gone": (
        "DELETE FROM entry WHERE group_id = :group AND seq = 7",
        ["missing: 7.", "checksum"],
    ),
    "the last is gone": (
        "DELETE FROM entry WHERE group_id = :group AND seq >= 34",
        ["missing: 34–35.", "checksum"],
    ),
    "one too many": (
        "INSERT INTO entry SELECT group_id, 'x', 99, rec, kind, stamp, hash, body, aside FROM entry "
        "WHERE group_id = :group AND seq = 1",
        ["above the newest, 35: 99.", "checksum"],
    ),
    "a text changed": (
        "UPDATE entry SET body = replace(body, 'sting', 'clean') WHERE group_id = :group AND seq = 9",
        ["Changed since they were taken in: ", "checksum"],
    ),
    "a text changed, its hash with it": (
        "UPDATE entry SET hash = 'ab' WHERE group_id = :group AND seq = 9",
        ["Changed since they were taken in: "],
    ),
    "the checksum is another": (
        "UPDATE group_counter SET digest = '00000000000000000000000000000001' WHERE group_id = :group",
        ["checksum"],
    ),
    "a record stands otherwise": (
        "UPDATE record SET fields = '{}' WHERE group_id = :group AND kind = 'tree'",
        ["stand otherwise"],
    ),
    "a mark is gone": (
        "DELETE FROM mark WHERE rec = (SELECT min(rec) FROM mark WHERE group_id = :group)",
        ["stand otherwise"],
    ),
    "a mark too many": (
        "INSERT INTO mark SELECT group_id, 'x', visit, what, place, cover, bag, source, marks, device, deleted "
        "FROM mark WHERE rec = (SELECT min(rec) FROM mark WHERE group_id = :group)",
        ["stand otherwise"],
    ),
}


@pytest.mark.parametrize("name", DAMAGES)
def test_each_damage_is_found_and_named(either_server, hill, name: str):
    statement, expected = DAMAGES[name]
    damage(either_server, hill, statement)
    for _ in range(2):  # the check changes nothing, so it finds the same again
        found = wrong(either_server, hill)
        for part in expected:
            assert [sentence for sentence in found if part in sentence], (part, found)
    valley = either_server.services.connecting.group("Valley (invented)")
    assert wrong(either_server, valley) == [], "the neighbours are not touched"


def test_state_that_stood_otherwise_is_mended_by_folding_anew(either_server, hill):
    from server.services.season_report import SeasonReports

    damage(either_server, hill, DAMAGES["a record stands otherwise"][0])
    assert wrong(either_server, hill)
    SeasonReports(either_server.services.database, hill.id).rebuild()
    assert wrong(either_server, hill) == []


def test_many_ranges_and_names_are_cut_short():
    from server.services.check import MOST_NAMED, _named, _ranges

    assert len(_ranges(range(1, 1000, 2))) == MOST_NAMED
    assert _named(tuple(f"n{number}" for number in range(50))).endswith("n19 and 30 more")
