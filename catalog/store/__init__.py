"""The catalogue in a database: parts, their revisions, search, upgrades.

Nothing is imported here: SQLAlchemy takes longer to import than a plan takes to assess, so
only who opens the store (``catalog.store.open``) pays for it. Knows nothing of plans or Qt.
"""
