"""The steps of the work, one a file."""
