"""The pieces of the catalogue page: its list, its forms, its charts and what comes in and out."""
