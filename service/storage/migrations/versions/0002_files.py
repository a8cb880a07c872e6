"""Files of photographs and papers."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the tables; photographs and papers that are kept already are noted."""
    op.create_table(
        "file",
        sa.Column("sha256", sa.Text, primary_key=True),
        sa.Column("type", sa.Text, nullable=False),
        sa.Column("bytes", sa.BigInteger, nullable=False),
        sa.Column("width", sa.Integer, nullable=False),
        sa.Column("height", sa.Integer, nullable=False),
    )
    op.create_table(
        "attachment",
        sa.Column("id", sa.Text, primary_key=True),
        sa.Column("scope", sa.Text, primary_key=True),
        sa.Column("list", sa.Text, nullable=False),
    )
    op.execute("INSERT INTO attachment (id, scope, list) SELECT id, scope, list FROM revision WHERE number = 1 AND list IN ('photos', 'papers')")
