"""Commands that take a table from elsewhere: picking scores, daily temperatures."""

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from server.cli.surroundings import GroupName, open_here
from server.services.imports import ScoreImports
from server.services.temperature_imports import TemperatureImports
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.score_table.ground import Asked
from shared_models.score_table.preview import preview
from shared_models.score_table.reading import MOST_BYTES, read_score_file
from shared_models.seasons import Hemisphere
from shared_models.temperature_table.preview import temperature_preview
from shared_models.temperature_table.reading import read_temperature_file
from shared_models.temperature_table.rows import MOST_BYTES as MOST_TEMPERATURE_BYTES
from shared_models.temperature_table.rows import AskedOfTable, Column, Habit, Unit


def import_scores(
    group: GroupName,
    table: Annotated[
        Path, typer.Argument(metavar="FILE", exists=True, dir_okay=False, help="The table, CSV.")
    ],
    season: Annotated[str | None, typer.Option(help="The season of lines that name none.")] = None,
    garden: Annotated[str | None, typer.Option(help="The garden of lines that name none.")] = None,
    hemisphere: Annotated[Hemisphere | None, typer.Option(help="Where a new garden lies.")] = None,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Show what was understood, write nothing.")
    ] = False,
) -> None:
    """Import picking scores from a table; twice changes nothing, a corrected table writes the differences."""
    with table.open("rb") as opened:
        scores = read_score_file(opened.read(MOST_BYTES + 1))
    asked = Asked(garden, season, hemisphere)
    with open_here() as services:
        imports = ScoreImports(services.database, services.connecting.group(group).id)
        plan = imports.understood(scores, asked)
        print(preview(plan), end="", flush=True)
        if not dry_run:
            imports.write(scores, asked)
    if plan.bad:
        raise BadInputError(say("The table has bad lines; nothing was written."))
    print(say("Nothing was written: this was a trial.") if dry_run else say("The table is recorded."))


def import_temperatures(
    group: GroupName,
    table: Annotated[
        Path, typer.Argument(metavar="FILE", exists=True, dir_okay=False, help="The table, CSV.")
    ],
    garden: Annotated[str | None, typer.Option(help="The garden that it is of.")] = None,
    unit: Annotated[Unit | None, typer.Option(help="The unit of a plain table; guessed otherwise.")] = None,
    source: Annotated[str | None, typer.Option(help="The thermometer or station.")] = None,
    habit: Annotated[
        Habit | None, typer.Option(help="When it was read; in the morning, the highest is of the day before.")
    ] = None,
    station: Annotated[str | None, typer.Option(help="Which station, where the table has several.")] = None,
    since: Annotated[datetime | None, typer.Option(formats=["%Y-%m-%d"], help="The first day.")] = None,
    lowest: Annotated[str | None, typer.Option(help="The column of the lowest temperature.")] = None,
    highest: Annotated[str | None, typer.Option(help="The column of the highest temperature.")] = None,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Show what was understood, write nothing.")
    ] = False,
) -> None:
    """Import daily temperatures: plain CSV, or daily station records (tenths of °C). Twice changes nothing."""
    named = {Column.LOWEST: lowest, Column.HIGHEST: highest}
    asked = AskedOfTable(
        garden,
        unit,
        source,
        habit,
        station,
        since.date() if since else None,
        {column: name for column, name in named.items() if name},
    )
    with table.open("rb") as opened:
        read = read_temperature_file(opened.read(MOST_TEMPERATURE_BYTES + 1), asked)
    with open_here() as services:
        imports = TemperatureImports(services.database, services.connecting.group(group).id)
        print(temperature_preview(imports.understood(read, asked)), end="", flush=True)
        if not dry_run:
            imports.write(read, asked)
    print(say("Nothing was written: this was a trial.") if dry_run else say("The table is recorded."))
