"""How far a reading may be off: worst-case corners, Monte Carlo, and what contributes."""
