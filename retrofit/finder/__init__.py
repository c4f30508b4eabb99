"""Finding parts: which would read true, each with its best trim; which one lies on the bench."""
