"""Tables of a bench: what is understood, and the row and the remedy for what is not."""

from __future__ import annotations

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.message import Message
from catalog.parts.fields import QuantityName
from catalog.quantities.kinds import Kind
from catalog.quantities.show import NumberStyle
from catalog.tables import MOST_ROWS, ReadTable, Wanted, read_table
from retrofit.messages import Renderer

WHERE = "bench.csv"


def table(text: str, quantity: QuantityName = "temperature", **more: object) -> ReadTable:
    wanted = Wanted(quantity, **more)  # type: ignore[arg-type]
    return read_table(text, wanted, WHERE)


def pairs(text: str, quantity: QuantityName = "temperature", **more: object) -> list[str]:
    found = table(text, quantity, **more)
    assert found.problems == ()
    return [f"{point.at} | {point.gives}" for point in found.points]


def problems(
    text: str, quantity: QuantityName = "temperature", **more: object
) -> list[tuple[str, str]]:
    """Key and sentence of each problem; every one names the table."""
    found = table(text, quantity, **more)
    assert found.points == ()
    out = []
    for outer in found.problems:
        assert outer.key == "file.at"
        inner = outer.value("problem")
        assert isinstance(inner, Message)
        said = Renderer(NumberStyle(nbsp=False)).sentence(outer)
        assert said.startswith(f"{WHERE}: ")
        deepest = inner.value("problem") if inner.key == "table.cell" else inner
        assert isinstance(deepest, Message)
        out.append((deepest.key, said))
    return out


EXPECTED = ["40 °C | 291.5 Ω", "80 °C | 70 Ω"]


@pytest.mark.parametrize(
    "text",
    [
        "40,291.5\n80,70\n",
        "40;291,5\n80;70\n",
        "40\t291,5\r\n80\t70\r\n",
        "\ufeff40,291.5\n80,70",
        "# measured on a cold morning\n40,291.5\n\n# and a warm one\n80,70\n",
        "temperature;resistance\n40;291.5\n80;70\n",
        "temperature [°C];resistance [ohm]\n40;291.5\n80;70\n",
        "°C,Ω\n40,291.5\n80,70\n",
        '"40","291.5"\n"80","70"\n',
        "40 °C, 291.5 Ω\n80 °C, 70 ohm\n",
        "40 °C;291,5R\n80;70\n",
        "40,291.5,\n80,70,\n",
    ],
)
def test_that_common_forms_of_one_table_are_read_alike(text: str) -> None:
    assert pairs(text) == EXPECTED


def test_that_a_heading_s_units_hold_for_bare_cells() -> None:
    text = "temperature °F; R (kΩ)\n100; 4,7\n150; 470 Ω\n"
    assert pairs(text) == ["100 °F | 4.7 kΩ", "150 °F | 470 Ω"]


def test_that_volts_and_milliamperes_are_told_by_their_units() -> None:
    assert pairs("bar;V\n0;0.5\n10;4.5", "pressure") == ["0 bar | 0.5 V", "10 bar | 4.5 V"]
    assert pairs("0 bar;4 mA\n10 bar;20 mA", "pressure") == ["0 bar | 4 mA", "10 bar | 20 mA"]


def test_that_per_cent_in_the_heading_settles_what_half_a_level_is() -> None:
    assert pairs("level %,ohm\n0,240\n0.5,239\n100,33", "level")[1] == "0.5 % | 239 Ω"
    assert problems("0,240\n0.5,103\n1,33", "level")[0][0] == "number.share"


def test_that_sorting_on_request_puts_the_rows_in_order() -> None:
    assert pairs("80,70\n40,291.5\n", sort=True) == EXPECTED


BAD: dict[str, tuple[str, str, str]] = {
    # name: (text, key, words that say where and what to do)
    "nothing": ("", "table.empty", "Give a row"),
    "a heading only": ("temperature;ohm\n", "table.empty", "Give a row"),
    "comments only": ("# a\n# b\n", "table.empty", "Give a row"),
    "one row": ("40,291\n", "table.short", "at least the two ends"),
    "one column": ("40\n80\n", "table.one_cell", "Row 1 (40)"),
    "decimal commas": ("40,0,291,5\n80,0,70\n", "table.commas", "semicolons"),
    "three columns": ("40;291;x\n80;70\n", "table.many_cells", "Row 1 has 3 cells"),
    "an empty cell": ("40;291\n;70\n", "table.empty_cell", "Row 2"),
    "a word": ("40;291\nhot;70\n", "number.none", "Row 2: 'hot'"),
    "NaN": ("40;291\n60;nan\n80;70\n", "number.none", "Row 2: 'nan'"),
    "NaN at the top": ("nan;nan\n40;291\n80;70\n", "number.none", "Row 1: 'nan'"),
    "infinity": ("40;inf\n80;70\n", "number.none", "Row 1: 'inf'"),
    "wrong kind": ("40 bar;291\n80 bar;70\n", "unit.wrong_kind", "Row 1: 'bar'"),
    "wrong kind on top": ("pressure [bar];ohm\n4;291\n8;70\n", "table.heading_unit", "Row 1"),
    "no unit on top": ("t [furlong];ohm\n4;291\n8;70\n", "table.heading_unit", "furlong"),
    "turned round": ("ohm;°C\n291;40\n70;80\n", "table.swapped", "Put the value first"),
    "contradiction": ("°F;ohm\n100;450\n80 °C;64\n", "table.contradicts", "Row 3: 80 °C"),
    "bare among °F": ("100 °F;450\n150;158\n", "table.some_bare", "Row 2: 150"),
    "bare among volts": ("40;2 V\n80;3\n", "table.some_bare", "Row 2: 3"),
    "ohms and volts": ("40;291 Ω\n80;2 V\n", "unit.wrong_kind", "Row 2"),
    "thousands": ("40;12,345\n80;1,234\n", "number.ambiguous_mark", "Row 1"),
    "unsorted": ("40;291\n80;70\n60;134\n", "table.unsorted", "Row 3 (60.0 °C)"),
    "upside down": ("80;70\n60;134\n40;291\n", "table.downwards", "sorted"),
    "same value": ("40;291\n40;280\n80;70\n", "table.same_value", "Rows 1 and 2"),
    "equal ohms": ("40;291\n60;134\n80;134\n", "table.flat", "Rows 2 and 3 both give 134 Ω"),
    "a turn": ("40;291\n60;134\n80;150\n", "table.turns", "split the table there"),
    "zero ohms": ("40;291\n80;0\n", "table.no_ohms", "Row 2 gives 0 Ω"),
    "negative ohms": ("40;291\n80;-3\n", "table.negative", "Row 2 gives −3 Ω"),
    "an open quote": ('"' + "4" * 200_000 + ";3\n4;5\n", "table.quotes", "Row 1"),
}


@pytest.mark.parametrize(("text", "key", "words"), BAD.values(), ids=BAD)
def test_that_a_bad_table_is_refused_with_row_and_remedy(text: str, key: str, words: str) -> None:
    first_key, said = problems(text)[0]
    assert first_key == key
    assert words in said


def test_that_rows_are_counted_as_a_spreadsheet_counts_them() -> None:
    text = "# bench\ntemperature;ohm\n\n40;291\n60;134\n\n80;150\n"
    assert "turns at row 7" in problems(text)[0][1]
    assert "from row 5 on" in problems(text)[0][1]


def test_that_zero_ohms_are_a_level_s_or_a_pressure_s_good_right() -> None:
    assert pairs("0;0\n50;48\n100;190", "level")[0] == "0 % | 0 Ω"


def test_that_all_problems_are_gathered_but_not_without_end() -> None:
    text = "40;291\n" + "".join(f"{x};oops\n" for x in range(41, 141))
    found = problems(text)
    assert len(found) == 13
    assert "88 more" in found[-1][1]


def test_that_a_wanted_signal_is_insisted_on() -> None:
    assert problems("0;1 V\n9;2 V", "pressure", signal=Kind.RESISTANCE)[0][0] == "unit.wrong_kind"


def test_that_the_reader_s_decimal_mark_settles_what_the_table_does_not() -> None:
    assert pairs("40;12,345\n80;1,234", decimal=",") == ["40 °C | 12.345 Ω", "80 °C | 1.234 Ω"]


def test_that_a_hundred_thousand_rows_are_refused_at_once() -> None:
    text = "".join(f"{i / 1000};{1e6 - i}\n" for i in range(100_000))
    begun = time.perf_counter()
    [(key, said)] = problems(text)
    assert time.perf_counter() - begun < 1.5
    assert key == "table.too_long"
    assert "100000 rows" in said
    assert str(MOST_ROWS) in said


@given(
    st.lists(st.integers(-40, 150), min_size=2, max_size=12, unique=True),
    st.sampled_from([",", ";", "\t"]),
    st.booleans(),
    st.sampled_from(["\n", "\r\n"]),
)
def test_that_every_plain_table_comes_back_number_for_number(
    values: list[int], delimiter: str, comma: bool, ending: str
) -> None:
    rows = [(x, 1000.25 - 2 * i) for i, x in enumerate(sorted(values))]
    mark = "," if comma and delimiter != "," else "."
    text = ending.join(f"{x}{delimiter}{y}".replace(".", mark) for x, y in rows)
    assert [(p.at.number, p.gives.number) for p in table(text).points] == rows


@given(st.text(max_size=200))
def test_that_no_text_whatever_makes_the_reader_fail(text: str) -> None:
    found = table(text)
    assert bool(found.points) != bool(found.problems)
