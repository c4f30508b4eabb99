"""Numeric characteristics of senders: SI floats and arrays only, no units, no parts."""
