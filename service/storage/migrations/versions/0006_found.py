"""What was last found of each build."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table of last findings."""
    op.create_table("found", sa.Column("build", sa.Text, primary_key=True),
                    *(sa.Column(name, sa.Text, nullable=False) for name in ("document", "program", "verdicts")))
