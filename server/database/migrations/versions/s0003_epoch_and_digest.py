"""The counter of a group gets the epoch of its numbers, the digest of its entries, and whether it is recovering.

No phone knows an epoch of these numbers yet, so it is a new one; the digest is that of the log as it is.
"""

import secrets

import sqlalchemy as sa
from alembic import op

from shared_models.digest import NOTHING, added

revision = "0003"
down_revision = "0002"

_COLUMNS = {"epoch": sa.String, "digest": sa.String, "recovering": sa.Integer}
_GROUPS = sa.text("SELECT group_id FROM group_counter")
_HASHES = sa.text("SELECT hash FROM entry WHERE group_id = :group AND seq IS NOT NULL")
_FILL = sa.text(
    "UPDATE group_counter SET epoch = :epoch, digest = :digest, recovering = 0 WHERE group_id = :group"
)


def upgrade() -> None:
    """Add the columns empty, fill them, close them."""
    for name, kind in _COLUMNS.items():
        op.add_column("group_counter", sa.Column(name, kind))
    connection = op.get_bind()
    for group in connection.execute(_GROUPS).scalars().all():
        digest = added(NOTHING, connection.execute(_HASHES, {"group": group}).scalars())
        filled = {"group": group, "epoch": secrets.token_hex(8), "digest": digest}
        connection.execute(_FILL, filled)
    with op.batch_alter_table("group_counter") as counter:
        for name, kind in _COLUMNS.items():
            counter.alter_column(name, existing_type=kind(), nullable=False)
