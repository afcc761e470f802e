"""A server that was put back to an earlier state: phones bring again what it lacks. Works inside somebody's transaction.

Numbers will be given anew, so whoever knows the ones from before has to be told: the epoch of every group changes. Until
its coordinator says that all is back, a group recovers: any connected device may bring what others recorded.
"""

from sqlalchemy import Connection, select, update

from server.database.members import new_epoch
from server.database.tables import GROUP_COUNTER


def begin_recovery(connection: Connection, group: str | None = None) -> list[str]:
    """Give one group, or every group, a new epoch; returns their ids. Comes after the earlier state was put in place."""
    here = GROUP_COUNTER.c
    chosen = select(here.group_id).where((here.group_id == group) if group else (here.group_id != ""))
    groups = list(connection.execute(chosen.order_by(here.group_id)).scalars())
    for one in groups:
        afresh = update(GROUP_COUNTER).where(here.group_id == one).values(epoch=new_epoch(), recovering=1)
        connection.execute(afresh)
    return groups


def end_recovery(connection: Connection, group: str) -> bool:
    """All is back: from now on a device that only looks brings nothing any more; False where it did not recover."""
    here = GROUP_COUNTER.c
    ending = update(GROUP_COUNTER).where(here.group_id == group, here.recovering == 1).values(recovering=0)
    return connection.execute(ending).rowcount == 1
