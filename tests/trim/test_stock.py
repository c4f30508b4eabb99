"""The user's own resistors."""

from __future__ import annotations

import math

import pytest

from catalog.codec import decode, encode
from catalog.errors import UserError
from catalog.quantities.numerals import DecimalMark
from catalog.quantities.show import NumberStyle
from retrofit.messages import Renderer
from retrofit.trim.stock import Stock, StockResistor, typed_stock

DRAWER = {
    "resistors": [
        {"ohm": "47 Ω", "watts": "0.25 W", "tolerance": "5 %", "count": 2},
        {"ohm": "47 Ω", "watts": "5 W", "count": 1},
        {"ohm": "1 kΩ"},
        {"ohm": "470 Ω", "watts": "2 W"},
    ]
}


def drawer() -> Stock:
    return decode(DRAWER, Stock, "stock")


def test_that_a_stock_comes_back_as_it_was_written() -> None:
    assert encode(drawer(), Stock) == DRAWER


def test_that_values_are_sorted_and_each_comes_once() -> None:
    assert drawer().values(1.0, 1e6).tolist() == [47.0, 470.0, 1000.0]
    assert drawer().values(47.0, 470.0).tolist() == [47.0, 470.0]


def test_that_an_empty_stock_and_an_empty_range_say_what_to_do() -> None:
    renderer = Renderer(NumberStyle(nbsp=False), strict=True)
    with pytest.raises(UserError) as caught:
        Stock().values(1.0, 100.0)
    assert "holds no resistor" in renderer.error(caught.value)
    with pytest.raises(UserError) as caught:
        drawer().values(50.0, 400.0)
    assert renderer.error(caught.value) == (
        "The stock holds no resistor from 50 Ω to 400 Ω: it has 47 Ω to 1000 Ω. "
        "Widen the range, or choose from a series of preferred values."
    )


def test_that_power_is_looked_at_and_an_unknown_power_is_never_enough() -> None:
    stock = drawer()
    assert [one.rating for one in stock.holding(47.0)] == [0.25, 5.0]
    assert [one.rating for one in stock.holding(47.0, 0.5)] == [5.0]
    assert stock.holding(1000.0, 0.1) == ()
    assert len(stock.holding(1000.0)) == 1
    assert stock.holding(33.0) == ()


def test_that_the_nearest_is_by_ratio_and_may_take_the_watts() -> None:
    stock = drawer()
    found = stock.nearest(700.0)
    assert found is not None
    assert found.value == 1000.0  # 700/470 is more than 1000/700
    found = stock.nearest(700.0, watts=1.0)
    assert found is not None
    assert (found.value, found.rating) == (470.0, 2.0)
    assert stock.nearest(700.0, watts=50.0) is None
    assert Stock().nearest(700.0) is None


def test_that_a_stock_suffices_only_for_as_many_as_it_holds() -> None:
    stock = drawer()
    assert stock.suffices([47.0, 47.0, 47.0])
    assert not stock.suffices([47.0] * 4)
    assert stock.suffices([1000.0] * 9)  # nobody counted those
    assert not stock.suffices([33.0])


@pytest.mark.parametrize(
    ("raw", "key"),
    [
        ({"ohm": "0 Ω"}, "stock.no_ohms"),
        ({"ohm": "47 Ω", "watts": "0 W"}, "stock.no_watts"),
        ({"ohm": "47 Ω", "count": 0}, "stock.no_count"),
    ],
)
def test_that_what_cannot_be_in_a_stock_is_refused(raw: dict[str, object], key: str) -> None:
    with pytest.raises(UserError, match=key.replace(".", r"\.")):
        decode(raw, StockResistor, "stock")


def test_that_an_unknown_power_is_not_a_number() -> None:
    assert math.isnan(decode({"ohm": "47 Ω"}, StockResistor, "stock").rating)


@pytest.mark.parametrize(
    ("text", "decimal", "ohms"),
    [
        ("10,22,4k7", ".", [10.0, 22.0, 4700.0]),
        ("10; 2,2; 4,7 k", ",", [10.0, 2.2, 4700.0]),
        ("10 2,2 4k7", ",", [10.0, 2.2, 4700.0]),
        ("10\n22 Ω\n", ".", [10.0, 22.0]),
    ],
)
def test_that_resistors_typed_in_a_row_are_read_with_either_decimal_mark(
    text: str, decimal: DecimalMark, ohms: list[float]
) -> None:
    assert [one.value for one in typed_stock(text, decimal).resistors] == pytest.approx(ohms)


def test_that_each_piece_that_is_no_resistor_is_named() -> None:
    with pytest.raises(UserError) as error:
        typed_stock("10, nought, 22, -3")
    assert len(error.value.messages) == 2
