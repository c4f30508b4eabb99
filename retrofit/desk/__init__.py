"""The window and what stands behind it; the only package that may import Qt.

``session``, ``edits``, ``journal``, ``holding`` and ``jobs`` know no Qt and are tested without it.
"""
