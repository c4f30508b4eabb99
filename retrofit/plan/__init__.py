"""The plan: what is wanted, what is paired, and all that follows from it."""
