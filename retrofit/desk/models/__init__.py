"""Models of the lists and tables in the window; plain values, nothing computed."""
