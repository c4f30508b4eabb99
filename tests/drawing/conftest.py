"""The contact sheet is a command that needs Qt, no test."""

collect_ignore = ["contact_sheet.py"]
