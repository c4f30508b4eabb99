"""Key presses in the search over so many parts, and the finder's first rows; figures as JSON.

python -m tests.benchmarks.search_many COUNT FOLDER, where FOLDER is an empty one for the catalogue.
"""

from __future__ import annotations

import json
import os
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from sqlalchemy import insert

from catalog.codec import content_hash
from catalog.home import catalogue_path
from catalog.library import load_generic
from catalog.parts.sender import Sender
from catalog.store.connect import WRITES, file_engine
from catalog.store.index import fill
from catalog.store.open import open_store
from catalog.store.revisions import USER_PLACES, document_of
from catalog.store.tables import PartRow, RevisionRow
from retrofit.desk.app import make_application
from retrofit.desk.reader import Reader
from retrofit.desk.session import Session
from retrofit.desk.steps.sender import SenderStep
from retrofit.desk.stock import MOST, Stock
from retrofit.desk.theme import Theme
from retrofit.desk.threads import ThreadExecutor
from retrofit.desk.workplace import Workplace
from retrofit.plan.file import read_plan
from retrofit.settings import Settings
from retrofit.shipped import path as shipped
from tests.benchmarks.many_parts import many_senders
from tests.desk.executors import HeldExecutor

_DIFFERENT = 2_000
"""Senders that are made; the catalogue holds them again and again under other names."""

ROUNDS = 3
"""Each anew: the clock of a busy machine only ever adds, so the fastest of them counts."""

TYPED = ("full made", "empty to 1", "made-00", "nothing like it")
"""Words that most parts hold, many, some, none."""


def fill_catalogue(count: int) -> None:
    """Put so many senders of the user's own into the catalogue, past the store's one by one."""
    open_store().close()
    engine = file_engine(catalogue_path()).execution_options(**{WRITES: True})
    columns = [column.name for column in PartRow.__table__.columns]
    with engine.begin() as connection:
        for number, sender, document, digest in _copies(count):
            row = PartRow(key=sender.key, place=USER_PLACES + number, revision=1, own=True)
            fill(row, sender)
            connection.execute(insert(PartRow), {name: getattr(row, name) for name in columns})
            connection.execute(
                insert(RevisionRow),
                {
                    "key": sender.key,
                    "number": 1,
                    "document": document,
                    "content_hash": digest,
                    "made_at": "2031-05-24T00:00:00+00:00",
                    "label": "",
                    "origin": "user",
                },
            )
    engine.dispose()


def _copies(count: int) -> Iterator[tuple[int, Sender, dict[str, object], str]]:
    made = many_senders(min(count, _DIFFERENT))
    documents = [document_of(one) for one in made]
    digests = [content_hash(one) for one in made]
    for number in range(count):
        which = number % len(made)
        key, name = f"made-{number:06d}", f"{made[which].name}, made {number}"
        document = {**documents[which], "key": key, "name": name}
        yield number, replace(made[which], key=key, name=name), document, digests[which]


def measured(count: int) -> dict[str, float]:
    """Seconds: the slowest and the middle key press, reading every part, the first rows."""
    make_application(["retrofit"])
    load_generic()
    fill_catalogue(count)
    figures = dict[str, float]()
    stock = Stock()
    with open_store() as store:
        stock.open(_AtOnce())
        figures.update(_keys(stock))
        begun = time.perf_counter()
        store.search("", quantity="level", kind="sender", limit=MOST)
        store.parts(quantity="level", kind="sender")
        figures["every part"] = time.perf_counter() - begun
    figures["first rows"] = min(_first_rows(stock) for _ in range(ROUNDS))
    stock.close()
    return figures


class _AtOnce(HeldExecutor):
    """Runs a job when it comes: opening the catalogue is not measured."""

    def run(self, job) -> None:  # type: ignore[no-untyped-def]
        super().run(job)
        self.let_all_go()


def _step(stock: Stock, executor: HeldExecutor | ThreadExecutor) -> SenderStep:
    plan = read_plan(shipped("demo", "vineyard-tractor.json"))
    place = Workplace(Session(plan), Reader(Settings()), stock, executor)
    step = SenderStep(place, Theme("light"))
    step.resize(820, 860)
    step.show()
    step.activateWindow()
    _settle()
    return step


def _settle() -> None:
    for _ in range(6):
        QApplication.processEvents()


def _keys(stock: Stock) -> dict[str, float]:
    """Seconds of the slowest and the middle key, each key the fastest of some rounds."""
    ordered = sorted(
        min(rounds) for rounds in zip(*(_typed(stock) for _ in range(ROUNDS)), strict=True)
    )
    return {"slowest key": ordered[-1], "middle key": ordered[len(ordered) // 2]}


def _typed(stock: Stock) -> list[float]:
    """Seconds from each key press until its rows are painted; what rates them runs aside."""
    step = _step(stock, HeldExecutor())
    step.picker.words.setFocus()
    taken = []
    for words in TYPED:
        for letter in words:
            begun = time.perf_counter()
            QTest.keyClicks(step.picker.words, letter)
            step.picker.list.viewport().repaint()
            taken.append(time.perf_counter() - begun)
        QTest.keyClick(step.picker.words, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
        QTest.keyClick(step.picker.words, Qt.Key.Key_Delete)
    step.close()
    step.deleteLater()
    _settle()
    return taken


def _first_rows(stock: Stock) -> float:
    """Seconds from the click that asks for trims until rows are listed."""
    executor = ThreadExecutor()
    step = _step(stock, executor)
    begun = time.perf_counter()
    QTest.mouseClick(step.finding.most.buttons["2"], Qt.MouseButton.LeftButton)
    while not step.finding.finder.rows:
        QApplication.processEvents()
    step.finding.finder.list.viewport().repaint()
    taken = time.perf_counter() - begun
    step.finding.finder.search.stop()
    executor.close()
    step.close()
    step.deleteLater()
    _settle()
    return taken


if __name__ == "__main__":
    os.environ["RETROFIT_HOME"] = str(Path(sys.argv[2]).absolute())
    print(json.dumps(measured(int(sys.argv[1]))))
