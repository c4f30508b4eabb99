"""What the user prefers, whatever plan is open: units, decimal mark, language.

One versioned JSON file, owned by this module alone. Window geometry is not here, and no
password ever is. Nothing a user set is lost: a damaged file is copied aside before anything
replaces it, and a file of a newer program is neither read nor overwritten.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType

from platformdirs import user_config_dir

from catalog.atomic import save_text
from catalog.errors import user_error
from catalog.home import chosen_home
from catalog.message import Message, message
from catalog.quantities.kinds import UNITS, Kind, unit_named
from catalog.quantities.numerals import DecimalMark
from catalog.quantities.show import NumberStyle

FORMAT = "retrofit-settings"
VERSION = 1
_LARGEST = 1_000_000  # bytes; a settings file has a few hundred


@dataclass(frozen=True)
class Settings:
    """The user's preferences.

    Attributes
    ----------
    units : mapping of str to str
        Kind of quantity (``Kind.value``) to the symbol of the unit to show it in; kinds that
        are not named are shown in their usual unit.
    decimal : str
        Decimal mark of shown numbers, ``"."`` or ``","``; both can always be typed.
    language : str
        Name of a text file in ``resources/texts``, without its ending.
    theme : str
        "light", "dark", or "system" for what the desktop around the window uses.
    """

    units: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    decimal: DecimalMark = "."
    language: str = "english"
    theme: str = "system"

    def number_style(self) -> NumberStyle:
        """Return how numbers are shown under these settings."""
        kinds = {kind.value: kind for kind in Kind}
        units = {kinds[name]: symbol for name, symbol in self.units.items()}
        return NumberStyle(decimal=self.decimal, units=units)


@dataclass(frozen=True)
class LoadedSettings:
    """Settings as read, and what the user has to be told about the file.

    Attributes
    ----------
    settings : Settings
        What could be read; the default where something could not.
    messages : tuple of Message
        Empty when the file was sound or there was none.
    """

    settings: Settings
    messages: tuple[Message, ...] = ()


def settings_path() -> Path:
    """Path of the settings file: in the folder that RETROFIT_HOME names, else the system's.

    Raises
    ------
    UserError
        ``settings.home``, when RETROFIT_HOME is not an absolute path.
    """
    home = chosen_home() or Path(user_config_dir("retrofit", appauthor=False))
    return home / "settings.json"


def load_settings(path: Path | None = None) -> LoadedSettings:
    """Read the settings; defaults where there is no file.

    Parameters
    ----------
    path : Path, optional
        The settings file; the user's own when left out.

    Returns
    -------
    LoadedSettings
        With one message for a damaged file, or for each setting that could not be used; a
        copy of such a file is then kept beside it, ending in ``.damaged``.

    Raises
    ------
    UserError
        ``settings.newer`` when a newer program wrote the file, ``file.unreadable`` when it
        cannot be read; the file is untouched either way.
    """
    path = path or settings_path()
    document = _read(path)
    if document is None:
        return LoadedSettings(Settings())
    if isinstance(document, Message):
        return LoadedSettings(Settings(), (document,))
    _refuse_newer(document, path)
    settings, problems = _settings_from(document)
    if problems:
        problems.append(message("settings.kept", copy=str(_keep_aside(path))))
    return LoadedSettings(settings, tuple(problems))


def save_settings(settings: Settings, path: Path | None = None) -> None:
    """Write the settings, whole or not at all; settings of no concern here are kept.

    Parameters
    ----------
    settings : Settings
        What to write.
    path : Path, optional
        The settings file; the user's own when left out.

    Raises
    ------
    UserError
        ``settings.newer`` when a newer program wrote the file that is there,
        ``file.unreadable`` or ``file.unwritable``; the old file is untouched.
    """
    path = path or settings_path()
    old = _read(path)
    # Entries that this program does not know belong to somebody; only its own are replaced.
    document: dict[str, object] = dict(old) if isinstance(old, dict) else {}
    _refuse_newer(document, path)
    if _settings_from(document)[1]:
        _keep_aside(path)
    document |= {
        "format": FORMAT,
        "version": VERSION,
        "units": dict(sorted(settings.units.items())),
        "decimal": settings.decimal,
        "language": settings.language,
        "theme": settings.theme,
    }
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        reason = problem.strerror or type(problem).__name__
        raise user_error("file.unwritable", path=str(path), reason=reason) from problem
    save_text(path, json.dumps(document, indent=1, ensure_ascii=False) + "\n")


def _read(path: Path) -> dict[str, object] | Message | None:
    """Read the file's JSON object: None without a file, a message (and a copy) if damaged."""
    try:
        with path.open("rb") as file:
            raw = file.read(_LARGEST + 1)
    except FileNotFoundError:
        return None
    except OSError as problem:
        reason = problem.strerror or type(problem).__name__
        raise user_error("file.unreadable", path=str(path), reason=reason) from problem
    try:
        document = json.loads(raw.decode("utf-8")) if len(raw) <= _LARGEST else None
    except (ValueError, RecursionError):
        document = None
    if (
        isinstance(document, dict)
        and document.get("format") == FORMAT
        and isinstance(document.get("version"), int)
    ):
        return document
    return message("settings.damaged", path=str(path), copy=str(_keep_aside(path)))


def _refuse_newer(document: Mapping[str, object], path: Path) -> None:
    version = document.get("version")
    if isinstance(version, int) and version > VERSION:
        raise user_error("settings.newer", path=str(path), version=version, known=VERSION)


def _settings_from(document: Mapping[str, object]) -> tuple[Settings, list[Message]]:
    """Take over every setting that can be used, with a message for each that can't."""
    problems: list[Message] = []

    def text(name: str, default: str, allowed: tuple[str, ...] = ()) -> str:
        found = document.get(name, default)
        if isinstance(found, str) and found and (not allowed or found in allowed):
            return found
        problems.append(message("settings.value", name=name, found=str(found), default=default))
        return default

    decimal: DecimalMark = "," if text("decimal", ".", (".", ",")) == "," else "."
    language = text("language", Settings.language)
    theme = text("theme", Settings.theme, ("light", "dark", "system"))
    units: dict[str, str] = {}
    found = document.get("units", {})
    for name, symbol in (found if isinstance(found, dict) else {"units": found}).items():
        kind = next((kind for kind in Kind if kind.value == name), None)
        unit = unit_named(kind, symbol) if kind and isinstance(symbol, str) else None
        if unit is not None:
            units[name] = unit.symbol
            continue
        if kind is None:
            problems.append(message("settings.kind", name=name, found=str(symbol)))
            continue
        default = UNITS[kind][0].symbol
        problems.append(message("settings.unit", name=name, found=str(symbol), default=default))
    return Settings(MappingProxyType(units), decimal, language, theme), problems


def _keep_aside(path: Path) -> Path:
    """Copy a file that could not be used beside itself, once for each content; its new name."""
    content = path.read_bytes()
    number = 1
    while True:
        copy = path.with_name(f"{path.name}.damaged" + (f"-{number}" if number > 1 else ""))
        if not copy.exists():
            break
        if copy.stat().st_size == len(content) and copy.read_bytes() == content:
            return copy
        number += 1
    try:
        shutil.copyfile(path, copy)
    except OSError as problem:
        reason = problem.strerror or type(problem).__name__
        raise user_error("file.unwritable", path=str(copy), reason=reason) from problem
    return copy
