"""The log, groups with their counters, receipts, one-time codes, devices, what is held back.

A server from before there were steps has these tables already, or some of them where its first start was broken off:
what is there is left as it is.
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make what is missing."""
    _make_log()
    _make_groups()
    _make_devices()
    _make_held_back()


def _make_log() -> None:
    op.create_table(
        "entry",
        sa.Column("group_id", sa.String, primary_key=True),
        sa.Column("id", sa.String, primary_key=True),
        sa.Column("seq", sa.Integer),
        sa.Column("rec", sa.String, nullable=False),
        sa.Column("kind", sa.String, nullable=False),
        sa.Column("stamp", sa.String, nullable=False),
        sa.Column("hash", sa.String, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("aside", sa.Boolean, nullable=False),
        if_not_exists=True,
    )
    op.create_index("entry_by_number", "entry", ["group_id", "seq"], unique=True, if_not_exists=True)
    # Entries that change a record which is there. Those that make one are found by their id; nearly all are such, and an
    # index with them costs a push a fortieth of its time.
    op.execute("CREATE INDEX IF NOT EXISTS entry_changing ON entry (group_id, rec) WHERE rec <> id")
    op.create_table(
        "receipt",
        sa.Column("group_id", sa.String, primary_key=True),
        sa.Column("first", sa.Integer, primary_key=True),
        sa.Column("last", sa.Integer, nullable=False),
        sa.Column("received_at", sa.String, nullable=False),
        sa.Column("via_device", sa.String, nullable=False),
        if_not_exists=True,
    )


def _make_groups() -> None:
    op.create_table(
        "grower_group",
        sa.Column("group_id", sa.String, primary_key=True),
        sa.Column("name", sa.String, nullable=False, unique=True),
        sa.Column("made_at", sa.String, nullable=False),
        if_not_exists=True,
    )
    op.create_table(
        "group_counter",
        sa.Column("group_id", sa.String, primary_key=True),
        sa.Column("seq", sa.Integer, nullable=False),
        sa.Column("folded", sa.Integer, nullable=False),
        if_not_exists=True,
    )


def _make_devices() -> None:
    op.create_table(
        "invitation",
        sa.Column("code_hash", sa.String, primary_key=True),
        sa.Column("group_id", sa.String, nullable=False),
        sa.Column("role", sa.String, nullable=False),
        sa.Column("made_at", sa.String, nullable=False),
        sa.Column("expires_at", sa.String, nullable=False),
        sa.Column("used_at", sa.String),
        if_not_exists=True,
    )
    op.create_table(
        "device",
        sa.Column("group_id", sa.String, primary_key=True),
        sa.Column("id", sa.String, primary_key=True),
        sa.Column("token_hash", sa.String, nullable=False, unique=True),
        sa.Column("role", sa.String, nullable=False),
        sa.Column("device", sa.String, nullable=False),
        sa.Column("device_name", sa.String, nullable=False),
        sa.Column("person", sa.String, nullable=False),
        sa.Column("person_name", sa.String, nullable=False),
        sa.Column("connected_at", sa.String, nullable=False),
        sa.Column("last_seen", sa.String),
        sa.Column("revoked_at", sa.String),
        if_not_exists=True,
    )


def _make_held_back() -> None:
    op.create_table(
        "held_back",
        sa.Column("group_id", sa.String, primary_key=True),
        sa.Column("raw_hash", sa.String, primary_key=True),
        sa.Column("entry_id", sa.String),
        sa.Column("field", sa.String, nullable=False),
        sa.Column("code", sa.String, nullable=False),
        sa.Column("detail", sa.Text, nullable=False),
        sa.Column("raw", sa.LargeBinary, nullable=False),
        sa.Column("received_at", sa.String, nullable=False),
        sa.Column("via_device", sa.String, nullable=False),
        if_not_exists=True,
    )
    op.create_index("held_back_by_entry", "held_back", ["group_id", "entry_id"], if_not_exists=True)
