"""Lets phones live through the invented seasons, month by month, and tells how it goes. Checks nothing."""

from __future__ import annotations

import time
from collections.abc import Sequence
from itertools import groupby
from pathlib import Path

from demo.doings import Doing, SaySameTree
from demo.lived_phone import LivedPhone
from demo.noted import Lived, RowStage
from demo.place import GARDENS, HELPER, PHONES
from demo.recording import Recording
from demo.season import InventedSeasons
from demo.serving import GroupServer
from demo.telling import heading, tell
from mobile.sync.engine import ExchangeOutcome
from shared_models.language import say, say_many
from shared_models.reports import season_report


def connected_phones(seasons: InventedSeasons, folder: Path, server: GroupServer) -> dict[str, LivedPhone]:
    """Each phone as it begins, on the first day that it is used, and connected by a one-time code."""
    heading(say("The group"))
    tell(
        say(
            "Server: {address}, its data in one SQLite file. Group: {group}.",
            address=server.address,
            group=server.group,
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


def live(seasons: InventedSeasons, phones: dict[str, LivedPhone]) -> Lived:
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
