"""Trims: the resistors between sender and gauge, the best there are or proof that none can."""
