"""Table classes that phone and server share: the entry log and the state folded from it. They validate nothing.

Only kinds that are asked about in numbers have a table of their own (marks); all others share `record`. State can
be thrown away and rebuilt from `entry` at any time. `group_id` leads every key: no query crosses groups.
"""

from sqlalchemy import Index, Table, Text, text
from sqlmodel import Field, SQLModel

OWN_GROUP = (
    "own"  # the group column of a phone's file: a phone holds one group, and the entries never name it
)
COUNTED = (
    "what",
    "place",
    "cover",
    "bag",
    "source",
    "marks",
)  # marks of a visit that agree in these are one count
BLIND, CLAIM = text("blind IS NOT NULL"), text("claim IS NOT NULL")


class EntryRow(SQLModel, table=True):
    """One entry, verbatim. `seq` is its dense number (None while not shared), `aside` keeps it out of the fold.

    Each side has an index by record of its own: a server takes entries by the thousand and finds most of them by their
    id, which is also their record's; a phone asks many more questions.
    """

    __tablename__ = "entry"
    __table_args__ = (Index("entry_by_number", "group_id", "seq", unique=True),)

    group_id: str = Field(primary_key=True)
    id: str = Field(primary_key=True)
    seq: int | None = None
    rec: str
    kind: str
    stamp: str
    hash: str
    body: str = Field(sa_type=Text)
    aside: bool = False


class RecordRow(SQLModel, table=True):
    """A folded record of any kind but marks. `day` is its first field day, `owner` the visit it belongs to.

    `blind` holds the names of fields that were set blind, as JSON; `claim` is the trap of a visit and the visit that it
    goes back to, which two counts of the same moths have in common. Both are None in nearly all rows, and in no index.
    """

    __tablename__ = "record"
    __table_args__ = (
        Index("record_by_day", "group_id", "kind", "day"),
        Index("record_by_owner", "group_id", "owner"),
        Index("record_blind", "group_id", "rec", sqlite_where=BLIND, postgresql_where=BLIND),
        Index("record_claim", "group_id", "claim", sqlite_where=CLAIM, postgresql_where=CLAIM),
        {"sqlite_with_rowid": False},
    )

    group_id: str = Field(primary_key=True)
    rec: str = Field(primary_key=True)
    kind: str
    deleted: bool
    day: str | None = None
    season: str | None = None
    owner: str | None = None
    fields: str = Field(sa_type=Text)
    winners: str = Field(sa_type=Text)
    by_person: str
    device: str
    entered: str
    tz: str
    stamp: str
    blind: str | None = None
    claim: str | None = None


class MarkRow(SQLModel, table=True):
    """A folded tally mark, its choices as plain text columns ("" where not said) so that SQL can count them."""

    __tablename__ = "mark"
    # The index holds all that is counted, so that a season is counted without sorting and without the table.
    __table_args__ = (
        Index("mark_by_visit", "group_id", "visit", *COUNTED, "deleted"),
        {"sqlite_with_rowid": False},
    )

    group_id: str = Field(primary_key=True)
    rec: str = Field(primary_key=True)
    visit: str
    what: str
    place: str
    cover: str
    bag: str
    source: str
    marks: str
    device: str
    deleted: bool


class TouchedRow(SQLModel, table=True):
    """A record whose entries changed since it was last folded; folded before state is next read."""

    __tablename__ = "touched"
    __table_args__ = ({"sqlite_with_rowid": False},)

    group_id: str = Field(primary_key=True)
    rec: str = Field(primary_key=True)


def table_of(row: type[SQLModel]) -> Table:
    """The SQLAlchemy table of a table class, for core statements (ORM objects are 10 to 90 times slower)."""
    table = row.__dict__.get("__table__")
    if not isinstance(table, Table):
        raise TypeError(f"{row.__name__} is no table class.")
    return table


ENTRY, RECORD, MARK, TOUCHED = (table_of(row) for row in (EntryRow, RecordRow, MarkRow, TouchedRow))
SHARED_TABLES = (ENTRY, RECORD, MARK, TOUCHED)
STATE_TABLES = (RECORD, MARK, TOUCHED)
