"""The story of the invented seasons, from the first phone to the page in a browser: starts everything, tells, checks.

Called by `run.py`. Returns 0 where every check holds.
"""

from __future__ import annotations

import argparse
import signal
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from demo import telling
from demo.calendar_of_work import NO_SIGNAL_UNTIL
from demo.checks import KEYS, Check, Lived, RowStage, all_checks
from demo.comparison import beside_the_truth
from demo.doings import Doing, SaySameTree
from demo.lived_phone import LivedPhone
from demo.place import GARDENS, HELPER, PHONES
from demo.recording import Recording
from demo.season import InventedSeasons, invent
from demo.serving import GroupServer, running_server
from demo.telling import heading, tell
from mobile.sync.engine import ExchangeOutcome
from shared_models.language import say, say_many
from shared_models.reports import season_report

GROUP = "Three gardens (invented)"


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
    with _folder(asked.keep) as folder, suppress(KeyboardInterrupt):
        _introduce(asked)
        with running_server(folder / "server", GROUP) as server:
            return _tell_everything(asked, folder, server)
    return 130


def _tell_everything(asked: Asked, folder: Path, server: GroupServer) -> int:
    seasons = invent(asked.seed)
    phones = _phones(seasons, folder, server)
    lived = _live(seasons, phones)
    _tell_seasons(seasons, phones["ansa"])
    _tell_what_went_crosswise(phones["ansa"], lived)
    checks = _check(seasons, phones, server, lived)
    for phone in phones.values():
        phone.store.close()
    if not asked.once:
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


def _phones(seasons: InventedSeasons, folder: Path, server: GroupServer) -> dict[str, LivedPhone]:
    """Each phone as it begins, on the first day that it is used, and connected by a one-time code."""
    heading(say("The group"))
    tell(
        say(
            "Server: {address}, its data in one SQLite file. Group: {group}.",
            address=server.address,
            group=GROUP,
        )
    )
    phones = {}
    for name in PHONES:
        first = next(doing.moment for doing in seasons.doings if doing.phone == name)
        phones[name] = LivedPhone(name, folder / "phones" / f"{name}.sqlite", first)
        phones[name].connect(server.address, server.code())
    people = ", ".join(phone.person for phone in PHONES.values())
    tell(say("Phones, each connected by a one-time code: {people}.", people=people))
    tell(say("{helper} helps without a phone of their own.", helper=HELPER))
    for garden in GARDENS.values():
        trees = sum(GARDENS[tree.garden] is garden for tree in seasons.trees)
        tell(say("{garden}: {trees} trees, season {season}, {zone}.", garden=garden.name, trees=trees, season=garden.season, zone=garden.zone), "  ")  # fmt: skip
    return phones


# ---------------------------------------------------------------- living
def _live(seasons: InventedSeasons, phones: dict[str, LivedPhone]) -> Lived:
    """Act everything out, month by month."""
    heading(say("Living through it, offline but for the exchanges"))
    lived, began = Lived(), time.monotonic()
    recording = Recording(phones, lambda phone: lived.exchanges.append((phone.name, phone.share())))
    for month, of_month in groupby(seasons.doings, key=lambda doing: f"{doing.moment:%Y-%m}"):
        done, shared = list(of_month), len(lived.exchanges)
        for doing in done:
            _watch_the_row(doing, phones["coro"], lived)
            recording.do(doing)
        tell(_month_in_words(month, done, lived.exchanges[shared:]), "  ")
    lived.row.append(_row_stage(say("after the other eleven pairs"), phones["coro"]))
    tell(say("{count} doings in {seconds} seconds.", count=len(seasons.doings), seconds=f"{time.monotonic() - began:.0f}"))  # fmt: skip
    tell()
    tell(say("What the phone said when the first spray was recorded:"))
    for caution in recording.cautions:
        tell(caution, "  ")
    return lived


def _month_in_words(
    month: str, done: Sequence[Doing], exchanges: Sequence[tuple[str, ExchangeOutcome]]
) -> str:
    shared = ", ".join(
        say("{who} {sent}/{fetched}", who=name, sent=one.pushed, fetched=one.pulled)
        for name, one in exchanges
    )
    work = say_many("{count} doing", "{count} doings", len(done) - len(exchanges))
    return f"{month}  {work}" + (say("; shared (sent/fetched): {shared}", shared=shared) if shared else "")


def _watch_the_row(doing: Doing, phone: LivedPhone, lived: Lived) -> None:
    """Look at the doubled row before the first and before the second pair is said to be one tree."""
    if isinstance(doing, SaySameTree) and len(lived.row) < 2:
        when = (say("when both phones had shared"), say("after one pair was said to be one tree"))[
            len(lived.row)
        ]
        lived.row.append(_row_stage(when, phone))


def _row_stage(when: str, phone: LivedPhone) -> RowStage:
    report = season_report(phone.store.season("2026"))
    row = [line for line in report.trees if line.label.startswith("K")]
    compared = sum(line.status == "compared" for line in row)
    return RowStage(when, len(row), len(report.label_clashes), len(report.merged), compared)


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


# ---------------------------------------------------------------- staying
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
