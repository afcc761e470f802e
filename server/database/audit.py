"""What was done to the server, line by line. Lines are only added; the database itself refuses to change one."""

from dataclasses import dataclass

from sqlalchemy import Connection, select

from server.database.tables import AUDIT


@dataclass(frozen=True, slots=True)
class Line:
    """What somebody did, when, to which group; None where it was to none or to the whole server.

    `who` and `about` are words for people; they hold no token, no code and nothing that was recorded.
    """

    at: str
    group: str | None
    who: str
    what: str
    about: str


def add(connection: Connection, line: Line) -> None:
    """Add a line."""
    connection.execute(
        AUDIT.insert().values(at=line.at, group_id=line.group, who=line.who, what=line.what, about=line.about)
    )


def lines(connection: Connection, group: str | None = None) -> list[Line]:
    """All lines, oldest first, or those of one group."""
    wanted = select(AUDIT).order_by(AUDIT.c.number)
    if group is not None:
        wanted = wanted.where(AUDIT.c.group_id == group)
    return [Line(row.at, row.group_id, row.who, row.what, row.about) for row in connection.execute(wanted)]
