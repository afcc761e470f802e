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

# Only the phone asks for the newest entries of all (its history) and for the few that stand aside, so these
# indexes are not part of the shared table.
OWN_INDEXES = (
    "CREATE INDEX entry_by_stamp ON entry (group_id, stamp, id)",
    "CREATE INDEX entry_aside ON entry (group_id, id) WHERE aside IS 1",
)
ASIDE = and_(ENTRY.c.group_id == OWN_GROUP, ENTRY.c.aside.is_(True))  # as the index says it
