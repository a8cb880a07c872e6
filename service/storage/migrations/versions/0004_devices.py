"""Devices, the codes they are paired with, and wrong codes."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

_COUNT = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "device",
        sa.Column("id", sa.Text, primary_key=True),
        sa.Column("name", sa.Text, nullable=False, unique=True),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("by", "role")),
        sa.Column("car", sa.Text),
        sa.Column("digest", sa.Text, nullable=False, unique=True),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("made_at", "made_by")),
        *(sa.Column(name, sa.Text) for name in ("expires_at", "seen_at", "revoked_at", "revoked_by")),
    )
    op.create_table(
        "pairing_code",
        sa.Column("digest", sa.Text, primary_key=True),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("role", "made_at", "made_by", "expires_at")),
    )
    op.create_table(
        "wrong_code",
        sa.Column("number", _COUNT, sa.Identity(), primary_key=True),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("source", "at")),
    )
    op.create_index("ix_wrong_code_at", "wrong_code", ["at"])
