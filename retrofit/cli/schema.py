"""``retrofit schema``: the JSON Schema of the plan file."""

from __future__ import annotations

import argparse

from retrofit.cli.terminal import Terminal
from retrofit.plan.schema import schema


def run(_: argparse.Namespace, terminal: Terminal) -> int:
    """Print the JSON Schema of the plan file."""
    terminal.data(schema())
    return 0
