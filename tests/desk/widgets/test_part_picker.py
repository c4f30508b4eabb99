"""Choosing a part by keyboard and mouse, with ratings that come in aside."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from catalog.errors import user_error
from catalog.library import load_generic
from catalog.message import SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.desk.jobs import Executor, InlineExecutor
from retrofit.desk.models.part_list_model import PartRole, PartRow
from retrofit.desk.reader import Reader
from retrofit.desk.theme import Theme
from retrofit.desk.threads import ThreadExecutor
from retrofit.desk.widgets.part_list_delegate import curve_points, places
from retrofit.desk.widgets.part_picker import MOST_ROWS, SENDERS, PartPicker
from retrofit.plan.candidates import Candidate, rate
from retrofit.plan.checks.check import Verdict
from retrofit.plan.document import Plan
from retrofit.settings import Settings
from tests.desk.executors import HeldExecutor
from tests.desk.seeing import opened, plain

Key = Qt.Key
Make = Callable[..., PartPicker]

NAMES = {
    "a": "Falling 291 to 22",
    "b": "Falling 450 to 29",
    "c": "Rising 10 to 180",
    "d": "Falling 482 to 37",
}


def search(words: str) -> list[PartRow]:
    wanted = words.casefold().split()
    return [
        PartRow(key, name, "as it is")
        for key, name in NAMES.items()
        if all(word in name.casefold() for word in wanted)
    ]


def candidate(key: str, share: float, verdict: Verdict = Verdict.GOOD) -> Candidate:
    worst = SiValue(3.5 * share, Kind.TEMPERATURE_DIFFERENCE)
    says = message("candidate.good", worst=worst)
    return Candidate(key, verdict, worst, False, share, (0.0, 3.5 * share), 3.5, says)


@pytest.fixture
def make(qtbot: QtBot, reader: Reader, theme: Theme) -> Make:
    def made(
        executor: Executor | None = None,
        find: Callable[[str], Sequence[PartRow]] = search,
        reads: Reader = reader,
    ) -> PartPicker:
        picker = PartPicker(SENDERS, find, reads, theme, executor or InlineExecutor())
        QAbstractItemModelTester(
            picker.model, QAbstractItemModelTester.FailureReportingMode.Warning, picker
        )
        opened(qtbot, picker, 600, 400)
        picker.words.setFocus()
        return picker

    return made


def listed(picker: PartPicker) -> str:
    return "".join(row.key for row in picker.model.rows)


def test_that_typed_words_narrow_the_list_and_return_takes_the_only_part(
    qtbot: QtBot, make: Make
) -> None:
    picker = make()
    qtbot.keyClicks(picker.words, "rising 180")
    assert listed(picker) == "c"
    with qtbot.waitSignal(picker.picked) as picked:
        qtbot.keyClick(picker.words, Key.Key_Return)
    assert picked.args == ["c"]


def test_that_a_part_is_found_looked_at_and_taken_by_keyboard_alone(
    qtbot: QtBot, make: Make
) -> None:
    picker = make()
    looked: list[str] = []
    picker.looked_at.connect(looked.append)
    qtbot.keyClick(picker.words, Key.Key_Down)
    assert picker.list.hasFocus()
    qtbot.keyClick(picker.list, Key.Key_Down)
    assert looked == ["a", "b"]
    with qtbot.waitSignal(picker.picked) as picked:
        qtbot.keyClick(picker.list, Key.Key_Return)
    assert picked.args == ["b"]


def test_that_a_double_click_or_the_button_takes_the_part(qtbot: QtBot, make: Make) -> None:
    picker = make()
    assert not picker.take.isEnabled()
    viewport = picker.list.viewport()
    place = picker.list.visualRect(picker.model.index(2)).center()
    left = Qt.MouseButton.LeftButton
    qtbot.mouseClick(viewport, left, pos=place)
    assert picker.key == "c"
    with qtbot.waitSignal(picker.picked) as picked:
        qtbot.mouseDClick(viewport, left, pos=place)
    assert picked.args == ["c"]
    with qtbot.waitSignal(picker.picked) as picked:
        qtbot.mouseClick(picker.take, left)
    assert picked.args == ["c"]


def test_that_tab_goes_from_the_words_over_the_list_to_the_button(qtbot: QtBot, make: Make) -> None:
    picker = make()
    picker.look_at("a")
    qtbot.keyClick(picker.words, Key.Key_Tab)
    assert picker.list.hasFocus()
    qtbot.keyClick(picker.list, Key.Key_Tab)
    assert picker.take.hasFocus()


def test_that_a_selected_part_stays_selected_while_it_is_listed(qtbot: QtBot, make: Make) -> None:
    picker = make()
    picker.look_at("b")
    looked: list[str] = []
    picker.looked_at.connect(looked.append)
    qtbot.keyClicks(picker.words, "450")
    assert (picker.key, looked) == ("b", [])
    picker.words.selectAll()
    qtbot.keyClicks(picker.words, "180")
    assert (picker.key, looked) == ("", [""])
    assert not picker.take.isEnabled()


def test_that_an_empty_list_says_what_to_do_next(qtbot: QtBot, make: Make) -> None:
    picker = make()
    qtbot.keyClicks(picker.words, "brass")
    assert picker.empty.isVisible()
    assert "Use fewer or shorter words" in picker.empty.text()
    assert "brass" in picker.empty.text()
    bare = make(find=lambda _: [])
    assert "Paste the points" in bare.empty.text()


def test_that_a_search_that_fails_says_why_in_the_place_of_the_rows(make: Make) -> None:
    def broken(_: str) -> list[PartRow]:
        raise user_error("store.search_long", limit=200)

    picker = make(find=broken)
    assert picker.empty.isVisible()
    assert picker.empty.text().startswith("The text to search for is longer than 200 characters")


def test_that_no_row_moves_while_a_changed_plan_is_rated_again(make: Make) -> None:
    shares = {"a": 0.5, "b": 2.0, "c": 0.7, "d": 0.1}
    held = HeldExecutor()
    picker = make(held)
    picker.rate_with(lambda key: candidate(key, shares[key]))
    held.let_all_go()
    assert listed(picker) == "dacb"
    picker.rate_with(lambda key: candidate(key, 1.0 / shares[key]))
    assert listed(picker) == "dacb"
    # What was known before stays to be seen, told to be old, until the new is there.
    assert {(row.verdict, row.stale) for row in picker.model.rows} == {(Verdict.GOOD, True)}
    assert all("tried anew" in row.spoken for row in picker.model.rows)
    held.let_all_go()
    assert listed(picker) == "bcad"
    assert {(row.verdict, row.stale) for row in picker.model.rows} == {(Verdict.GOOD, False)}


def test_that_nothing_known_for_one_plan_is_shown_for_another(make: Make) -> None:
    held = HeldExecutor()
    picker = make(held)
    picker.rate_with(lambda key: candidate(key, 0.5))
    held.let_all_go()
    picker.begin_anew()
    picker.rate_with(lambda key: candidate(key, 0.7))
    assert {(row.verdict, row.stale) for row in picker.model.rows} == {(None, False)}


def test_that_a_list_too_long_to_read_says_how_to_shorten_it(make: Make) -> None:
    many = [PartRow(str(n), f"Part {n}", "") for n in range(MOST_ROWS + 7)]
    picker = make(find=lambda _: many)
    assert picker.model.rowCount() == MOST_ROWS
    assert picker.count.text() == f"the first {MOST_ROWS} of {MOST_ROWS + 7}: type more words"


def test_that_ratings_put_the_best_part_first_and_say_how_far_each_errs(make: Make) -> None:
    shares = {"a": 0.5, "b": 2.0, "c": math.nan, "d": 0.1}
    verdicts = {"a": Verdict.GOOD, "b": Verdict.STOP, "c": Verdict.STOP, "d": Verdict.GOOD}
    picker = make()
    picker.look_at("b")
    picker.rate_with(lambda key: candidate(key, shares[key], verdicts[key]))
    assert listed(picker) == "dabc"
    assert picker.key == "b"
    assert [plain(row.worst) for row in picker.model.rows] == [
        "0.4 °C",
        "1.8 °C",
        "7.0 °C",
        "unknown",
    ]
    spoken = plain(picker.model.index(0).data(Qt.ItemDataRole.AccessibleTextRole))
    assert spoken.startswith("good: Falling 482 to 37; fits on paper: the needle errs by 0.4 °C")


def test_that_a_part_that_cannot_be_put_in_keeps_its_own_line(make: Make) -> None:
    def rate_all_but_c(key: str) -> Candidate:
        if key == "c":
            raise user_error("plan.no_pairing")
        return candidate(key, 0.5)

    picker = make()
    picker.rate_with(rate_all_but_c)
    rated = {row.key: row.verdict for row in picker.model.rows}
    assert rated == {"a": Verdict.GOOD, "b": Verdict.GOOD, "c": None, "d": Verdict.GOOD}
    assert not picker.rating.running


def test_that_ratings_of_a_plan_that_has_changed_are_dropped(make: Make) -> None:
    held = HeldExecutor()
    picker = make(held)
    picker.rate_with(lambda key: candidate(key, 0.5))
    picker.rate_with(lambda key: candidate(key, 2.0, Verdict.STOP))
    assert len(held.jobs) == 2
    held.let_go(1)
    held.let_go(0)
    assert {row.verdict for row in picker.model.rows} == {Verdict.STOP}


def test_that_the_user_can_stop_the_rating_and_keeps_what_is_rated(
    qtbot: QtBot, make: Make
) -> None:
    many = [PartRow(str(n), f"Part {n}", "") for n in range(20)]
    held = HeldExecutor()
    picker = make(held, lambda _: many)
    picker.rate_with(lambda key: candidate(key, 0.5))
    held.let_go()
    assert picker.bar.isVisible()
    assert (picker.bar.value(), picker.bar.maximum()) == (8, 20)
    qtbot.mouseClick(picker.halt, Qt.MouseButton.LeftButton)
    held.let_all_go()
    assert not picker.bar.isVisible()
    assert sum(row.verdict is not None for row in picker.model.rows) == 8


def test_that_nothing_is_rated_while_nobody_looks(make: Make) -> None:
    held = HeldExecutor()
    picker = make(held)
    picker.hide()
    picker.rate_with(lambda key: candidate(key, 0.5))
    assert held.jobs == []
    picker.show()
    held.let_all_go()
    assert {row.verdict for row in picker.model.rows} == {Verdict.GOOD}


def test_that_other_units_and_a_decimal_comma_are_shown_at_once(make: Make, comma: Reader) -> None:
    picker = make(reads=comma)
    picker.rate_with(lambda key: candidate(key, 0.5))
    assert plain(picker.model.rows[0].worst) == "1,8 °C"
    comma.use(Settings(units={"temperature": "°F"}, decimal=","))
    assert plain(picker.model.rows[0].worst) == "3,2 °F"


def test_that_real_parts_are_rated_in_a_thread_with_what_the_plan_itself_says(
    qtbot: QtBot, make: Make, plan: Plan
) -> None:
    library = load_generic()

    def found(words: str) -> list[PartRow]:
        parts = library.search(words, quantity="temperature", kind="sender")
        return [PartRow(part.key, part.name, part.notes) for part in parts]

    executor = ThreadExecutor()
    picker = make(executor, found)
    picker.rate_with(lambda key: rate(plan, "A", library.part(key)))
    qtbot.waitUntil(lambda: all(r.verdict for r in picker.model.rows), timeout=20_000)
    executor.close()
    best = picker.model.rows[0]
    assert best.key == rate(plan, "A", library.part(best.key)).key
    assert best.errors == rate(plan, "A", library.part(best.key)).errors


@pytest.mark.parametrize("wanted", ["light", "dark"])
@pytest.mark.parametrize("width", [220, 420, 900])
def test_that_every_row_is_painted_at_any_width(
    make: Make, theme: Theme, wanted: str, width: int
) -> None:
    theme.use("dark" if wanted == "dark" else "light")
    picker = make(find=lambda _: [PartRow("x", "A name " * 40, "why " * 90, own=True)])
    picker.rate_with(lambda key: candidate(key, 9.0, Verdict.STOP))
    picker.look_at("x")
    picker.resize(width, 400)
    image = picker.list.viewport().grab().toImage()
    line = round(20 * image.devicePixelRatio())
    colours = {image.pixelColor(x, line).name() for x in range(image.width())}
    assert theme.palette.corridor in colours
    assert theme.palette.stop in colours


@given(
    width=st.floats(60.0, 2000.0),
    worst=st.just(0.0) | st.floats(1.0, 60.0),
    curve=st.booleans(),
)
def test_that_the_pieces_of_a_row_never_lie_on_each_other(
    width: float, worst: float, curve: bool
) -> None:
    row = QRectF(0.0, 0.0, width, 70.0)
    at = places(row, 18.0, min(worst, width / 3.0), curve=curve)
    boxes = [box for box in (at.mark, at.why, at.curve, at.worst) if box.width() > 0.0]
    for left, right in pairwise(boxes):
        assert left.right() <= right.left()
    for other in (at.mark, at.why, at.curve, at.worst):
        assert not at.name.intersects(other)
        assert not other.isValid() or row.contains(other)


def test_that_a_small_curve_is_cut_where_nothing_is_known_and_held_at_its_edges() -> None:
    box = QRectF(0.0, 0.0, 40.0, 20.0)
    pieces = curve_points([0.0, 1.0, math.nan, -50.0, math.inf], 2.0, box)
    assert pieces == [
        [QPointF(0.0, 10.0), QPointF(10.0, 5.0)],
        [QPointF(30.0, 20.0), QPointF(40.0, 0.0)],
    ]


def test_that_every_control_has_a_name_and_the_list_says_how_to_use_it(make: Make) -> None:
    picker = make()
    for widget in (picker.words, picker.list, picker.take, picker.halt, picker.bar):
        assert widget.accessibleName()
    assert "Return uses it" in picker.list.accessibleDescription()
    assert picker.model.index(0).data(PartRole.KEY) == "a"
