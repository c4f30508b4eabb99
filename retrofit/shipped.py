"""Where the files that come with the program lie: texts, demo plans, fonts, templates.

The only module that knows the two places: ``retrofit/resources`` in an installed wheel, and the
``resources`` folder of a checkout, because an editable install leaves the wheel's mapping out.
"""

from __future__ import annotations

from pathlib import Path

from catalog.errors import BugError

_PACKAGE = Path(__file__).resolve().parent


def resources() -> Path:
    """Folder of the shipped files: the wheel's, else the checkout's.

    Raises
    ------
    BugError
        When neither is there; the text names both places. It is plain English because the
        translated sentences are among the files that are missing.
    """
    places = (_PACKAGE / "resources", _PACKAGE.parent / "resources")
    for place in places:
        if (place / "texts").is_dir():
            return place
    raise BugError(
        "The installation is incomplete: the files that come with the program are neither in "
        f"{places[0]} nor in {places[1]}. Install the program again."
    )


def path(*parts: str) -> Path:
    """Path of a shipped file or folder.

    Parameters
    ----------
    *parts : str
        Names below the resources folder.

    Raises
    ------
    BugError
        When the file is not there.

    Examples
    --------
    >>> path("texts", "english.json").name
    'english.json'
    """
    found = resources().joinpath(*parts)
    if not found.exists():
        raise BugError(
            f"The installation is incomplete: {found} is missing. Install the program again."
        )
    return found
