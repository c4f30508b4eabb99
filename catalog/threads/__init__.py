"""Screw threads of senders and ports: the standards' dimensions, limits and designations."""
