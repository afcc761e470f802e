"""What the demo claims and checks: the same report everywhere, the generator's own totals, nothing refused or doubled.

Each check is a sentence with its figures, and whether it holds. Whether a range holds a true rate is no check:
of ranges of 95 % one in twenty may miss.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from demo.comparison import totals
from demo.lived_phone import LivedPhone
from demo.noted import Lived, RowStage
from demo.place import GARDENS
from demo.season import InventedSeasons
from demo.serving import GroupServer
from shared_models.language import say
from shared_models.report_text import as_text
from shared_models.reports import season_report
from shared_models.season.report_parts import SeasonReport

KEYS = sorted({garden.season for garden in GARDENS.values()})


@dataclass(frozen=True, slots=True)
class Check:
    """One claim with its figures."""

    sentence: str
    holds: bool
    details: tuple[str, ...] = ()


def all_checks(
    seasons: InventedSeasons, phones: Mapping[str, LivedPhone], server: GroupServer, lived: Lived
) -> Iterator[Check]:
    """Every check, as it is made."""
    reports = {
        key: {name: season_report(one.store.season(key)) for name, one in phones.items()} for key in KEYS
    }
    yield _nothing_left_behind(phones, lived)
    for key in KEYS:
        yield _same_json(key, reports[key], phones, server)
        yield _same_text(key, reports[key], server)
        yield _own_totals(seasons, next(iter(reports[key].values())))
    yield _row_was_shown_and_merged(lived.row)
    yield _double_count_not_added(reports["2026"]["ansa"])
    yield _pages_are_served(server)


def _nothing_left_behind(phones: Mapping[str, LivedPhone], lived: Lived) -> Check:
    outcomes = [outcome for _, outcome in lived.exchanges]
    bad = sum(one.refused + one.held_back + one.later for one in outcomes)
    waiting = sum(one.store.sharing().waiting for one in phones.values())
    sentence = say(
        "{exchanges} exchanges over HTTP: {pushed} entries sent, {bad} of them refused or held back, {waiting} waiting.",
        exchanges=len(outcomes),
        pushed=sum(one.pushed for one in outcomes),
        bad=bad,
        waiting=waiting,
    )
    return Check(sentence, not bad and not waiting)


def _same_json(
    key: str, reports: Mapping[str, SeasonReport], phones: Mapping[str, LivedPhone], server: GroupServer
) -> Check:
    member = phones["ansa"].store.membership.current()
    told = server.report_as_json(key, member.token if member else "")
    printed = {name: report.model_dump_json() for name, report in reports.items()}
    sentence = say(
        "Season {key}: server and {phones} phones give the same report as JSON, {size} bytes.",
        key=key,
        phones=len(printed),
        size=len(told.encode()),
    )
    return Check(sentence, *_all_like(told, printed))


def _same_text(key: str, reports: Mapping[str, SeasonReport], server: GroupServer) -> Check:
    told = server.report_as_text(key)
    printed = {name: as_text(report) for name, report in reports.items()}
    sentence = say(
        "Season {key}: server and {phones} phones print the same report as text, {lines} lines.",
        key=key,
        phones=len(printed),
        lines=len(told.splitlines()),
    )
    return Check(sentence, *_all_like(told, printed))


def _all_like(told: str, printed: Mapping[str, str]) -> tuple[bool, tuple[str, ...]]:
    differing = tuple(
        say("The phone of {name} gives another one.", name=name)
        for name, one in printed.items()
        if one != told
    )
    return not differing, differing


def _own_totals(seasons: InventedSeasons, report: SeasonReport) -> Check:
    compared = totals(seasons, report)
    fruit = sum(n for n in report.scored.model_dump().values())
    sentence = say(
        "Season {key}: {count} totals are those of the generator's own count ({fruit} fruit, {bags} bags, {moths} moths).",
        key=report.season,
        count=len(compared),
        fruit=f"{fruit:g}",
        bags=f"{report.bags_put_on:g}",
        moths=sum(trap.caught_in_all for trap in report.traps),
    )
    differing = tuple(
        say(
            "{what}: reported {reported}, counted {counted}.",
            what=one.what,
            reported=one.reported,
            counted=one.counted,
        )
        for one in compared
        if not one.agrees
    )
    return Check(sentence, not differing, differing)


def _row_was_shown_and_merged(stages: Sequence[RowStage]) -> Check:
    clashes = [stage.clashes for stage in stages]
    sentence = say(
        "The row that two phones added: {clashes} double labels shown, then none; nothing was refused.",
        clashes=", ".join(map(str, clashes[:-1])),
    )
    return Check(sentence, clashes == [12, 11, 0] and [stage.merged for stage in stages] == [0, 1, 12])


def _double_count_not_added(report: SeasonReport) -> Check:
    doubles = [
        (visit.raw, visit.catch)
        for trap in report.traps
        for visit in trap.visits
        if visit.double_of is not None
    ]
    sentence = say("A trap counted by two phones: {count} count shown and not added.", count=len(doubles))
    return Check(sentence, len(doubles) == 1 and doubles[0][1] == 0)


def _pages_are_served(server: GroupServer) -> Check:
    pages = {key: server.page(key) for key in KEYS}
    sentence = say(
        "A browser connects by a one-time address and reads {count} season pages, marked as invented.",
        count=len(pages),
    )
    held = all("(invented)" in page and f"{key}" in page for key, page in pages.items())
    return Check(sentence, held)
