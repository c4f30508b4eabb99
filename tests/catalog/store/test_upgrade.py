"""What a newer program does to an older store: parts, documents and tables."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.operations import Operations
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine, create_engine
from sqlalchemy.schema import SchemaItem

from catalog.codec import Part, content_hash
from catalog.errors import UserError
from catalog.store import documents, schema
from catalog.store.documents import migrated
from catalog.store.open import Opening, open_store, open_store_or_files
from catalog.store.shipment import generic_shipment
from catalog.store.store import Store
from catalog.store.tables import Base, VersionRow
from tests.catalog.store.conftest import SERVER, Open, empty_server
from tests.catalog.store.parts_to_store import SMALL, gauge, sender, sentences, shipment

OLD = Path(__file__).with_name("old") / "form_0000_0.sql"
NEW_SENDER = sender(notes="of the newer program")


def upgraded(reopen: Open, opening: Opening, *parts: Part) -> Store:
    return reopen(replace(opening, shipment=shipment(*parts)))


# --- the shipped catalogue ----------------------------------------------------------------------


def test_that_an_upgrade_gives_shipped_parts_new_revisions(reopen: Open, opening: Opening) -> None:
    reopen(opening).close()
    store = upgraded(reopen, opening, NEW_SENDER, gauge(), sender("level-new", empty=5))
    assert store.parts() == (NEW_SENDER, sender("level-new", empty=5), gauge())
    assert [(r.number, r.origin) for r in store.history("level-9-1")] == [
        (2, "shipped"),
        (1, "shipped"),
    ]
    assert len(store.history("gauge-level-9-1")) == 1
    assert not store.record("level-9-1").own


def test_that_an_upgrade_never_touches_what_the_user_made_or_edited(
    reopen: Open, opening: Opening
) -> None:
    store = reopen(opening)
    mine, edited = sender("level-mine", empty=7), sender(empty=10)
    before = (store.save(mine, "mine"), store.save(edited, "edited", revision=1))
    store = upgraded(reopen, opening, NEW_SENDER, gauge())
    assert (store.part("level-mine"), store.part("level-9-1")) == (mine, edited)
    assert store.record("level-mine") == before[0]
    assert store.record("level-9-1") == replace(before[1], available=3)
    assert store.part("level-9-1", 3) == NEW_SENDER


def test_that_what_is_available_stays_so_until_the_user_takes_it_over(
    reopen: Open, opening: Opening
) -> None:
    reopen(opening).save(sender(empty=10), "edited", revision=1)
    store = upgraded(reopen, opening, NEW_SENDER, gauge())
    assert store.save(sender(empty=11), "edited again", revision=2).available == 3
    taken = store.revert("level-9-1", 3, "take the shipped one")
    assert (taken.own, taken.available) == (False, None)
    newest = replace(NEW_SENDER, notes="newest")
    assert upgraded(reopen, opening, newest, gauge()).part("level-9-1") == newest


def test_that_a_shipped_part_with_the_key_of_the_user_s_own_is_only_recorded(
    reopen: Open, opening: Opening
) -> None:
    mine, theirs = sender("level-new", empty=7), sender("level-new", empty=5)
    reopen(opening).save(mine, "mine")
    store = upgraded(reopen, opening, sender(), theirs, gauge())
    assert store.part("level-new") == mine
    assert (store.record("level-new").own, store.record("level-new").available) == (True, 2)
    assert store.part("level-new", 2) == theirs


def test_that_a_part_that_is_no_longer_shipped_is_retired_and_can_come_back(
    reopen: Open, opening: Opening
) -> None:
    reopen(opening).close()
    store = upgraded(reopen, opening, gauge())
    assert store.record("level-9-1").retired
    assert store.part("level-9-1") == sender()
    store = upgraded(reopen, opening, gauge(), NEW_SENDER)
    assert not store.record("level-9-1").retired
    assert store.part("level-9-1") == NEW_SENDER


def test_that_what_the_user_retired_stays_so_whatever_is_shipped(
    reopen: Open, opening: Opening
) -> None:
    reopen(opening).retire("level-9-1")
    upgraded(reopen, opening, gauge()).close()
    store = upgraded(reopen, opening, NEW_SENDER, gauge())
    assert store.record("level-9-1").retired


def test_that_an_older_program_does_not_put_its_parts_back(reopen: Open, opening: Opening) -> None:
    reopen(opening).close()
    upgraded(reopen, opening, NEW_SENDER, gauge()).close()
    store = reopen(opening)
    assert store.part("level-9-1") == NEW_SENDER
    assert len(store.history("level-9-1")) == 2


def test_that_an_upgrade_that_fails_half_way_leaves_all_as_it_was(
    reopen: Open, opening: Opening
) -> None:
    reopen(opening).close()
    good = shipment(NEW_SENDER, sender("level-new"), gauge())

    library = good.load()
    broken = replace(good, load=lambda: replace(library, gauges=(None,)))  # type: ignore[arg-type]
    with pytest.raises(AttributeError):
        reopen(replace(opening, shipment=broken))
    assert reopen(opening).parts() == (sender(), gauge())


def test_that_the_fingerprint_of_the_shipped_catalogue_is_the_same_each_time() -> None:
    assert generic_shipment().fingerprint == generic_shipment().fingerprint


# --- documents and tables -----------------------------------------------------------------------


def old_store(path: Path) -> Path:
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(OLD.read_text(encoding="utf-8"))
    return path


def test_that_a_store_of_form_0_comes_up_with_all_that_the_user_had(tmp_path: Path) -> None:
    path = old_store(tmp_path / "catalogue.sqlite")
    with open_store(path, Opening(SMALL)) as store:
        mine, edited = store.record("level-mine"), store.record("level-9-1")
        assert (mine.own, mine.name, mine.ohms_low) == (True, "Level, 7 Ω", 7.0)
        assert mine.content_hash == content_hash(store.part("level-mine"))
        # The shipped revision was another one then, and the program of today ships its own.
        assert (edited.own, edited.ohms_low, edited.available) == (True, 10.0, 3)
        assert store.record("level-8-1").retired
        assert store.record("gauge-level-9-1").movement == "ratio"
        assert [r.key for r in store.search("mine").records] == ["level-mine"]
        assert store.history("level-9-1")[-1].made_at == "2026-01-02T03:04:05+00:00"


def test_that_a_copy_of_the_old_store_is_kept_and_only_once(tmp_path: Path) -> None:
    path = old_store(tmp_path / "catalogue.sqlite")
    for _ in range(2):
        open_store(path, Opening(SMALL)).close()
    (copy,) = tmp_path.glob("*.form-*")
    assert copy.name == "catalogue.sqlite.form-0000-0"
    with closing(sqlite3.connect(copy)) as kept, closing(sqlite3.connect(":memory:")) as old:
        old.executescript(OLD.read_text(encoding="utf-8"))
        assert list(kept.iterdump()) == list(old.iterdump())


def test_that_a_part_that_cannot_be_read_keeps_no_other_from_the_user(tmp_path: Path) -> None:
    path = old_store(tmp_path / "catalogue.sqlite")
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE revisions SET document = '{\"law\": 1}' WHERE number = 2")
        connection.commit()
    with open_store(path, Opening(SMALL)) as store:
        assert store.part("level-mine").key == "level-mine"
        assert store.part("level-9-1", 1).key == "level-9-1"
        with pytest.raises(UserError) as error:
            store.part("level-9-1")
        assert "level-9-1.name: this field is missing. Add it." in sentences(error.value)


def test_that_each_step_of_a_document_is_taken_once_and_in_order() -> None:
    steps = {n: lambda d, n=n: {**d, "steps": [*d.get("steps", []), n]} for n in range(4)}
    assert migrated({}, 1, {n: steps[n] for n in (1, 2, 3)}) == {"steps": [1, 2, 3]}
    assert sorted(documents.STEPS) == list(range(documents.DOCUMENTS))


def test_that_the_numbered_scripts_are_the_revisions_that_the_code_knows() -> None:
    scripts = ScriptDirectory(str(schema.MIGRATIONS))
    found = [script.revision for script in scripts.walk_revisions()]
    assert found == list(reversed(schema.REVISIONS))


def ours(item: SchemaItem | None, name: str | None, *_: object) -> bool:
    del item
    return name != VersionRow.__tablename__


@pytest.fixture(params=["memory", "server"] if SERVER else ["memory"])
def empty_engine(request: pytest.FixtureRequest) -> object:
    server = request.param == "server"
    if server:
        empty_server()
    engine = create_engine(SERVER if server else "sqlite://")
    yield engine
    engine.dispose()
    if server:
        empty_server()


def test_that_migrated_tables_are_those_of_a_new_store(empty_engine: Engine) -> None:
    with empty_engine.begin() as connection:
        scripts = ScriptDirectory(str(schema.MIGRATIONS))
        context = MigrationContext.configure(connection)
        with Operations.context(context):
            scripts.get_revision("0000").module.upgrade()
            context.stamp(scripts, "0000")
        schema.upgrade(connection, "0000")
        options = {"compare_type": True, "include_object": ours}
        context = MigrationContext.configure(connection, opts=options)
        assert compare_metadata(context, Base.metadata) == []
        assert context.get_current_revision() == schema.HEAD


def test_that_neither_start_imports_the_database_nor_a_current_store_alembic(
    tmp_path: Path,
) -> None:
    code = (
        "import sys, catalog.store, retrofit.__main__, retrofit.plan.assess\n"
        "print('sqlalchemy' in sys.modules)\n"
        "from pathlib import Path; from catalog.store.open import open_store\n"
        "for _ in range(2): open_store(Path(sys.argv[1])).close()\n"
        "print('alembic' in sys.modules)"
    )
    command = [sys.executable, "-c", code, str(tmp_path / "catalogue.sqlite")]
    run = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (run.returncode, run.stdout.strip(), run.stderr) == (0, "False\nFalse", "")


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE alembic_version SET version_num = '0999'",
        "UPDATE stamps SET number = 99 WHERE name = 'documents'",
    ],
    ids=["tables", "documents"],
)
def test_that_a_store_of_a_newer_program_is_left_untouched(tmp_path: Path, change: str) -> None:
    path = tmp_path / "catalogue.sqlite"
    open_store(path, Opening(SMALL)).close()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(change)
        connection.commit()
    before = path.read_bytes()
    with open_store_or_files(path, Opening(SMALL)).store as store:
        assert store.read_only
        assert store.parts() == (sender(), gauge())
    with pytest.raises(UserError) as error:
        open_store(path, Opening(SMALL))
    (sentence,) = sentences(error.value)
    assert "newer version" in sentence
    assert str(path) in sentence
    assert path.read_bytes() == before


def test_that_a_program_left_open_does_not_write_into_a_store_migrated_meanwhile(
    tmp_path: Path,
) -> None:
    path = tmp_path / "catalogue.sqlite"
    with open_store(path, Opening(SMALL)) as store:
        with closing(sqlite3.connect(path)) as newer:
            newer.execute("UPDATE alembic_version SET version_num = '0999'")
            newer.commit()
        with pytest.raises(UserError, match=r"store\.newer"):
            store.save(sender(empty=10), "too late", revision=1)
        assert store.part("level-9-1") == sender()
