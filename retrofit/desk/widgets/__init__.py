"""One widget a file; each gets what it works with in its constructor."""
