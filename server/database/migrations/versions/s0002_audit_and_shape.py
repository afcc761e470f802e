"""What was done to the server, which nothing changes afterwards; and the shape in which the state tables were made."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

_KEPT_SQLITE = """CREATE TRIGGER audit_keeps_{what} BEFORE {what} ON audit
BEGIN SELECT RAISE(ABORT, 'audit is only added to'); END"""
_REFUSES = """CREATE OR REPLACE FUNCTION audit_only_grows() RETURNS trigger LANGUAGE plpgsql AS
$$ BEGIN RAISE EXCEPTION 'audit is only added to'; END $$"""
_KEPT_POSTGRESQL = """CREATE TRIGGER audit_keeps BEFORE UPDATE OR DELETE ON audit
FOR EACH ROW EXECUTE FUNCTION audit_only_grows()"""


def upgrade() -> None:
    """Make both."""
    op.create_table("state_shape", sa.Column("shape", sa.String, primary_key=True))
    op.create_table(
        "audit",
        sa.Column("number", sa.Integer, primary_key=True),
        sa.Column("at", sa.String, nullable=False),
        sa.Column("group_id", sa.String),
        sa.Column("who", sa.String, nullable=False),
        sa.Column("what", sa.String, nullable=False),
        sa.Column("about", sa.Text, nullable=False),
    )
    if op.get_bind().dialect.name == "sqlite":
        for what in ("UPDATE", "DELETE"):
            op.execute(_KEPT_SQLITE.format(what=what))
    else:
        op.execute(_REFUSES)
        op.execute(_KEPT_POSTGRESQL)
