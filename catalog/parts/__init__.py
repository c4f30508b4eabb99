"""Parts: senders and gauges as frozen dataclasses, generic classes or the user's own."""
