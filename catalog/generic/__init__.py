"""The shipped catalogue: generic classes only, one readable file for each kind of part."""
