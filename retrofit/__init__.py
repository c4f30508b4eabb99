"""What can be worked out of senders and gauges, and the program around it."""

__version__ = "0.1.0"
