"""What is known of parts: quantities, curves, provenance and the generic catalogue.

Knows nothing of Qt, of circuits or of plans; ``retrofit`` builds on it.
"""
