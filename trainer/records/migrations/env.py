"""Runs migrations on the connection that `trainer.records.migrate` hands in."""

from alembic import context

from trainer.records.tables import Base

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    compare_type=True,
    render_as_batch=True,
)
context.run_migrations()
