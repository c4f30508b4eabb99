"""Generic stock around a sender: adapters, seals, panel sizes, what their joints add."""
