"""The plan file: JSON that holds all it needs, saved whole or not at all.

A file of a newer program is neither read nor overwritten. One of an older version is read
through the numbered steps of ``retrofit.plan.migrate`` and kept beside the new one when the
plan is saved.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from catalog.atomic import save_text
from catalog.codec import decode, encode
from catalog.errors import UserError, user_error
from catalog.json_file import parse_json, read_text
from catalog.quantities.numerals import shown
from retrofit.plan.document import Plan
from retrofit.plan.migrate import MIGRATIONS, Migrations

FORMAT = "retrofit-plan"
_FIELDS = {"format", "version", "plan"}
_LONE = re.compile("[\ud800-\udfff]")


def read_plan(path: Path, migrations: Migrations = MIGRATIONS) -> Plan:
    """Read a plan file.

    Parameters
    ----------
    path : Path
        The file; it is never written to.
    migrations : Migrations
        The versions that can be read; the program's own but in tests.

    Returns
    -------
    Plan
        What the file holds, exactly.

    Raises
    ------
    UserError
        With a message for each problem, naming the file and the field.
    """
    return plan_from_text(read_text(path), str(path), migrations)


def plan_from_text(text: str, where: str, migrations: Migrations = MIGRATIONS) -> Plan:
    """Return the plan that the text of a plan file holds; see `read_plan`."""
    document = parse_json(text, where)
    version = _version(document, where, migrations)
    extra = sorted(set(document) - _FIELDS)
    if extra:
        raise user_error("file.extra", path=where, names=", ".join(map(shown, extra)))
    plan = document.get("plan")
    if not isinstance(plan, dict):
        raise user_error("plan_file.no_plan", path=where)
    if version < migrations.version:
        plan = _migrated(plan, version, where, migrations)
    return decode(plan, Plan, where)


def plan_text(plan: Plan, version: int = MIGRATIONS.version) -> str:
    """Return the text of a plan's file: the same text for the same plan, on every machine."""
    document = {"format": FORMAT, "version": version, "plan": encode(plan)}
    text = json.dumps(document, indent=1, ensure_ascii=False, allow_nan=False)
    # Half of a surrogate pair, which JSON can spell and UTF-8 cannot hold, stays spelled out.
    return _LONE.sub(lambda half: f"\\u{ord(half[0]):04x}", text) + "\n"


def write_plan(path: Path, plan: Plan, migrations: Migrations = MIGRATIONS) -> None:
    """Write a plan file, whole or not at all.

    Parameters
    ----------
    path : Path
        The file. One of an older version that is there is kept as ``NAME.version-N.bak``.
    plan : Plan
        What to write.
    migrations : Migrations
        The versions that are known; the program's own but in tests.

    Raises
    ------
    UserError
        ``plan_file.newer`` where a newer program wrote the file that is there,
        ``file.unwritable``, ``file.folder``; the old file is untouched.
    """
    old = _version_there(path, migrations)
    if old is not None and old < migrations.version:
        _keep_aside(path, old)
    save_text(path, plan_text(plan, migrations.version))


def _version(document: Any, where: str, migrations: Migrations) -> int:
    """Return the version of a document, which is a plan that can be read."""
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise user_error("plan_file.foreign", path=where, format=FORMAT)
    version = document.get("version")
    if type(version) is not int:
        raise user_error("plan_file.no_version", path=where)
    if version > migrations.version:
        raise user_error("plan_file.newer", path=where, version=version, known=migrations.version)
    if version < migrations.oldest:
        raise user_error("plan_file.too_old", path=where, version=version, known=migrations.oldest)
    return version


def _migrated(
    plan: dict[str, Any], version: int, where: str, migrations: Migrations
) -> dict[str, Any]:
    try:
        return migrations.migrated(plan, version)
    except (KeyError, TypeError, ValueError, AttributeError, IndexError) as problem:
        raise user_error(
            "plan_file.old_form", path=where, version=version, detail=shown(str(problem))
        ) from problem


def _version_there(path: Path, migrations: Migrations) -> int | None:
    """Return the version of the plan that is in a file; None where there is no plan in it."""
    try:
        document = parse_json(read_text(path), str(path))
    except UserError as error:
        if error.messages[0].key == "file.folder":
            raise
        return None
    if not isinstance(document, dict) or type(document.get("version")) is not int:
        return None
    try:
        return _version(document, str(path), migrations)
    except UserError as error:
        if error.messages[0].key == "plan_file.newer":
            raise
        return None


def _keep_aside(path: Path, version: int) -> Path:
    """Copy a file of an older version beside itself, once for each content; its new name."""
    content = path.read_bytes()
    number = 1
    while True:
        again = f"-{number}" if number > 1 else ""
        copy = path.with_name(f"{path.name}.version-{version}{again}.bak")
        try:
            with copy.open("xb") as file:
                file.write(content)
                return copy
        except FileExistsError:
            if copy.read_bytes() == content:
                return copy
            number += 1
        except OSError as problem:
            reason = problem.strerror or type(problem).__name__
            raise user_error("file.unwritable", path=str(copy), reason=reason) from problem
