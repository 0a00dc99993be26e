"""Run by Alembic: apply the migrations on the connection that ``service.store.migrate`` opened."""

from alembic import context

from service.store.tables import metadata

context.configure(connection=context.config.attributes["connection"], target_metadata=metadata)
with context.begin_transaction():
    context.run_migrations()
