"""The tables. Everything a shop records is a revision; the newest revision of a thing is its current state."""

from __future__ import annotations

from typing import cast

from sqlalchemy import BigInteger, Boolean, Float, Identity, Index, Integer, Table, Text, text
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

#: SQLite counts rows by itself only in a column of exactly this type.
_Count = BigInteger().with_variant(Integer, "sqlite")

CREATED, CHANGED, RETRACTED = "created", "changed", "retracted"
CARS, BUILDS = "cars", "builds"
_BUILDS_ON_SQLITE, _BUILDS_ON_POSTGRESQL = text("current = 1 AND list = 'builds'"), text("current AND list = 'builds'")


class Base(DeclarativeBase):
    """What all tables are declared on."""


class Revision(Base):
    """One state of one thing: a car, a build, or a record of a build.

    `scope` is where the id is unique: the build of a record, `/cars` and `/builds` for those (no id holds a slash).
    `number` counts a thing's revisions from 1, `place` keeps lists in the order their entries were first made, `body` is
    the thing as JSON, as it was typed. `event` counts a car's revisions, `previous` and `hash` chain them (see `chain`).
    Rows are never changed but for `current`, and never deleted.
    """

    __tablename__ = "revision"

    seq: Mapped[int] = mapped_column(_Count, Identity(), primary_key=True)
    scope: Mapped[str] = mapped_column(Text)
    list: Mapped[str] = mapped_column(Text)
    id: Mapped[str] = mapped_column(Text)
    number: Mapped[int] = mapped_column(Integer)
    current: Mapped[bool] = mapped_column(Boolean)
    place: Mapped[int] = mapped_column(BigInteger)
    car: Mapped[str] = mapped_column(Text)
    action: Mapped[str] = mapped_column(Text)
    at: Mapped[str] = mapped_column(Text)
    by: Mapped[str] = mapped_column(Text)
    device: Mapped[str] = mapped_column(Text)
    reason: Mapped[str | None] = mapped_column(Text)
    body: Mapped[str] = mapped_column(Text)
    event: Mapped[int] = mapped_column(Integer)
    previous: Mapped[str] = mapped_column(Text)
    hash: Mapped[str] = mapped_column(Text)

    __table_args__ = (
        Index("revision_in_order", "scope", "list", "place", "id", sqlite_where=text("current = 1"), postgresql_where=text("current")),
        Index("revision_of_thing", "scope", "id", "number", unique=True),
        Index("revision_of_car", "car", "event", unique=True),
        Index("revision_builds", "car", "place", "id", sqlite_where=_BUILDS_ON_SQLITE, postgresql_where=_BUILDS_ON_POSTGRESQL),
        {"sqlite_autoincrement": True},
    )


class Answer(Base):
    """The answer that a writing call was given, kept in its own transaction, so that a retry is given it again."""

    __tablename__ = "answer"

    device: Mapped[str] = mapped_column(Text, primary_key=True)
    key: Mapped[str] = mapped_column(Text, primary_key=True)
    digest: Mapped[str] = mapped_column(Text)
    status: Mapped[int] = mapped_column(Integer)
    headers: Mapped[str] = mapped_column(Text)
    body: Mapped[str] = mapped_column(Text)
    at: Mapped[str] = mapped_column(Text, index=True)


class Word(Base):
    """A word by which something is or was found, for forgiving slips; `plain` when it has letters only."""

    __tablename__ = "word"

    word: Mapped[str] = mapped_column(Text().with_variant(Text(collation="C"), "postgresql"), primary_key=True)
    plain: Mapped[bool] = mapped_column(Boolean)

    __table_args__ = (
        Index("word_plain", "word", sqlite_where=text("plain"), postgresql_where=text("plain")),
        {"sqlite_with_rowid": False},
    )


class Device(Base):
    """Who may ask: a phone, a desk, a program, or a link by which a customer reads one car (`car`, until `expires_at`).

    `digest` is the SHA-256 of its token, which is kept nowhere. A name is used once and for all, so that revisions tell
    devices apart by it. Rows are never deleted: a revoked device stays known by what it wrote.
    """

    __tablename__ = "device"

    id: Mapped[str] = mapped_column(Text, primary_key=True)
    name: Mapped[str] = mapped_column(Text, unique=True)
    by: Mapped[str] = mapped_column(Text)
    role: Mapped[str] = mapped_column(Text)
    car: Mapped[str | None] = mapped_column(Text)
    digest: Mapped[str] = mapped_column(Text, unique=True)
    made_at: Mapped[str] = mapped_column(Text)
    made_by: Mapped[str] = mapped_column(Text)
    expires_at: Mapped[str | None] = mapped_column(Text)
    seen_at: Mapped[str | None] = mapped_column(Text)
    revoked_at: Mapped[str | None] = mapped_column(Text)
    revoked_by: Mapped[str | None] = mapped_column(Text)


class PairingCode(Base):
    """A code that one device may be paired with, once, until it expires; kept as its SHA-256."""

    __tablename__ = "pairing_code"

    digest: Mapped[str] = mapped_column(Text, primary_key=True)
    role: Mapped[str] = mapped_column(Text)
    made_at: Mapped[str] = mapped_column(Text)
    made_by: Mapped[str] = mapped_column(Text)
    expires_at: Mapped[str] = mapped_column(Text)


class WrongCode(Base):
    """A wrong pairing code and where it came from; forgotten once it no longer counts."""

    __tablename__ = "wrong_code"

    number: Mapped[int] = mapped_column(_Count, Identity(), primary_key=True)
    source: Mapped[str] = mapped_column(Text)
    at: Mapped[str] = mapped_column(Text, index=True)


class Entry(Base):
    """The words by which a car, build or record is found. Made from its current state; can be made again at any time."""

    __tablename__ = "entry"

    number: Mapped[int] = mapped_column(_Count, Identity(), primary_key=True)
    scope: Mapped[str] = mapped_column(Text)
    list: Mapped[str] = mapped_column(Text)
    id: Mapped[str] = mapped_column(Text)
    car: Mapped[str] = mapped_column(Text)
    words: Mapped[str] = mapped_column(Text)

    __table_args__ = (Index("entry_of_thing", "scope", "id", unique=True), {"sqlite_autoincrement": True})


class File(Base):
    """A file that was taken in, named by its SHA-256. The bytes are in the folder of files."""

    __tablename__ = "file"

    sha256: Mapped[str] = mapped_column(Text, primary_key=True)
    type: Mapped[str] = mapped_column(Text)
    bytes: Mapped[int] = mapped_column(BigInteger)
    width: Mapped[int] = mapped_column(Integer)
    height: Mapped[int] = mapped_column(Integer)


class Attachment(Base):
    """Where a photograph or paper stands, to find it by its id alone."""

    __tablename__ = "attachment"

    id: Mapped[str] = mapped_column(Text, primary_key=True)
    scope: Mapped[str] = mapped_column(Text, primary_key=True)
    list: Mapped[str] = mapped_column(Text)


class Book(Base):
    """A book that was asked for. Its id is the hash of all that goes into it, so that asking twice for the same gives one book.

    `document` is the build as it was when the book was asked for (None once the book is there); `keeps` says that it went out
    with the car; `left_out` counts photographs and papers that were never sent and so are not in it, `events` the car's events of
    which it carries the history; `attempt` counts how often it was asked for or begun again, and only its newest attempt may say
    anything; `starts` counts how often it was begun since it was asked for; `seen_at` is when the process that makes it last said so.
    """

    __tablename__ = "book"

    id: Mapped[str] = mapped_column(Text, primary_key=True)
    build: Mapped[str] = mapped_column(Text)
    car: Mapped[str] = mapped_column(Text)
    theme: Mapped[str] = mapped_column(Text)
    edition: Mapped[str] = mapped_column(Text)
    paper: Mapped[str] = mapped_column(Text)
    document: Mapped[str | None] = mapped_column(Text)
    keeps: Mapped[bool] = mapped_column(Boolean)
    left_out: Mapped[int] = mapped_column(Integer)
    events: Mapped[int] = mapped_column(Integer, server_default="0")
    state: Mapped[str] = mapped_column(Text)
    attempt: Mapped[int] = mapped_column(Integer)
    starts: Mapped[int] = mapped_column(Integer)
    fraction: Mapped[float] = mapped_column(Float)
    step: Mapped[str] = mapped_column(Text)
    why: Mapped[str | None] = mapped_column(Text)
    pages: Mapped[int | None] = mapped_column(Integer)
    asked_at: Mapped[str] = mapped_column(Text)
    started_at: Mapped[str | None] = mapped_column(Text)
    seen_at: Mapped[str | None] = mapped_column(Text)
    finished_at: Mapped[str | None] = mapped_column(Text)

    __table_args__ = (Index("book_of_build", "build", "asked_at"), Index("book_in_state", "state"))


class Finding(Base):
    """What was last found of a build, with its book or at a recheck: verdicts by finding (JSON), the digest of the document they
    were found of, and the checksum of the program that found them."""

    __tablename__ = "found"

    build: Mapped[str] = mapped_column(Text, primary_key=True)
    document: Mapped[str] = mapped_column(Text)
    program: Mapped[str] = mapped_column(Text)
    verdicts: Mapped[str] = mapped_column(Text)


def table_of(model: type[Base]) -> Table:
    """The table of a model: what is written and read often goes without the session."""
    return cast(Table, model.__table__)
