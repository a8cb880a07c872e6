"""Up to which event a book carries its car's history."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the column; books from before carry no history."""
    op.add_column("book", sa.Column("events", sa.Integer, nullable=False, server_default="0"))
