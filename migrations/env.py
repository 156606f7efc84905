"""Runs the migrations on the connection that sitebook hands over."""

from alembic import context

connection = context.config.attributes["connection"]
context.configure(connection=connection, transactional_ddl=True, render_as_batch=False)
with context.begin_transaction():
    context.run_migrations()
