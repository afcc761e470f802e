"""The command `pomeward`: run the server, make groups, connect devices, print a season. Calls services, prints words."""

import ipaddress
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from socket import AF_INET, AF_INET6, IPPROTO_TCP, SO_REUSEADDR, SOCK_STREAM, SOL_SOCKET
from socket import socket as Socket
from typing import Annotated
from urllib.parse import quote

import typer
import uvicorn
from pydantic import ValidationError

from server.app import create_app, open_services
from server.dependencies import Services
from server.services.connecting import MOST_MINUTES
from server.services.imports import ScoreImports
from server.services.looks import GroupLooks
from server.services.moments import now_utc
from server.services.season_report import SeasonReports
from server.services.temperature_imports import TemperatureImports
from server.services.timings import Timings
from server.settings import PREFIX, Settings, settings_from
from server.web.season_page import season_file
from shared_models.errors import BadInputError, NotAllowedError, PomewardError
from shared_models.language import say
from shared_models.look_text import looks_as_text
from shared_models.report_text import as_text
from shared_models.score_table.ground import Asked
from shared_models.score_table.preview import preview
from shared_models.score_table.reading import MOST_BYTES, read_score_file
from shared_models.season.choice import Choice, Counted, Damage
from shared_models.seasons import Hemisphere
from shared_models.temperature_table.preview import temperature_preview
from shared_models.temperature_table.reading import read_temperature_file
from shared_models.temperature_table.rows import MOST_BYTES as MOST_TEMPERATURE_BYTES
from shared_models.temperature_table.rows import AskedOfTable, Column, Habit, Unit
from shared_models.timing_text import timing_as_text
from shared_models.vocabulary import Role
from shared_models.years_text import years_as_text

commands = typer.Typer(no_args_is_help=True, add_completion=False, pretty_exceptions_enable=False)
GroupName = Annotated[str, typer.Argument(metavar="GROUP", help="The group's name or id.")]


class Format(StrEnum):
    """How a season is printed."""

    TEXT = "text"
    JSON = "json"
    HTML = "html"
    CSV = "csv"


def main() -> None:
    """Run the command; an error is one sentence and exit code 1."""
    try:
        commands()
    except PomewardError as error:
        print(error, file=sys.stderr)
        sys.exit(1)


@commands.command()
def serve(
    host: Annotated[str | None, typer.Option(help="Where to listen; only this machine itself.")] = None,
    port: Annotated[int | None, typer.Option(help="The port; 0 takes a free one.")] = None,
) -> None:
    """Run the server until it is stopped."""
    told = _settings()
    settings = Settings.model_validate(
        told.model_dump() | ({"host": host} if host else {}) | ({"port": port} if port is not None else {})
    )
    refuse_open_network(settings.host)
    with _listening(settings) as socket:
        app = create_app(settings)
        address = f"http://{settings.host}:{socket.getsockname()[1]}"
        print(
            say(
                "Pomeward listens on {address}; its data are in {data}.",
                address=address,
                data=settings.data.resolve(),
            ),
            flush=True,
        )
        # No access log: addresses of pages can hold one-time codes.
        config = uvicorn.Config(app, access_log=False, log_level="warning")
        uvicorn.Server(config).run(sockets=[socket])


@commands.command()
def group(name: str) -> None:
    """Make a group."""
    with _services() as services:
        made = services.connecting.make_group(name)
    print(say("Made the group “{name}”.", name=made.name))


@commands.command()
def groups() -> None:
    """List the groups of this server."""
    with _services() as services:
        for one in services.connecting.groups():
            print(f"{one.id}  {one.name}")


@commands.command()
def connect(
    group: GroupName,
    role: Annotated[Role, typer.Option(help="What the device may do.")] = Role.KEEPER,
    minutes: Annotated[
        int, typer.Option(help=f"How long the code is good for, at most {MOST_MINUTES}.")
    ] = MOST_MINUTES,
    browser: Annotated[
        bool, typer.Option("--browser", help="Print an address to open in a browser.")
    ] = False,
) -> None:
    """Print a one-time code that makes a phone or a browser a device of the group."""
    with _services() as services:
        code = services.connecting.invite(services.connecting.group(group), role, minutes)
    settings = _settings()
    print(f"http://{settings.host}:{settings.port}/connect?code={quote(code)}" if browser else code)


@commands.command()
def devices(group: GroupName) -> None:
    """List the devices of a group."""
    with _services() as services:
        for one in services.connecting.devices(services.connecting.group(group)):
            state = say("disconnected {when}", when=one.revoked_at) if one.revoked_at else one.role.value
            seen = say("last here {when}", when=one.last_seen or "–")
            print(f"{one.id}  {one.device_name}, {one.person_name}, {state}, {seen}")


@commands.command()
def revoke(
    group: GroupName, device: Annotated[str, typer.Argument(help="Its id, as `devices` prints it.")]
) -> None:
    """Disconnect a device at once; what it shared stays."""
    with _services() as services:
        gone = services.connecting.revoke(services.connecting.group(group), device)
    print(say("“{name}” is disconnected. What it shared stays.", name=gone.device_name))


@commands.command()
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
    with _reports(group) as reports:
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


@commands.command()
def years(
    group: GroupName,
    half: Annotated[Hemisphere | None, typer.Option(help="Which half of the earth.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="For programs.")] = False,
) -> None:
    """Print seasons side by side and together, what each tree gave for its work, traps of two seasons."""
    with _reports(group) as reports:
        report = reports.years(half)
    print(report.model_dump_json(indent=2) if as_json else years_as_text(report), end="\n" if as_json else "")


@commands.command()
def timing(
    group: GroupName,
    key: Annotated[str, typer.Argument(help="2026, or 2026/27 in the south.")],
    day: Annotated[str | None, typer.Option(help="As known on this day, 2026-05-31; today in UTC.")] = None,
    json: Annotated[bool, typer.Option("--json", help="The same for programs.")] = False,
) -> None:
    """Print degree-days, biofix and what comes next in each garden of a season."""
    with _services() as services:
        found = Timings(services.database, services.connecting.group(group).id).timing(key, day)
    print(found.model_dump_json(indent=2) if json else timing_as_text(found), end="\n" if json else "")


@commands.command()
def looks(
    group: GroupName, json: Annotated[bool, typer.Option("--json", help="The same for programs.")] = False
) -> None:
    """Print what people of the group set, or counted, without knowing of each other; a phone decides it."""
    with _services() as services:
        told = GroupLooks(services.database, services.connecting.group(group).id).told()
    print(told.model_dump_json(indent=2) if json else looks_as_text(told), end="\n" if json else "")


@commands.command("import-scores")
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
    with _services() as services:
        imports = ScoreImports(services.database, services.connecting.group(group).id)
        plan = imports.understood(scores, asked)
        print(preview(plan), end="", flush=True)
        if not dry_run:
            imports.write(scores, asked)
    if plan.bad:
        raise BadInputError(say("The table has bad lines; nothing was written."))
    print(say("Nothing was written: this was a trial.") if dry_run else say("The table is recorded."))


@commands.command("import-temperatures")
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
    with _services() as services:
        imports = TemperatureImports(services.database, services.connecting.group(group).id)
        print(temperature_preview(imports.understood(read, asked)), end="", flush=True)
        if not dry_run:
            imports.write(read, asked)
    print(say("Nothing was written: this was a trial.") if dry_run else say("The table is recorded."))


@commands.command()
def rebuild(group: GroupName) -> None:
    """Fold all records of a group anew from its log."""
    with _reports(group) as reports:
        records = reports.rebuild()
    print(say("Folded {count} records anew.", count=records))


def refuse_open_network(host: str) -> None:
    """NotAllowedError for any address but this machine's own: without encryption nothing may travel further."""
    if host == "localhost":
        return
    try:
        here = ipaddress.ip_address(host).is_loopback
    except ValueError:
        here = False
    if not here:
        raise NotAllowedError(
            say(
                "The server has no encryption yet and listens on this machine only, not on {host}. Use 127.0.0.1.",
                host=host,
            )
        )


def _listening(settings: Settings) -> Socket:
    """The socket, bound before anything else is opened, so that a taken port is said in a sentence."""
    family = AF_INET6 if ":" in settings.host else AF_INET
    # Named as TCP, or asyncio does not turn Nagle's waiting off, and every larger answer takes 40 ms more.
    listener = Socket(family, SOCK_STREAM, IPPROTO_TCP)
    listener.setsockopt(SOL_SOCKET, SO_REUSEADDR, 1)
    try:
        listener.bind((settings.host, settings.port))
    except OSError as error:
        listener.close()
        raise NotAllowedError(
            say("Port {port} cannot be used here; give another with --port.", port=settings.port)
        ) from error
    listener.listen()  # from here on whoever calls is kept waiting, not turned away
    return listener


def _settings() -> Settings:
    try:
        return settings_from()
    except ValidationError as error:
        name = str(error.errors()[0]["loc"][0])
        raise BadInputError(
            say("The setting {name} cannot be taken; correct it.", name=PREFIX + name.upper()), name
        ) from error


@contextmanager
def _services() -> Iterator[Services]:
    services = open_services(_settings())
    try:
        yield services
    finally:
        services.database.close()


@contextmanager
def _reports(group: str) -> Iterator[SeasonReports]:
    with _services() as services:
        yield SeasonReports(services.database, services.connecting.group(group).id)
