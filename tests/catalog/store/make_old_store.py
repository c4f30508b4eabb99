"""Write the stored database of form 0: ``python -m tests.catalog.store.make_old_store``.

Run once for each old form and never again: what it wrote is what an old program left on disk.
It uses the migration scripts and plain dicts only, none of today's tables and parts.
"""

from __future__ import annotations

import json
import sqlite3
from pathlib import Path
from typing import Any

from alembic.operations import Operations
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine

from catalog.store.schema import MIGRATIONS

OLD = Path(__file__).with_name("old")


def law(empty: int) -> dict[str, Any]:
    points = [{"at": "0 %", "gives": f"{empty} Ω"}, {"at": "100 %", "gives": "1 Ω"}]
    return {"kind": "table", "points": points}


def sender(key: str, empty: int) -> dict[str, Any]:
    return {"key": key, "name": f"Level, {empty} Ω", "quantity": "level", "law": law(empty)}


GAUGE = {
    "key": "gauge-level-9-1",
    "name": "Level gauge",
    "quantity": "level",
    "movement": {"kind": "ratio"},
    "low": "0 %",
    "high": "100 %",
    "scaled_for": {"key": "level-9-1", "name": "Level", "law": law(9)},
}
# key, its revisions, whether own, shipped revision, edited from, retired by, place
PARTS: list[tuple[str, list[dict[str, Any]], bool, int | None, int | None, str | None, int]] = [
    ("level-9-1", [sender("level-9-1", 9), sender("level-9-1", 10)], True, 1, 1, None, 0),
    ("level-8-1", [sender("level-8-1", 8)], False, 1, None, "user", 1),
    ("level-mine", [sender("level-mine", 7)], True, None, None, None, 1_000_000),
    ("gauge-level-9-1", [GAUGE], False, 1, None, None, 1_000_000_000),
]


def fill(connection: sqlite3.Connection) -> None:
    for key, revisions, own, shipped, edited_from, retired_by, place in PARTS:
        part = revisions[-1]
        kind = "sender" if "law" in part else "gauge"
        row = [key, kind, part["name"], "level", key, None, None, None, None]
        row += [len(revisions), own, shipped, edited_from, retired_by, place]
        connection.execute(f"INSERT INTO parts VALUES ({', '.join('?' * 15)})", row)
        for number, document in enumerate(revisions, 1):
            origin = "shipped" if number == shipped else "user"
            text = json.dumps(document, ensure_ascii=False)
            connection.execute(
                "INSERT INTO revisions VALUES (?, ?, ?, ?, ?, ?, ?)",
                (key, number, text, "0" * 16, "2026-01-02T03:04:05+00:00", "", origin),
            )
    connection.execute("INSERT INTO stamps VALUES ('documents', 0), ('index', 0)")


def main() -> None:
    engine = create_engine("sqlite://")
    scripts = ScriptDirectory(str(MIGRATIONS))
    with engine.begin() as connection:
        context = MigrationContext.configure(connection)
        with Operations.context(context):
            scripts.get_revision("0000").module.upgrade()
            context.stamp(scripts, "0000")
        raw = connection.connection.driver_connection
        assert isinstance(raw, sqlite3.Connection)
        fill(raw)
        raw.commit()
        OLD.joinpath("form_0000_0.sql").write_text("\n".join(raw.iterdump()) + "\n", "utf-8")
    engine.dispose()


if __name__ == "__main__":
    main()
