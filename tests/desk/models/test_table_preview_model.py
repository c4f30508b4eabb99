"""The preview of a pasted table as a model."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester

from retrofit.desk.models.table_preview_model import (
    PROBLEM,
    VALUE,
    PreviewRole,
    PreviewRow,
    TablePreviewModel,
)

Mode = QAbstractItemModelTester.FailureReportingMode
HEADINGS = ("Temperature", "Measured there", "What is wrong")
some_rows = st.lists(
    st.builds(PreviewRow, st.integers(1, 99), st.sampled_from("ab"), st.just("1"), st.text("x")),
    max_size=6,
)


@given(before=some_rows, after=some_rows)
def test_that_any_table_becomes_any_other_without_a_reset(
    before: list[PreviewRow], after: list[PreviewRow]
) -> None:
    model = TablePreviewModel(HEADINGS)
    QAbstractItemModelTester(model, Mode.Warning, model)
    resets: list[str] = []
    model.modelReset.connect(lambda: resets.append("reset"))
    for rows in (before, after):
        model.show_rows(rows)
        assert list(model.rows) == rows
        shown = [model.index(i, VALUE).data() for i in range(model.rowCount())]
        assert shown == [row.value for row in rows]
    assert resets == []


def test_that_a_wrong_row_says_so_in_every_cell_for_who_cannot_see_the_mark() -> None:
    model = TablePreviewModel(HEADINGS)
    model.show_rows([PreviewRow(3, "40", "mouse", "Row 3: no number.")])
    index = model.index(0, VALUE)
    assert index.data(PreviewRole.WRONG) is True
    assert index.data(Qt.ItemDataRole.AccessibleTextRole) == "40. Row 3: no number."
    assert model.index(0, PROBLEM).data() == "Row 3: no number."
    assert model.headerData(0, Qt.Orientation.Vertical) == "3"
    assert model.headerData(0, Qt.Orientation.Horizontal) == "Temperature"
