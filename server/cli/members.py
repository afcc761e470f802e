"""Commands on groups and devices: make, list, connect, disconnect."""

from typing import Annotated
from urllib.parse import quote

import typer

from server.cli.surroundings import GroupName, open_here, settings_here
from server.services.audit import command_user
from server.services.connecting import MOST_MINUTES
from server.services.reach import noted_reach
from shared_models.language import say
from shared_models.vocabulary import Role


def group(name: str) -> None:
    """Make a group."""
    with open_here() as services:
        made = services.connecting.make_group(name)
    print(say("Made the group “{name}”.", name=made.name))


def groups() -> None:
    """List the groups of this server."""
    with open_here() as services:
        for one in services.connecting.groups():
            print(f"{one.id}  {one.name}")


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
    """Print a one-time code, or the text that holds it, that makes a phone or a browser a device of the group."""
    with open_here() as services:
        code = services.connecting.invite(services.connecting.group(group), role, minutes)
    reach = noted_reach(settings_here())
    print(f"{reach.address}/connect?code={quote(code)}" if browser else reach.with_code(code))


def devices(group: GroupName) -> None:
    """List the devices of a group."""
    with open_here() as services:
        for one in services.connecting.devices(services.connecting.group(group)):
            state = say("disconnected {when}", when=one.revoked_at) if one.revoked_at else one.role.value
            seen = say("last here {when}", when=one.last_seen or "–")
            print(f"{one.id}  {one.device_name}, {one.person_name}, {state}, {seen}")


def revoke(
    group: GroupName, device: Annotated[str, typer.Argument(help="Its id, as `devices` prints it.")]
) -> None:
    """Disconnect a device at once; what it shared stays."""
    with open_here() as services:
        gone = services.connecting.revoke(services.connecting.group(group), device, command_user())
    print(say("“{name}” is disconnected. What it shared stays.", name=gone.device_name))
