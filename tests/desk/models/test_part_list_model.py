"""The list of parts as a model: rows come, go and move, and stay the rows that they were."""

from __future__ import annotations

import random
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QItemSelectionModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from retrofit.desk.models.part_list_model import PartListModel, PartRole, PartRow
from retrofit.plan.checks.check import Verdict

Mode = QAbstractItemModelTester.FailureReportingMode


def row(key: str, detail: str = "as it is") -> PartRow:
    return PartRow(key, f"Part {key}", detail)


def rows(keys: str) -> list[PartRow]:
    return [row(key) for key in keys]


def keys(model: PartListModel) -> str:
    return "".join(row.key for row in model.rows)


lists = st.text(alphabet="abcdefgh", max_size=8).map(lambda text: "".join(dict.fromkeys(text)))


@given(before=lists, after=lists)
def test_that_any_list_becomes_any_other_and_known_rows_stay_themselves(
    before: str, after: str
) -> None:
    model = PartListModel()
    QAbstractItemModelTester(model, Mode.Warning, model)
    resets: list[str] = []
    model.modelReset.connect(lambda: resets.append("reset"))
    model.show_rows(rows(before))
    held = {key: QPersistentModelIndex(model.index(i)) for i, key in enumerate(before)}
    model.show_rows(rows(after))
    assert keys(model) == after
    assert resets == []
    for key, index in held.items():
        assert index.isValid() is (key in after)
        if key in after:
            assert index.data(PartRole.KEY) == key


def test_that_a_selection_stays_when_ratings_arrive_and_the_best_comes_first(qtbot: QtBot) -> None:
    del qtbot
    model = PartListModel()
    QAbstractItemModelTester(model, Mode.Warning, model)
    model.show_rows(rows("abcd"))
    selection = QItemSelectionModel(model)
    flag = QItemSelectionModel.SelectionFlag.ClearAndSelect
    selection.setCurrentIndex(model.index(1), flag)
    model.update_rows([replace(row(key), verdict=Verdict.GOOD, worst="0.4 °C") for key in "bd"])
    shuffled = list(model.rows)
    random.shuffle(shuffled)
    model.show_rows(shuffled)
    assert selection.currentIndex().data(PartRole.KEY) == "b"
    assert [index.data(PartRole.KEY) for index in selection.selectedIndexes()] == ["b"]
    assert selection.currentIndex().data(PartRole.VERDICT) == "good"


def test_that_only_the_rows_that_changed_are_told(qtbot: QtBot) -> None:
    del qtbot
    model = PartListModel()
    model.show_rows(rows("abcd"))
    told: list[int] = []

    def hear(first: QModelIndex, last: QModelIndex) -> None:
        told.extend(range(first.row(), last.row() + 1))

    model.dataChanged.connect(hear)
    model.update_rows([row("a"), row("c", "another reason"), row("x")])
    assert told == [2]


def test_that_every_role_gives_a_plain_value(qtbot: QtBot) -> None:
    del qtbot
    model = PartListModel()
    model.show_rows(
        [replace(row("a"), verdict=Verdict.STOP, errors=(0.5, -1.0), own=True, allowed=3.5)]
    )
    index = model.index(0)
    roles = [*PartRole, Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole]
    values = {role: index.data(role) for role in roles}
    assert {type(value) for value in values.values()} <= {str, float, bool, tuple, list}
    assert list(values[PartRole.ERRORS]) == [0.5, -1.0]
    assert model.index(7).data() is None
