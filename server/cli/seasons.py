"""Commands that print what a group found out: a season, several years, what comes when."""

from enum import StrEnum
from typing import Annotated

import typer

from server.cli.surroundings import GroupName, open_here, reports_of
from server.services.looks import GroupLooks
from server.services.moments import now_utc
from server.services.timings import Timings
from server.web.season_page import season_file
from shared_models.look_text import looks_as_text
from shared_models.report_text import as_text
from shared_models.season.choice import Choice, Counted, Damage
from shared_models.seasons import Hemisphere
from shared_models.timing_text import timing_as_text
from shared_models.years_text import years_as_text


class Format(StrEnum):
    """How a season is printed."""

    TEXT = "text"
    JSON = "json"
    HTML = "html"
    CSV = "csv"


def season(
    group: GroupName,
    key: Annotated[str, typer.Argument(help="2026, or 2026/27 in the south.")],
    format: Annotated[Format, typer.Option(help="How to print it.")] = Format.TEXT,
    table: Annotated[
        str, typer.Option(help="Which table as CSV: mixes, trees, contrasts, costs, traps.")
    ] = "mixes",
    garden: Annotated[str | None, typer.Option(help="One garden, by its id.")] = None,
    cultivar: Annotated[str | None, typer.Option(help="One cultivar.")] = None,
    damage: Annotated[Damage, typer.Option(help="Sting or deep entry, or deep entry alone.")] = Damage.ANY,
    fruit: Annotated[Counted, typer.Option(help="All fruit where known, or picked alone.")] = Counted.BEST,
) -> None:
    """Print the season report of a group, or of a part of its season."""
    choice = Choice(garden, cultivar, damage, fruit)
    with reports_of(group) as reports:
        if format is Format.CSV:
            print(reports.table(key, table, choice), end="")
            return
        report = reports.report(key, choice)
    if format is Format.TEXT:
        print(as_text(report), end="")
    elif format is Format.JSON:
        print(report.model_dump_json(indent=2))
    else:
        print(season_file(report, now_utc()))


def years(
    group: GroupName,
    half: Annotated[Hemisphere | None, typer.Option(help="Which half of the earth.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="For programs.")] = False,
) -> None:
    """Print seasons side by side and together, what each tree gave for its work, traps of two seasons."""
    with reports_of(group) as reports:
        report = reports.years(half)
    print(report.model_dump_json(indent=2) if as_json else years_as_text(report), end="\n" if as_json else "")


def timing(
    group: GroupName,
    key: Annotated[str, typer.Argument(help="2026, or 2026/27 in the south.")],
    day: Annotated[str | None, typer.Option(help="As known on this day, 2026-05-31; today in UTC.")] = None,
    json: Annotated[bool, typer.Option("--json", help="The same for programs.")] = False,
) -> None:
    """Print degree-days, biofix and what comes next in each garden of a season."""
    with open_here() as services:
        found = Timings(services.database, services.connecting.group(group).id).timing(key, day)
    print(found.model_dump_json(indent=2) if json else timing_as_text(found), end="\n" if json else "")


def looks(
    group: GroupName, json: Annotated[bool, typer.Option("--json", help="The same for programs.")] = False
) -> None:
    """Print what people of the group set, or counted, without knowing of each other; a phone decides it."""
    with open_here() as services:
        told = GroupLooks(services.database, services.connecting.group(group).id).told()
    print(told.model_dump_json(indent=2) if json else looks_as_text(told), end="\n" if json else "")
