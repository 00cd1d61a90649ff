"""The first schema: the journal and the two projections of it."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def _entry_column(name: str) -> sa.Column[int]:
    key = sa.ForeignKey("journal.sequence", ondelete="RESTRICT")
    return sa.Column(name, sa.Integer, key, nullable=False, autoincrement=False)


def upgrade() -> None:
    """Makes what a new room of schema 0001 has, down to the wording."""
    _journal()
    op.create_table(
        "effective",
        _entry_column("entry"),
        sa.Column(
            "newest",
            sa.Integer,
            sa.ForeignKey("journal.sequence", ondelete="RESTRICT"),
            nullable=False,
        ),
        sa.Column("at", sa.Text, nullable=False),
        sa.Column("void", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("entry"),
        sa.CheckConstraint("void IN (0, 1)", name="void"),
        sqlite_strict=True,
    )
    op.create_index("ix_effective_at_entry", "effective", ["at", "entry"])
    op.create_table(
        "mention",
        _entry_column("entry"),
        _entry_column("thing"),
        sa.PrimaryKeyConstraint("entry", "thing"),
        sqlite_strict=True,
    )
    op.create_index("ix_mention_thing_entry", "mention", ["thing", "entry"])
    if op.get_context().dialect.name == "sqlite":
        for verb in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER journal_{verb.lower()} BEFORE {verb} ON journal "
                "BEGIN SELECT RAISE(ABORT, 'the journal is never changed'); END"
            )


def _journal() -> None:
    op.create_table(
        "journal",
        sa.Column("sequence", sa.Integer, nullable=False, autoincrement=False),
        sa.Column("at", sa.Text, nullable=False),
        sa.Column("time_zone", sa.Text, nullable=False),
        sa.Column("entered", sa.Text, nullable=False),
        sa.Column("keeper", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("content", sa.Text, nullable=False),
        sa.Column("corrects", sa.Integer, sa.ForeignKey("journal.sequence", ondelete="RESTRICT")),
        sa.Column("why", sa.Text),
        sa.Column("key", sa.Text, unique=True),
        sa.Column("previous", sa.Text, nullable=False),
        sa.Column("hash", sa.Text, nullable=False, unique=True),
        sa.PrimaryKeyConstraint("sequence"),
        sa.CheckConstraint("sequence > 0", name="sequence"),
        sa.CheckConstraint("version > 0", name="version"),
        sa.CheckConstraint("length(hash) = 64", name="hash"),
        sa.CheckConstraint("length(previous) = 64", name="previous"),
        sqlite_strict=True,
    )
    op.create_index("ix_journal_corrects", "journal", ["corrects"])
    op.create_index("ix_journal_kind", "journal", ["kind"])
