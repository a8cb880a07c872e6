"""Books that were asked for."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table of books."""
    op.create_table(
        "book",
        sa.Column("id", sa.Text, primary_key=True),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("build", "car", "theme", "edition", "paper")),
        sa.Column("document", sa.Text),
        sa.Column("keeps", sa.Boolean, nullable=False),
        sa.Column("state", sa.Text, nullable=False),
        *(sa.Column(name, sa.Integer, nullable=False) for name in ("attempt", "starts", "left_out")),
        sa.Column("fraction", sa.Float, nullable=False),
        sa.Column("step", sa.Text, nullable=False),
        sa.Column("why", sa.Text),
        sa.Column("pages", sa.Integer),
        sa.Column("asked_at", sa.Text, nullable=False),
        *(sa.Column(name, sa.Text) for name in ("started_at", "seen_at", "finished_at")),
    )
    op.create_index("book_of_build", "book", ["build", "asked_at"])
    op.create_index("book_in_state", "book", ["state"])
