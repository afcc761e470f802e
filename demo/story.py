"""The story of the invented seasons, from the first phone to the page in a browser: starts everything, tells, checks.

Called by `run.py`. Returns 0 where every check holds.
"""

from __future__ import annotations

import argparse
import signal
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from demo import phone_window, telling
from demo.calendar_of_work import NO_SIGNAL_UNTIL
from demo.checks import KEYS, Check, all_checks
from demo.comparison import beside_the_truth
from demo.environment import ROOT
from demo.lived_phone import LivedPhone
from demo.living import connected_phones, live
from demo.noted import Lived
from demo.season import InventedSeasons, invent
from demo.serving import GroupServer, ServerTrouble, running_server
from demo.telling import heading, tell
from shared_models.errors import PomewardError
from shared_models.language import say
from shared_models.reports import season_report

GROUP = "Three gardens (invented)"
SHOWN = "ansa"  # whose phone is shown in the window
PICTURES = Path(ROOT) / "demo" / "out"


@dataclass(frozen=True, slots=True)
class Asked:
    """What the command line asks for."""

    seed: int
    once: bool
    keep: Path | None


def main(arguments: Sequence[str]) -> int:
    """Tell the story; with a terminal stay up until Ctrl-C, else (or with --once) end when it is told."""
    asked = _read(arguments)
    _end_tidily_when_told_to()
    try:
        with _folder(asked.keep) as folder:
            _introduce(asked)
            with running_server(folder / "server", GROUP) as server:
                return _tell_everything(asked, folder, server)
    except (ServerTrouble, PomewardError) as trouble:
        print(trouble, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return 130


def _tell_everything(asked: Asked, folder: Path, server: GroupServer) -> int:
    seasons = invent(asked.seed)
    phones = connected_phones(seasons, folder, server)
    lived = live(seasons, phones)
    _tell_seasons(seasons, phones["ansa"])
    _tell_what_went_crosswise(phones["ansa"], lived)
    checks = _check(seasons, phones, server, lived)
    for phone in phones.values():
        phone.store.close()
    window = phone_window.copy_of_phone(folder / "phones" / f"{SHOWN}.sqlite", folder / "window")
    _draw_the_window(window, asked.keep / "pictures" if asked.keep else PICTURES)
    if not asked.once:
        with phone_window.opened(window) as is_open:
            if is_open:
                tell(say("The phone's window is open too, on the morning after the last exchange."))
            stay_up(server)
    return 0 if all(one.holds for one in checks) else 1


# ---------------------------------------------------------------- beginning
def _read(arguments: Sequence[str]) -> Asked:
    parser = argparse.ArgumentParser(
        prog="demo/run.py",
        description="A season of three invented gardens, told by real phones and a real server.",
    )
    parser.add_argument(
        "--seed", type=int, default=1, help="which invented season (1 is the one that is shipped)"
    )
    parser.add_argument("--once", action="store_true", help="end when the story is told, terminal or not")
    parser.add_argument(
        "--keep", type=Path, metavar="DIR", help="keep the files of phones and server in a new folder"
    )
    told = parser.parse_args(list(arguments))
    if told.keep and told.keep.exists() and any(told.keep.iterdir()):
        parser.error(f"{told.keep} is not empty; name a folder that is not there yet.")
    return Asked(told.seed, told.once or not sys.stdout.isatty() or not sys.stdin.isatty(), told.keep)


@contextmanager
def _folder(keep: Path | None) -> Iterator[Path]:
    """Where the files go: the folder that was named, else one that is gone afterwards."""
    if keep:
        keep.mkdir(parents=True, exist_ok=True)
        yield keep
        return
    with tempfile.TemporaryDirectory(prefix="pomeward-demo-", ignore_cleanup_errors=True) as made:
        yield Path(made)


def _end_tidily_when_told_to() -> None:
    """Where a terminal is closed or the program told to end, the server's process ends with it."""
    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), lambda number, _frame: sys.exit(128 + number))


def _introduce(asked: Asked) -> None:
    tell(say("Pomeward: seasons of three gardens, lived through by real phones and a real server."))
    tell(
        say(
            "Everything is invented (seed {seed}): place, people, cultivars, and the true damage rates, which were "
            "fixed before a tree was drawn. So you can see how near the report comes to the truth.",
            seed=asked.seed,
        )
    )


# ---------------------------------------------------------------- telling
def _tell_seasons(seasons: InventedSeasons, phone: LivedPhone) -> None:
    for key in KEYS:
        report = season_report(phone.store.season(key))
        telling.season_table(report, beside_the_truth(seasons, report))
        telling.read_with_it(report)


def _tell_what_went_crosswise(phone: LivedPhone, lived: Lived) -> None:
    report = season_report(phone.store.season("2026"))
    heading(say("What went crosswise, and how it was kept"))
    tell(say("One trap counted by two phones on one day; one count is used, both are shown:"))
    telling.double_count(report.traps)
    tell(
        say(
            "One row added by two phones that did not know of each other (one had no signal until {day}):",
            day=NO_SIGNAL_UNTIL.isoformat(),
        )
    )
    telling.row_stages(lived.row)
    tell(
        say(
            "Undone: slips while scoring, one and two in a row, and a job on the wrong trees, undone by two phones."
        )
    )
    tell(
        say(
            "Corrected in October by somebody else, by a difference and with a reason: six clean fruit too many."
        )
    )
    tell(say("In no comparison:"))
    for key in KEYS:
        telling.not_compared(season_report(phone.store.season(key)))


def _check(
    seasons: InventedSeasons, phones: dict[str, LivedPhone], server: GroupServer, lived: Lived
) -> list[Check]:
    heading(say("Checked"))
    made = []
    for one in all_checks(seasons, phones, server, lived):
        telling.check(one)
        made.append(one)
    failed = sum(not one.holds for one in made)
    tell(
        say("All {count} checks hold.", count=len(made))
        if not failed
        else say("{failed} of {count} checks do not hold.", failed=failed, count=len(made))
    )
    return made


# ---------------------------------------------------------------- the window, and staying
def _draw_the_window(data: Path, folder: Path) -> None:
    """Pictures of the phone's main screens; a machine that cannot draw them still has everything else."""
    heading(say("The phone's window"))
    pictures = phone_window.draw(data, folder)
    if not pictures:
        tell(say("It could not be drawn on this machine: that takes Kivy and OpenGL."))
        return
    names = ", ".join(picture.name for picture in pictures)
    tell(say("Drawn off screen into {folder}: {names}.", folder=_from_here(folder), names=names))


def _from_here(folder: Path) -> Path:
    return folder.relative_to(Path.cwd()) if folder.is_relative_to(Path.cwd()) else folder


def stay_up(server: GroupServer) -> None:
    """Serve the pages to a browser until Ctrl-C; each Enter gives a fresh one-time address."""
    heading(say("Look for yourself"))
    tell(
        say(
            "Open this address in a browser; it is good once and for ten minutes. Enter makes a new one, Ctrl-C ends."
        )
    )
    with suppress(KeyboardInterrupt, EOFError):
        while True:
            print(f"\n  {server.address_for_browser()}", flush=True)
            input()
    print()
