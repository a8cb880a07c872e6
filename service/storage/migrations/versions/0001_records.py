"""Revisions that are only ever added to, and answers kept for retries."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

_COUNT = sa.BigInteger().with_variant(sa.Integer, "sqlite")
_KEPT = ("seq", "scope", "list", "id", "number", "place", "car", "action", "at", "by", "device", "reason", "body", "event", "previous", "hash")


def upgrade() -> None:
    """Make the tables of the first release."""
    _revisions()
    _answers()
    _entries()
    if op.get_context().dialect.name == "sqlite":
        _guard_sqlite()
        _words_sqlite()
    else:
        _guard_postgresql()
        # What is not yet in the index is gone through by every search: keep it short.
        op.execute("CREATE INDEX entry_words ON entry USING gin (array_to_tsvector(string_to_array(words, ' '))) WITH (gin_pending_list_limit = 256)")


def _revisions() -> None:
    op.create_table(
        "revision",
        sa.Column("seq", _COUNT, sa.Identity(), primary_key=True),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("scope", "list", "id")),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("current", sa.Boolean, nullable=False),
        sa.Column("place", sa.BigInteger, nullable=False),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("car", "action", "at", "by", "device")),
        sa.Column("reason", sa.Text),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("event", sa.Integer, nullable=False),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("previous", "hash")),
        sqlite_autoincrement=True,
    )
    op.create_index("revision_in_order", "revision", ["scope", "list", "place", "id"],
                    sqlite_where=sa.text("current = 1"), postgresql_where=sa.text("current"))
    op.create_index("revision_of_thing", "revision", ["scope", "id", "number"], unique=True)
    op.create_index("revision_of_car", "revision", ["car", "event"], unique=True)
    op.create_index("revision_builds", "revision", ["car", "place", "id"],
                    sqlite_where=sa.text("current = 1 AND list = 'builds'"), postgresql_where=sa.text("current AND list = 'builds'"))


def _answers() -> None:
    op.create_table(
        "answer",
        sa.Column("device", sa.Text, primary_key=True),
        sa.Column("key", sa.Text, primary_key=True),
        sa.Column("digest", sa.Text, nullable=False),
        sa.Column("status", sa.Integer, nullable=False),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("headers", "body", "at")),
    )
    op.create_index("ix_answer_at", "answer", ["at"])


def _entries() -> None:
    op.create_table(
        "entry",
        sa.Column("number", _COUNT, sa.Identity(), primary_key=True),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("scope", "list", "id", "car", "words")),
        sqlite_autoincrement=True,
    )
    op.create_index("entry_of_thing", "entry", ["scope", "id"], unique=True)
    op.create_table(
        "word",
        sa.Column("word", sa.Text().with_variant(sa.Text(collation="C"), "postgresql"), primary_key=True),
        sa.Column("plain", sa.Boolean, nullable=False),
        sqlite_with_rowid=False,
    )
    op.create_index("word_plain", "word", ["word"], sqlite_where=sa.text("plain"), postgresql_where=sa.text("plain"))


def _words_sqlite() -> None:
    op.execute("CREATE VIRTUAL TABLE entry_words USING fts5(words, content='entry', content_rowid='number', detail='none', prefix='2 3 4')")
    op.execute("CREATE TRIGGER entry_added AFTER INSERT ON entry BEGIN INSERT INTO entry_words (rowid, words) VALUES (new.number, new.words); END")
    op.execute("CREATE TRIGGER entry_dropped AFTER DELETE ON entry BEGIN "
               "INSERT INTO entry_words (entry_words, rowid, words) VALUES ('delete', old.number, old.words); END")


def _guard_sqlite() -> None:
    """Whatever program opens the file: what was recorded is neither deleted nor rewritten."""
    for name, when in (("kept", "DELETE"), ("unchanged", f"UPDATE OF {', '.join(_quoted())}")):
        op.execute(f"CREATE TRIGGER revision_{name} BEFORE {when} ON revision BEGIN SELECT RAISE(ABORT, 'revisions are only ever added'); END")


def _guard_postgresql() -> None:
    op.execute("CREATE FUNCTION revision_guard() RETURNS trigger LANGUAGE plpgsql AS "
               "$$ BEGIN RAISE EXCEPTION 'revisions are only ever added'; END $$")
    for name, when in (("kept", "DELETE"), ("unchanged", f"UPDATE OF {', '.join(_quoted())}")):
        op.execute(f"CREATE TRIGGER revision_{name} BEFORE {when} ON revision FOR EACH ROW EXECUTE FUNCTION revision_guard()")


def _quoted() -> list[str]:
    return [f'"{name}"' for name in _KEPT]
