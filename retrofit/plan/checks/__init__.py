"""The checks: one question each, with a verdict, the number, the limit and the reason."""
