"""Alembic's scripts for the tables of the store, one a revision."""
