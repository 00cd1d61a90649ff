"""What alembic runs: the migrations, on the connection and inside the transaction it is handed."""

from __future__ import annotations

from alembic import context

from intake.store.tables import Rooms

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Rooms.metadata,
    render_as_batch=True,
)
context.run_migrations()
