"""Where the user's own files lie: a folder that the environment names, else the system's."""

from __future__ import annotations

import os
from pathlib import Path

from platformdirs import user_data_dir

from catalog.errors import user_error

_VARIABLE = "RETROFIT_HOME"
_CATALOGUE = "catalogue.sqlite"
_LEFT = "unsaved-parts.json"


def chosen_home() -> Path | None:
    """Return the folder that RETROFIT_HOME names, None where it names none.

    Raises
    ------
    UserError
        ``settings.home``, when RETROFIT_HOME is not an absolute path.
    """
    home = os.environ.get(_VARIABLE, "")
    if not home:
        return None
    if not Path(home).is_absolute():
        raise user_error("settings.home", path=home)
    return Path(home)


def catalogue_path() -> Path:
    """Path of the catalogue: in the folder that RETROFIT_HOME names, else the system's.

    Raises
    ------
    UserError
        ``settings.home``, when RETROFIT_HOME is not an absolute path.
    """
    home = chosen_home() or Path(user_data_dir("retrofit", appauthor=False))
    return home / _CATALOGUE


def left_for_later() -> Path:
    """Path of the file of parts that could not be saved when the window closed.

    Raises
    ------
    UserError
        As `catalogue_path`.
    """
    return catalogue_path().with_name(_LEFT)
