"""What can become of a part that both sides have; light, for the options of the prompt need it."""

from typing import Literal

Choice = Literal["leave", "theirs", "mine-as-new", "theirs-as-new"]
"""What becomes of a part that both sides have with another content.

leave: the catalogue's part stays as it is, the file's is not taken.
theirs: the file's becomes the newest revision; the catalogue's stays in the part's history.
mine-as-new: the same, and the catalogue's is kept beside it as a new part with a key of its own.
theirs-as-new: the catalogue's part stays as it is; the file's is added under a new key."""
