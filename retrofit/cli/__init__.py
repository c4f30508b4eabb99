"""The command line: shows what the program works out, in a terminal or as data for scripts."""

from retrofit.cli.main import main

__all__ = ["main"]
