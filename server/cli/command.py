"""The command `pomeward` with all that it can do, in the order in which its help lists it."""

import sys

import typer

from server.cli import keeping, members, seasons, serving, tables
from shared_models.errors import PomewardError

commands = typer.Typer(no_args_is_help=True, add_completion=False, pretty_exceptions_enable=False)
for do in (
    serving.serve,
    serving.certificate,
    members.group,
    members.groups,
    members.connect,
    members.devices,
    members.revoke,
    seasons.season,
    seasons.years,
    seasons.timing,
    seasons.looks,
    tables.import_scores,
    tables.import_temperatures,
    keeping.backup,
    keeping.restore,
    keeping.recovered,
    keeping.check,
    keeping.rebuild,
    keeping.audit,
):
    commands.command()(do)


def main() -> None:
    """Run the command; an error is one sentence and exit code 1."""
    try:
        commands()
    except PomewardError as error:
        print(error, file=sys.stderr)
        sys.exit(1)
