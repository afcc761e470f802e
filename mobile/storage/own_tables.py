"""The phone's private tables: what is not shared yet, and facts about this phone. Knows no entries.

They have a catalogue of their own, so that a process that is phone and server at once (demo, tests) keeps them apart.
"""

from sqlalchemy import Column, MetaData, String, Table, Text, and_

from shared_models.store.tables import ENTRY, OWN_GROUP

PRIVATE = MetaData()

OUTBOX = Table(
    "outbox",
    PRIVATE,
    Column("id", String, primary_key=True),
    Column("rec", String, nullable=False),
    Column("kind", String, nullable=False),
    Column("state", String, nullable=False),
    Column("field", String),
    Column("code", String),
    Column("sentence", Text),
    Column("tried_version", String),  # of the server that answered
    Column("tried_token", String),  # a fingerprint of the token it answered to, never the token
    sqlite_with_rowid=False,
)

PHONE = Table(
    "phone",
    PRIVATE,
    Column("name", String, primary_key=True),
    Column("value", Text),
    sqlite_with_rowid=False,
)

# Only the phone asks for all entries of a record at every touch, for the newest entries of all (its history), for the
# few that stand aside and for the few records that were given a season by hand, so these indexes are not part of the
# shared tables.
OWN_INDEXES = (
    "CREATE INDEX entry_by_record ON entry (group_id, rec)",
    "CREATE INDEX entry_by_stamp ON entry (group_id, stamp, id)",
    "CREATE INDEX entry_aside ON entry (group_id, id) WHERE aside IS 1",
    "CREATE INDEX record_by_hand ON record (group_id, kind, season) WHERE season IS NOT NULL",
)
# What SQLite's planner is told of each index: rows, then how many of them agree in its first columns. The numbers are
# of a group after some years (5 000 visits a season); told once instead of counted, so that a question is answered
# the same way whatever a file holds. Without them every touch went through all records (20 ms among 50 000).
SHAPE = {
    "record record": "50000 50000 1",
    "record record_by_day": "50000 50000 5000 20",
    "record record_by_owner": "50000 50000 3",
    "record record_by_hand": "100 100 50 20",
    "record record_blind": "20 20 1",
    "record record_claim": "5000 5000 1",
    "mark mark": "500000 500000 1",
    "mark mark_by_visit": "500000 500000 40 40 30 20 20 20 10 10",
    "entry sqlite_autoindex_entry_1": "600000 600000 1",
    "entry entry_by_record": "600000 600000 2",
    "entry entry_by_number": "600000 600000 1",
    "entry entry_by_stamp": "600000 600000 1 1",
    "entry entry_aside": "20 20 1",
}
ASIDE = and_(ENTRY.c.group_id == OWN_GROUP, ENTRY.c.aside.is_(True))  # as the index says it
