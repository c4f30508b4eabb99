"""The printed sheet of a pairing: its content once, written as PDF, HTML and CSV."""
