"""Commands that look after the server's own data: backups, checks, the audit."""

from pathlib import Path
from typing import Annotated

import typer

from server.cli.surroundings import GroupName, open_here, reports_of, settings_here
from server.services import audit as audits
from server.services.audit import command_user
from server.services.backups import back_up
from server.services.backups import recovered as all_is_back
from server.services.backups import restore as put_back
from server.services.check import check as look_through
from shared_models.errors import StoreError
from shared_models.language import say, say_many

BackupFile = Annotated[Path, typer.Argument(metavar="FILE", help="The backup.")]


def backup(file: BackupFile) -> None:
    """Write everything that cannot be made again into one file; the server may go on meanwhile."""
    with open_here() as services:
        listed = back_up(services.database, file, command_user())
    groups = say_many("{count} group", "{count} groups", listed.count("grower_group"))
    entries = say_many("{count} entry", "{count} entries", listed.count("entry"))
    print(say("{file} holds {groups} with {entries}.", file=file, groups=groups, entries=entries))
    if (key := settings_here().data / "tls.key").exists():
        print(say("The server's own key is not in it: keep a copy of {key} apart.", key=key))


def restore(
    file: BackupFile,
    yes: Annotated[
        bool, typer.Option("--yes", help="Also where there is a database: it is moved aside.")
    ] = False,
) -> None:
    """Put a backup back. Phones then supply again what it lacks, until `recovered` is said for each group."""
    done = put_back(settings_here().database, file, command_user(), yes)
    entries = say_many("{count} entry", "{count} entries", done.listed.count("entry"))
    print(say("Put back {entries}, as of {when}.", entries=entries, when=done.listed.made_at))
    if done.aside:
        print(say("What was there is kept as {place}.", place=done.aside))
    if done.unread:
        print(
            say(
                "It could not be read: devices that were disconnected since the backup are connected. See `devices`."
            )
        )
    print(
        say(
            "Every phone sends what the backup lacks at its next exchange, what others recorded as well. When all of "
            "them were here, end that with: pomeward recovered GROUP"
        )
    )


def recovered(group: GroupName) -> None:
    """Say that all phones were here again after a backup was put back."""
    with open_here() as services:
        one = services.connecting.group(group)
        was = all_is_back(services.database, one, command_user())
    if was:
        print(say("The recovery of “{name}” is over.", name=one.name))
    else:
        print(say("“{name}” was not recovering; nothing was changed.", name=one.name))


def check(group: GroupName) -> None:
    """Look through everything that is kept of a group; exit code 1 where something is not as it should be."""
    with open_here() as services:
        found = look_through(services.database, services.connecting.group(group))
    for one in found:
        print(one.sentence if one.well else say("WRONG: {sentence}", sentence=one.sentence), flush=True)
    if not all(one.well for one in found):
        raise StoreError(
            say(
                "Something is not as it should be. Nothing was changed; make a copy of the data before you mend it."
            )
        )


def rebuild(group: GroupName) -> None:
    """Fold all records of a group anew from its log."""
    with reports_of(group) as reports:
        records = reports.rebuild()
    print(say("Folded {count} records anew.", count=records))


def audit(
    group: Annotated[
        str | None, typer.Argument(metavar="GROUP", help="The group's name or id; all if none.")
    ] = None,
) -> None:
    """Print who connected, failed to, was disconnected, and what was done to the data; oldest first."""
    with open_here() as services:
        found = audits.told(services.database, services.connecting.group(group).id if group else None)
    for line in found:
        print(line)
