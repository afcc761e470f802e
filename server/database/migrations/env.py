"""Runs the steps on the connection that is given, inside the transaction that is open on it. Alembic reads this file."""

from alembic import context

context.configure(connection=context.config.attributes["connection"], transactional_ddl=True)
context.run_migrations()
