"""Stores to test: a file, and a PostgreSQL server where RETROFIT_TEST_POSTGRES names one."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import pytest
from sqlalchemy import create_engine

from catalog.store.open import Opening, open_server, open_store
from catalog.store.store import Store
from catalog.store.tables import Base
from tests.catalog.store.parts_to_store import SMALL

SERVER = os.environ.get("RETROFIT_TEST_POSTGRES", "")
Open = Callable[[Opening], Store]


def empty_server() -> None:
    engine = create_engine(SERVER)
    Base.metadata.drop_all(engine)
    engine.dispose()


@pytest.fixture(params=["file", "server"] if SERVER else ["file"])
def reopen(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Open]:
    """Open the same catalogue again and again, in as many copies as wanted."""
    opened: list[Store] = []

    def again(opening: Opening) -> Store:
        if request.param == "server":
            store = open_server(SERVER, opening)
        else:
            store = open_store(tmp_path / "catalogue.sqlite", opening)
        opened.append(store)
        return store

    if request.param == "server":
        empty_server()
    yield again
    for store in opened:
        store.close()
    if request.param == "server":
        empty_server()


@pytest.fixture
def opening() -> Opening:
    """Ship two parts, wait for nobody, let each revision have its own minute."""
    minutes = count()
    return Opening(SMALL, 0.2, lambda: f"2026-11-25T02:{next(minutes):02}:00+00:00")


@pytest.fixture
def store(reopen: Open, opening: Opening) -> Store:
    return reopen(opening)
