"""What is proven of a ranking before its first answer; light, for the options need it."""

from __future__ import annotations

RANKS = 200
"""Ranks that are proven before anything else."""
