"""The server's private tables: groups, their counters, one-time codes, devices, what is held back, what was done.

They have a catalogue of their own, so that a process that is phone and server at once keeps them apart.
`group_id` leads every key of what a group owns: no query crosses groups. A change here needs a step in `migrations/`.
"""

from sqlalchemy import Column, Index, Integer, LargeBinary, MetaData, String, Table, Text

PRIVATE = MetaData()

GROUP = Table(
    "grower_group",
    PRIVATE,
    Column("group_id", String, primary_key=True),
    Column("name", String, nullable=False, unique=True),
    Column("made_at", String, nullable=False),
)

# `seq` is the newest number of the group's log; what is numbered above `folded` is not in the state tables yet.
# `epoch` changes when a backup is put back, since numbers are then given anew; `digest` is that of all entries;
# `recovering` is 1 from then until the coordinator says that all is back.
GROUP_COUNTER = Table(
    "group_counter",
    PRIVATE,
    Column("group_id", String, primary_key=True),
    Column("seq", Integer, nullable=False),
    Column("folded", Integer, nullable=False),
    Column("epoch", String, nullable=False),
    Column("digest", String, nullable=False),
    Column("recovering", Integer, nullable=False),
)

# What came together: the numbers from `first` to `last`, when, and with which device's token. Once for a push: with
# each of its entries it would be an eighth of all that is written.
RECEIPT = Table(
    "receipt",
    PRIVATE,
    Column("group_id", String, primary_key=True),
    Column("first", Integer, primary_key=True),
    Column("last", Integer, nullable=False),
    Column("received_at", String, nullable=False),
    Column("via_device", String, nullable=False),
)

# Only a keyed hash of a code is kept: 65 bits of chance are too few for a plain one.
INVITATION = Table(
    "invitation",
    PRIVATE,
    Column("code_hash", String, primary_key=True),
    Column("group_id", String, nullable=False),
    Column("role", String, nullable=False),
    Column("made_at", String, nullable=False),
    Column("expires_at", String, nullable=False),
    Column("used_at", String),
)

# A phone or a browser. `device` and `person` are what it says of itself; `id` is the server's own.
DEVICE = Table(
    "device",
    PRIVATE,
    Column("group_id", String, primary_key=True),
    Column("id", String, primary_key=True),
    Column("token_hash", String, nullable=False, unique=True),
    Column("role", String, nullable=False),
    Column("device", String, nullable=False),
    Column("device_name", String, nullable=False),
    Column("person", String, nullable=False),
    Column("person_name", String, nullable=False),
    Column("connected_at", String, nullable=False),
    Column("last_seen", String),
    Column("revoked_at", String),
)

# What was pushed and cannot be taken, as it came (its first 64 KiB), with the reason. One row however often it comes.
HELD_BACK = Table(
    "held_back",
    PRIVATE,
    Column("group_id", String, primary_key=True),
    Column("raw_hash", String, primary_key=True),
    Column("entry_id", String),
    Column("field", String, nullable=False),
    Column("code", String, nullable=False),
    Column("detail", Text, nullable=False),
    Column("raw", LargeBinary, nullable=False),
    Column("received_at", String, nullable=False),
    Column("via_device", String, nullable=False),
    Index("held_back_by_entry", "group_id", "entry_id"),
)

# What was done to the server: by whom, when, to which group, if any. Only added to; the database refuses anything else.
# No tokens, no codes, no bodies.
AUDIT = Table(
    "audit",
    PRIVATE,
    Column("number", Integer, primary_key=True),
    Column("at", String, nullable=False),
    Column("group_id", String),
    Column("who", String, nullable=False),
    Column("what", String, nullable=False),
    Column("about", Text, nullable=False),
)

# What the definition of the state tables was when they were made.
STATE_SHAPE = Table("state_shape", PRIVATE, Column("shape", String, primary_key=True))
