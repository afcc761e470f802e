"""Importing scores through the server: on both databases, beside what phones record, and as a command."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from demo.field_trials.tables import table_of
from server.app import open_services
from server.cli.command import main
from server.database import members
from server.database.records import GroupRecords
from server.dependencies import Services
from server.services.exchange import Exchange
from server.services.imports import ScoreImports
from server.services.season_report import SeasonReports
from server.settings import Settings
from shared_models.entries import Entry, canonical_text
from shared_models.errors import BadInputError
from shared_models.identifiers import new_id
from shared_models.protocol import MAX_PULL_ENTRIES, PushReply, PushState
from shared_models.records.gardens import Person
from shared_models.records.tallies import NumberAtOnce
from shared_models.score_table.ground import Asked
from shared_models.score_table.reading import read_score_table
from shared_models.vocabulary import Role
from tests.builders import FieldPhone

HEAD = "tree,methods,scored,damaged,date"
TABLE = f"{HEAD}\n1,untreated,20,6,2026-09-10\n2,netting,30,1,2026-09-10\n"
ASKED = Asked(garden="Hill", season="2026")


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.needs_postgres)])
def services(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Services]:
    """A server's services on either database."""
    url = "" if request.param == "sqlite" else request.getfixturevalue("postgres").new_database()
    opened = open_services(Settings(data=tmp_path, database_url=url))
    yield opened
    opened.database.close()


@pytest.fixture
def group(services: Services) -> str:
    """The id of an empty group."""
    return services.connecting.make_group("Slope").id


@pytest.fixture
def imports(services: Services, group: str) -> ScoreImports:
    """Imports into it."""
    return ScoreImports(services.database, group)


def a_phone(group: str) -> members.Device:
    """A keeper's phone."""
    return members.Device(
        group, new_id(), Role.KEEPER, new_id(), "phone", new_id(), "Ada", "2026-01-01T00:00:00.000Z"
    )


def push_as_a_phone(services: Services, group: str, texts: list[str]) -> PushReply:
    """Push as a keeper's phone does."""
    door = Exchange(services.database, a_phone(group))
    return door.push(texts, door.epoch())


def rates(services: Services, group: str) -> dict[str, list[tuple[float, float]]]:
    """Damaged and scored of each tree by mix."""
    report = SeasonReports(services.database, group).report("2026")
    return {line.mix.key: [(tree.damaged, tree.scored) for tree in line.trees] for line in report.mixes}


def test_a_table_becomes_entries_that_phones_pull(services, group, imports):
    imports.write(read_score_table(TABLE), ASKED)
    pulled = Exchange(services.database, a_phone(group)).pull(0, MAX_PULL_ENTRIES)
    assert [item.seq for item in pulled.items] == list(range(1, pulled.max + 1))
    assert pulled.items[0].entry["kind"] == "person"
    assert len({item.entry["device"] for item in pulled.items}) == 1
    assert rates(services, group) == {"untreated": [(6, 20)], "netting": [(1, 30)]}


def test_looking_writes_nothing(services, group, imports):
    plan = imports.understood(read_score_table(TABLE), ASKED)
    assert plan.changes
    assert Exchange(services.database, a_phone(group)).pull(0, 10).max == 0


def test_importing_twice_adds_no_entry(services, group, imports):
    imports.write(read_score_table(TABLE), ASKED)
    before = Exchange(services.database, a_phone(group)).pull(0, 1).max
    imports.write(read_score_table(TABLE), ASKED)
    assert Exchange(services.database, a_phone(group)).pull(0, 1).max == before


def test_a_correction_names_what_it_replaced_and_wins_over_a_fast_phone(services, group, imports):
    """A phone whose clock runs two years ahead corrects a number; the table imported after that is seen to win."""
    imports.write(read_score_table(TABLE), ASKED)
    with services.database.writing() as connection:
        records = GroupRecords(connection, group)
        number = next(one for one in records.all(NumberAtOnce) if one.n == 1)
        folded = records.folded(number.rec)
    fast = FieldPhone()
    fast.wall = fast.wall.replace(year=2040)
    edit = fast.makes("number", {"n": 5}).model_copy(update={"rec": number.rec})
    reply = push_as_a_phone(services, group, [canonical_text(edit)])
    assert reply.results[0].state is PushState.SHARED and folded is not None
    assert rates(services, group)["netting"] == [(5, 34)]
    imports.write(read_score_table(TABLE), ASKED)
    assert rates(services, group)["netting"] == [(1, 30)]
    newest = Exchange(services.database, a_phone(group)).pull(0, MAX_PULL_ENTRIES).items[-1]
    assert newest.entry["prev"] == {"n": edit.id}


def test_more_entries_than_one_push_takes_are_imported(services, group, imports):
    plan = imports.write(read_score_table(table_of("carrots-by-genotype")), ASKED)
    assert len(plan.changes) > 500
    assert imports.understood(read_score_table(table_of("carrots-by-genotype")), ASKED).changes == []


def test_bad_lines_keep_everything_from_being_written(services, group, imports):
    with pytest.raises(BadInputError, match="1 line of the table is bad; nothing was written"):
        imports.write(read_score_table(f"{TABLE}3,netting,3,4,2026-09-10\n"), ASKED)
    assert Exchange(services.database, a_phone(group)).pull(0, 1).max == 0


def test_an_import_stays_in_its_group(services, group, imports):
    other = services.connecting.make_group("Valley").id
    imports.write(read_score_table(TABLE), ASKED)
    assert rates(services, other) == {}
    ScoreImports(services.database, other).write(read_score_table(TABLE.replace("20,6", "21,6")), ASKED)
    assert rates(services, other)["untreated"] == [(6, 21)]
    assert rates(services, group)["untreated"] == [(6, 20)]


def test_trees_that_phones_recorded_are_used(services, group, imports):
    phone = FieldPhone()
    garden = phone.garden("Hill")
    tree = phone.tree(garden, "1")
    push_as_a_phone(services, group, [canonical_text(one) for one in (garden, tree)])
    imports.write(read_score_table(TABLE), ASKED)
    report = SeasonReports(services.database, group).report("2026")
    assert {line.label: line.tree for line in report.trees}["1"] == tree.rec
    assert report.label_clashes == []


def test_the_import_names_itself_as_author_once(services, group, imports):
    imports.write(read_score_table(TABLE), ASKED)
    imports.write(read_score_table(TABLE.replace("30,1", "31,1")), ASKED)
    with services.database.writing() as connection:
        people = GroupRecords(connection, group).all(Person)
    assert [person.name for person in people] == ["import"]
    items = Exchange(services.database, a_phone(group)).pull(0, MAX_PULL_ENTRIES).items
    assert {Entry.model_validate(item.entry).by for item in items} == {people[0].rec}


# ---------------------------------------------------------------- the command
@pytest.fixture
def pomeward(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Callable:
    """Runs the command as from a terminal, in a folder of its own: exit code, output, errors."""
    monkeypatch.setenv("POMEWARD_DATA", str(tmp_path / "data"))
    monkeypatch.chdir(tmp_path)

    def run(*arguments: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["pomeward", *arguments])
        code = 0
        try:
            main()
        except SystemExit as ended:
            code = int(ended.code or 0)
        said = capsys.readouterr()
        return code, said.out, said.err

    assert run("group", "Slope")[0] == 0
    return run


def test_the_command_shows_then_writes_then_has_nothing_to_write(pomeward, tmp_path):
    (tmp_path / "scores.csv").write_text(TABLE, encoding="utf-8")
    asked = ("import-scores", "Slope", "scores.csv", "--garden", "Hill", "--season", "2026")
    code, shown, _ = pomeward(*asked, "--dry-run")
    assert code == 0
    assert "Hill, tree 1, season 2026, left untreated: 6 of 20 damaged (line 2)" in shown
    assert shown.endswith("Nothing was written: this was a trial.\n")
    assert "To write:" in pomeward(*asked, "--dry-run")[1]
    code, shown, _ = pomeward(*asked)
    assert code == 0 and shown.endswith("The table is recorded.\n")
    assert "there is nothing to write" in pomeward(*asked)[1]
    season = json.loads(pomeward("season", "Slope", "2026", "--format", "json")[1])
    assert {line["mix"]["key"]: line["picked"]["damaged"] for line in season["mixes"]} == {
        "untreated": 6,
        "netting": 1,
    }


def test_the_command_names_bad_lines_and_writes_nothing(pomeward, tmp_path):
    (tmp_path / "scores.csv").write_text(f"{TABLE}3,netting,3,4,2026-09-10\n", encoding="utf-8")
    for more in ((), ("--dry-run",)):
        code, shown, complaint = pomeward(
            "import-scores", "Slope", "scores.csv", "--garden", "Hill", *more, "--season", "2026"
        )
        assert code == 1
        assert "Line 4, damaged: 4 damaged are more than 3 scored." in shown
        assert "nothing was written" in complaint
    assert json.loads(pomeward("season", "Slope", "2026", "--format", "json")[1])["trees"] == []


@pytest.mark.parametrize(
    ("arguments", "complaint"),
    [
        (("Slope", "scores.csv", "--garden", "Hill", "--season", "2026/28"), "“2026/28” names no season"),
        (("Slope", "scores.csv"), "names no garden"),
        (("Nobody", "scores.csv", "--garden", "Hill"), "There is no group “Nobody”"),
        (("Slope", "huge.csv", "--garden", "Hill"), "more than 4 MB"),
        (("Slope", "picture.csv", "--garden", "Hill"), "no UTF-8 text"),
    ],
)
def test_the_command_says_in_one_sentence_what_it_cannot_do(pomeward, tmp_path, arguments, complaint):
    (tmp_path / "scores.csv").write_text(TABLE, encoding="utf-8")
    (tmp_path / "huge.csv").write_bytes(b"x" * 5_000_000)
    (tmp_path / "picture.csv").write_bytes(b"\x89PNG\r\n\x1a\n")
    code, _, said = pomeward("import-scores", *arguments)
    assert code == 1
    assert complaint in said and said.count("\n") == 1
