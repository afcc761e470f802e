"""Groups, one-time codes and devices in SQL. Sees hashes of codes and tokens, never the codes and tokens.

The caller owns connection and transaction. Times are UTC in ISO 8601 with the same number of digits, so that their
text sorts as they do.
"""

import secrets
from dataclasses import dataclass

from sqlalchemy import Connection, Row, bindparam, select, update

from server.database.tables import DEVICE, GROUP, GROUP_COUNTER, INVITATION
from shared_models.digest import NOTHING
from shared_models.vocabulary import Role


@dataclass(frozen=True, slots=True)
class Group:
    """A group on this server."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class Invitation:
    """What a one-time code is bound to."""

    group: str
    role: Role


@dataclass(frozen=True, slots=True)
class Device:
    """A phone or browser of a group. `device` and `person` are its own claims; `id` is the server's."""

    group: str
    id: str
    role: Role
    device: str
    device_name: str
    person: str
    person_name: str
    connected_at: str
    last_seen: str | None = None
    revoked_at: str | None = None


def add_group(connection: Connection, group: Group, now: str) -> None:
    """Make a group with an empty log."""
    connection.execute(GROUP.insert().values(group_id=group.id, name=group.name, made_at=now))
    connection.execute(GROUP_COUNTER.insert().values(_empty_log(group.id)))


def _empty_log(group: str) -> dict[str, object]:
    numbers = {"seq": 0, "folded": 0, "recovering": 0}
    return {"group_id": group, "epoch": new_epoch(), "digest": NOTHING, **numbers}


def new_epoch() -> str:
    """A new epoch: whoever knows another one has numbers that may have been given anew since."""
    return secrets.token_hex(8)


def group_called(connection: Connection, name_or_id: str) -> Group | None:
    """The group of that name or id."""
    either = (GROUP.c.name == name_or_id) | (GROUP.c.group_id == name_or_id)
    row = connection.execute(select(GROUP).where(either)).first()
    return Group(row.group_id, row.name) if row else None


def groups(connection: Connection) -> list[Group]:
    """All groups, oldest first."""
    rows = connection.execute(select(GROUP).order_by(GROUP.c.made_at, GROUP.c.group_id))
    return [Group(row.group_id, row.name) for row in rows]


def add_invitation(
    connection: Connection, code_hash: str, invitation: Invitation, now: str, expires_at: str
) -> None:
    """Keep a one-time code, as its hash."""
    bound = {"group_id": invitation.group, "role": invitation.role, "made_at": now, "expires_at": expires_at}
    connection.execute(INVITATION.insert().values(code_hash=code_hash, **bound))


def open_invitation(connection: Connection, code_hash: str, now: str) -> Invitation | None:
    """What a code is bound to while it can still be used; uses nothing."""
    row = connection.execute(
        select(INVITATION).where(
            INVITATION.c.code_hash == code_hash,
            INVITATION.c.used_at.is_(None),
            INVITATION.c.expires_at > now,
        )
    ).first()
    return Invitation(row.group_id, Role(row.role)) if row else None


def use_invitation(connection: Connection, code_hash: str, now: str) -> Invitation | None:
    """Use a code up; None where it is unknown, used or too old. Of two that try at once, one gets it."""
    here = INVITATION.c
    usable = here.code_hash == code_hash, here.used_at.is_(None), here.expires_at > now
    using = update(INVITATION).where(*usable).values(used_at=now).returning(here.group_id, here.role)
    row = connection.execute(using).first()
    return Invitation(row.group_id, Role(row.role)) if row else None


def add_device(connection: Connection, device: Device, token_hash: str) -> None:
    """Connect a device."""
    connection.execute(
        DEVICE.insert().values(
            group_id=device.group,
            id=device.id,
            token_hash=token_hash,
            role=device.role,
            device=device.device,
            device_name=device.device_name,
            person=device.person,
            person_name=device.person_name,
            connected_at=device.connected_at,
        )
    )


def device_of_token(connection: Connection, token_hash: str) -> Device | None:
    """The device that holds a token; None where it is unknown or was disconnected."""
    row = connection.execute(_HOLDER, {"of_token": token_hash}).first()
    return _device(row) if row else None


def devices(connection: Connection, group: str) -> list[Device]:
    """All devices of a group, oldest first, disconnected ones too."""
    rows = connection.execute(
        select(DEVICE).where(DEVICE.c.group_id == group).order_by(DEVICE.c.connected_at, DEVICE.c.id)
    )
    return [_device(row) for row in rows]


def revoke(connection: Connection, group: str, device_id: str, now: str) -> bool:
    """Disconnect a device at once; False where the group has no such device connected."""
    which = DEVICE.c.group_id == group, DEVICE.c.id == device_id, DEVICE.c.revoked_at.is_(None)
    return connection.execute(update(DEVICE).where(*which).values(revoked_at=now)).rowcount == 1


def note_seen(connection: Connection, device: Device, now: str) -> None:
    """Note when a device was last here."""
    which = DEVICE.c.group_id == device.group, DEVICE.c.id == device.id
    connection.execute(update(DEVICE).where(*which).values(last_seen=now))


def _device(row: Row[tuple[str, ...]]) -> Device:
    return Device(
        row.group_id,
        row.id,
        Role(row.role),
        row.device,
        row.device_name,
        row.person,
        row.person_name,
        row.connected_at,
        row.last_seen,
        row.revoked_at,
    )


# Built once, since every request asks it.
_HOLDER = select(DEVICE).where(DEVICE.c.token_hash == bindparam("of_token"), DEVICE.c.revoked_at.is_(None))
