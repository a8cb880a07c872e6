"""Runs the migrations over the connection that the database hands over."""

from alembic import context

from service.storage.models import Base

connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=Base.metadata, render_as_batch=True)
context.run_migrations()
