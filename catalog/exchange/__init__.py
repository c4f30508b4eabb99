"""Parts on their way in and out: one JSON file with all, or a CSV file for each kind.

What comes in is first only read and compared (`catalog.exchange.files`, `compare`); taking it
over is a step of its own, all or nothing (`taking`). Knows the store only by what it asks of it,
and no database, no window, no sentence.
"""
