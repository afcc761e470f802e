"""The phone as a command on a computer."""

import json
from pathlib import Path

import pytest

from mobile.__main__ import main
from mobile.settings import settings_for
from mobile.storage.phone_store import PhoneStore
from tests.mobile.phones import mark, picking_visit


class Terminal:
    """Runs the command on one folder and keeps what it said."""

    def __init__(self, folder: Path, printed: pytest.CaptureFixture[str]) -> None:
        self.folder = folder
        self._printed = printed

    def run(self, *arguments: str) -> tuple[int, str, str]:
        """Exit code, what it said, what it complained about."""
        code = main(["--data", str(self.folder), *arguments])
        said = self._printed.readouterr()
        return code, said.out, said.err


@pytest.fixture
def terminal(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Terminal:
    """A terminal without a display, on a folder that is not there yet."""
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER"):
        monkeypatch.delenv(name, raising=False)
    return Terminal(tmp_path / "data", capsys)


def with_a_season(terminal: Terminal) -> None:
    """A phone that has been set up and used."""
    terminal.run("begin", "Ida", "--zone", "Europe/Rome")
    store = PhoneStore(settings_for(terminal.folder).file)
    visit = picking_visit(store)
    mark(store, visit)
    store.close()


def test_an_empty_phone_says_how_to_begin(terminal: Terminal) -> None:
    code, said, _ = terminal.run()
    assert code == 0 and "begin with" in said


def test_a_phone_in_use_says_what_is_on_it(terminal: Terminal) -> None:
    with_a_season(terminal)
    code, said, complaint = terminal.run()
    assert (code, complaint) == (0, "")
    assert "1 garden, 1 tree" in said and "5 records on this phone only" in said
    assert "Seasons: 2026" in said and "needs Kivy and a display" in said


def test_the_season_is_told_as_text_and_for_programs(terminal: Terminal) -> None:
    with_a_season(terminal)
    assert terminal.run("season", "2026")[1].startswith("Season 2026\n")
    assert json.loads(terminal.run("season", "2026", "--json")[1])["season"] == "2026"


def test_years_are_told_as_text_and_for_programs(terminal: Terminal) -> None:
    with_a_season(terminal)
    assert terminal.run("years")[1].startswith("Seasons 2026\n")
    assert json.loads(terminal.run("years", "--json")[1])["seasons"] == ["2026"]


def test_timing_is_told_as_text_and_for_programs(terminal: Terminal) -> None:
    with_a_season(terminal)
    text = terminal.run("timing", "2026", "--day", "2026-06-01")[1]
    assert text.startswith("Timing of the season 2026, as known on 2026-06-01\n")
    assert (
        json.loads(terminal.run("timing", "2026", "--day", "2026-06-01", "--json")[1])["day"] == "2026-06-01"
    )


def test_history_is_told_newest_first(terminal: Terminal) -> None:
    with_a_season(terminal)
    lines = terminal.run("history")[1].splitlines()
    assert [line.split()[1] for line in lines] == ["mark", "visit", "tree", "garden", "person"]
    assert len(terminal.run("history", "--limit", "2")[1].splitlines()) == 2


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["season", "last"], "names no season"),
        (["timing", "last"], "names no season"),
        (["share"], "not connected to a group"),
        (["connect", "http://orchard.example", "ABCDEFGHJKLMN"], "not encrypted"),
        (["begin", "Ida", "--zone", "Middle/Earth"], "no time zone"),
        (["history", "--limit", "0"], "at least one"),
    ],
)
def test_what_cannot_be_done_is_said_in_a_sentence(
    terminal: Terminal, arguments: list[str], sentence: str
) -> None:
    with_a_season(terminal)
    code, said, complaint = terminal.run(*arguments)
    assert (code, said) == (1, "") and sentence in complaint


def test_a_folder_that_cannot_be_made_is_told_in_a_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("in the way")
    assert main(["--data", str(tmp_path / "file" / "data")]) == 1
    assert "cannot be made" in capsys.readouterr().err
