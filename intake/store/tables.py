"""The tables. The journal is the truth; the others are projections of it and can be rebuilt."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, Column, ForeignKey, Index, MetaData
from sqlmodel import Field, SQLModel

from intake.store.types import Flag, Instant, Integer, Text

HEAD = "0001"
"""The schema this program writes; the room's own is in alembic_version."""
APPLICATION_ID = 0x696E746B
"""Marks the file as a room of this program ("intk")."""


class Rooms(SQLModel):
    """Base that keeps our tables apart from any other SQLModel metadata in the process."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_N_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
            "pk": "pk_%(table_name)s",
        }
    )


class JournalRow(Rooms, table=True):
    """One entry, exactly as its hash covers it. Never updated, never deleted."""

    __tablename__ = "journal"
    __table_args__ = (
        CheckConstraint("sequence > 0", name="sequence"),
        CheckConstraint("version > 0", name="version"),
        CheckConstraint("length(hash) = 64", name="hash"),
        CheckConstraint("length(previous) = 64", name="previous"),
        Index("ix_journal_kind", "kind"),
        Index("ix_journal_corrects", "corrects"),
        {"sqlite_strict": True},
    )
    sequence: int = Field(sa_column=Column(Integer, primary_key=True, autoincrement=False))
    at: datetime = Field(sa_column=Column(Instant, nullable=False))
    time_zone: str = Field(sa_column=Column(Text, nullable=False))
    entered: datetime = Field(sa_column=Column(Instant, nullable=False))
    keeper: str = Field(sa_column=Column(Text, nullable=False))
    kind: str = Field(sa_column=Column(Text, nullable=False))
    version: int = Field(sa_column=Column(Integer, nullable=False))
    content: str = Field(sa_column=Column(Text, nullable=False))
    corrects: int | None = Field(
        sa_column=Column(Integer, ForeignKey("journal.sequence", ondelete="RESTRICT"))
    )
    why: str | None = Field(sa_column=Column(Text))
    key: str | None = Field(sa_column=Column(Text, unique=True))
    previous: str = Field(sa_column=Column(Text, nullable=False))
    hash: str = Field(sa_column=Column(Text, nullable=False, unique=True))


class EffectiveRow(Rooms, table=True):
    """Which row of the journal holds an entry's content now, and its place in time."""

    __tablename__ = "effective"
    __table_args__ = (
        CheckConstraint("void IN (0, 1)", name="void"),
        Index("ix_effective_at_entry", "at", "entry"),
        {"sqlite_strict": True},
    )
    entry: int = Field(
        sa_column=Column(
            Integer,
            ForeignKey("journal.sequence", ondelete="RESTRICT"),
            primary_key=True,
            autoincrement=False,
        )
    )
    newest: int = Field(
        sa_column=Column(
            Integer, ForeignKey("journal.sequence", ondelete="RESTRICT"), nullable=False
        )
    )
    at: datetime = Field(sa_column=Column(Instant, nullable=False))
    void: bool = Field(sa_column=Column(Flag, nullable=False))


class MentionRow(Rooms, table=True):
    """Which entries speak of which thing (a thing is the entry that made it)."""

    __tablename__ = "mention"
    __table_args__ = (
        Index("ix_mention_thing_entry", "thing", "entry"),
        {"sqlite_strict": True},
    )
    entry: int = Field(
        sa_column=Column(
            Integer,
            ForeignKey("journal.sequence", ondelete="RESTRICT"),
            primary_key=True,
            autoincrement=False,
        )
    )
    thing: int = Field(
        sa_column=Column(
            Integer,
            ForeignKey("journal.sequence", ondelete="RESTRICT"),
            primary_key=True,
            autoincrement=False,
        )
    )
