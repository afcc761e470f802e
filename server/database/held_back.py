"""What was pushed and cannot be taken, kept as it came with the reason. Never folded, never in the log."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, select

from server.database.tables import HELD_BACK
from shared_models.store.upserts import insert_new

MOST_RAW = 64 * 1024


@dataclass(frozen=True, slots=True)
class HeldBack:
    """One body and why it is held back. `entry_id` is None where it has no readable one."""

    entry_id: str | None
    field: str
    code: str
    detail: str
    raw: bytes


def keep(
    connection: Connection, group: str, held: Sequence[HeldBack], received_at: str, via_device: str
) -> None:
    """Keep them; a body that is kept already is left as it is."""
    rows = [_row(group, one, received_at, via_device) for one in held]
    if rows:
        connection.execute(insert_new(connection, HELD_BACK), rows)


def of_group(connection: Connection, group: str) -> list[HeldBack]:
    """All that a group's server holds back, oldest first."""
    here = HELD_BACK.c
    rows = connection.execute(
        select(HELD_BACK).where(here.group_id == group).order_by(here.received_at, here.raw_hash)
    )
    return [HeldBack(row.entry_id, row.field, row.code, row.detail, bytes(row.raw)) for row in rows]


def _row(group: str, one: HeldBack, received_at: str, via_device: str) -> dict[str, object]:
    return {
        "group_id": group,
        "raw_hash": hashlib.sha256(one.raw).hexdigest(),
        "entry_id": one.entry_id,
        "field": one.field,
        "code": one.code,
        "detail": one.detail,
        "raw": one.raw[:MOST_RAW],
        "received_at": received_at,
        "via_device": via_device,
    }
