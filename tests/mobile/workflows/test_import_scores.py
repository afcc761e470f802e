"""Importing scores on the phone: checked first, then recorded whole, and the same on two phones that meet later."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.import_scores import ScoreImport
from shared_models.errors import BadInputError
from shared_models.records.gardens import Tree
from shared_models.records.tallies import NumberAtOnce
from shared_models.reports import season_report
from shared_models.score_table.ground import Asked
from tests.mobile.workflows.exchanges import hears

TABLE = b"tree,methods,scored,damaged,date\n7,untreated,20,6,2026-09-10\n7,untreated,10,3,2026-09-10\nnew,netting,30,1,2026-09-10\n"


def rates(store: PhoneStore) -> dict[str, list[tuple[float, float]]]:
    """Damaged and scored of each tree by mix."""
    report = season_report(store.season("2026"))
    return {line.mix.key: [(tree.damaged, tree.scored) for tree in line.trees] for line in report.mixes}


def test_a_table_is_shown_and_then_recorded(phone: PhoneStore, tree: str) -> None:
    chosen = ScoreImport(phone, TABLE)
    assert "tree 7, season 2026, left untreated: 9 of 30 damaged (line 2–3)" in chosen.preview()
    assert rates(phone) == {}
    assert chosen.record() == 11
    assert rates(phone) == {"untreated": [(9, 30)], "netting": [(1, 30)]}
    assert tree in {one.rec for one in phone.all(Tree)} and len(phone.all(Tree)) == 13


def test_importing_twice_records_nothing(phone: PhoneStore, tree: str) -> None:
    ScoreImport(phone, TABLE).record()
    waiting = phone.sharing().waiting
    assert ScoreImport(phone, TABLE).record() == 0
    assert phone.sharing().waiting == waiting


def test_a_bad_line_keeps_everything_from_being_recorded(phone: PhoneStore, tree: str) -> None:
    chosen = ScoreImport(phone, TABLE + b"8,netting,3,4,2026-09-10\n")
    assert "Line 5, damaged: 4 damaged are more than 3 scored." in chosen.preview()
    with pytest.raises(BadInputError):
        chosen.record()
    assert phone.all(NumberAtOnce) == []


def test_a_corrected_table_changes_one_number(phone: PhoneStore, tree: str) -> None:
    ScoreImport(phone, TABLE).record()
    assert ScoreImport(phone, TABLE.replace(b"new,netting,30,1", b"new,netting,31,1")).record() == 1
    assert rates(phone)["netting"] == [(1, 31)]


def test_two_phones_that_import_the_same_table_apart_agree_when_they_meet(
    phone: PhoneStore, neighbour: PhoneStore
) -> None:
    """Gardens, trees and scores become the same records; no entry of one is set aside by the other."""
    asked = Asked(garden="Hill", season="2026")
    for store in (phone, neighbour):
        ScoreImport(store, TABLE, asked).record()
    entries = len(phone.history(limit=1000))
    hears(phone, neighbour)
    assert len(phone.history(limit=1000)) == entries + len(neighbour.history(limit=1000))
    assert rates(phone) == rates(neighbour) == {"untreated": [(9, 30)], "netting": [(1, 30)]}
    assert len(phone.all(Tree)) == 2
    assert ScoreImport(phone, TABLE, asked).record() == 0
