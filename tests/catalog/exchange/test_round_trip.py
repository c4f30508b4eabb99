"""What is written comes back as it was, or is refused: JSON and CSV."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.codec import LAW_TAGS, MOVEMENT_TAGS, Part, content_hash
from catalog.errors import UserError
from catalog.exchange.columns import gauge_columns, point_columns, sender_columns
from catalog.exchange.csv_form import csv_texts
from catalog.exchange.files import Form, export_texts, read_files, write_files
from catalog.exchange.formulas import neutralised, restored
from catalog.exchange.json_form import json_text
from catalog.parts.gauge import Gauge, SourceTest, TerminalReadings
from catalog.parts.laws import TableLaw
from catalog.parts.sender import Sender
from catalog.provenance import Basis, BasisKind
from catalog.quantities.amounts import Amount
from catalog.quantities.numerals import DecimalMark
from tests.catalog.exchange.written_parts import SHIPPED, any_parts, read, told

MARKS = get_args(DecimalMark)
FORMULA_SIGNS = "=+-@\t\r"  # common practice, no source: what spreadsheets begin a formula with


def hashes(parts: list[Part]) -> dict[str, str]:
    return {part.key: content_hash(part) for part in parts}


def test_that_every_shipped_class_comes_back_exactly_from_json() -> None:
    back, problems = read({"all.json": json_text(SHIPPED)})
    assert problems == []
    assert tuple(back) == SHIPPED
    assert hashes(back) == {part.key: content_hash(part) for part in SHIPPED}


@pytest.mark.parametrize("decimal", MARKS)
@pytest.mark.parametrize("reader", MARKS)
def test_that_every_shipped_class_comes_back_exactly_from_csv(
    decimal: DecimalMark, reader: DecimalMark
) -> None:
    back, problems = read(csv_texts(SHIPPED, decimal), reader)
    assert problems == []
    assert tuple(back) == SHIPPED
    assert hashes(back) == {part.key: content_hash(part) for part in SHIPPED}


def test_that_shipped_parts_show_every_kind_of_law_and_the_movements_there_are() -> None:
    laws = {type(part.law) for part in SHIPPED if isinstance(part, Sender)}
    assert len(LAW_TAGS.keys() - laws) <= 1  # "unknown" is what a user begins with
    movements = {type(part.movement) for part in SHIPPED if isinstance(part, Gauge)}
    assert len(MOVEMENT_TAGS.keys() - movements) <= 2


@given(any_parts(), st.sampled_from(MARKS), st.sampled_from(MARKS))
def test_that_any_part_comes_back_exactly_or_is_never_written(
    part: Part | None, decimal: DecimalMark, reader: DecimalMark
) -> None:
    if part is None or len(part.key) > 200:
        return
    for texts in (csv_texts([part], decimal), {"it.json": json_text([part])}):
        back, problems = read(texts, reader)
        assert problems == []
        assert back == [part]
        assert content_hash(back[0]) == content_hash(part)


@given(any_parts())
def test_that_no_text_cell_begins_as_a_formula_does(part: Part | None) -> None:
    if part is None:
        return
    for text in csv_texts([part]).values():
        for row in csv.reader(io.StringIO(text, newline="")):
            for cell in row:
                if cell[:1] in FORMULA_SIGNS and cell:
                    float(cell)  # a number and nothing else


@given(st.text("='+-@\t\r\n;,a ", max_size=12))
def test_that_neutralising_is_undone_exactly(text: str) -> None:
    made = neutralised(text)
    assert restored(made) == text
    assert made[:1] not in tuple(FORMULA_SIGNS)
    for separator in ",;\t":
        assert not any(piece.startswith(("=", "+", "-", "@")) for piece in made.split(separator))


def test_that_numbers_stay_numbers_and_a_vacuum_keeps_its_sign() -> None:
    vacuum = "key,name,quantity,law.kind\nv,V,pressure,table\n"
    points = "part,at,at.unit,gives,gives.unit\nv,-18,inHg,10,ohm\nv,0,inHg,180,ohm\n"
    parts, problems = read({"senders.csv": vacuum, "points.csv": points})
    assert problems == []
    text = csv_texts(parts)["points.csv"]
    assert "v,law.points,-18,inHg,10,Ω" in text


def test_that_a_file_can_be_read_by_any_other_reader_of_csv() -> None:
    """Quotation marks doubled, cells with separators quoted: RFC 4180, sections 2.5 to 2.7."""
    part = replace(SHIPPED[0], notes='He said "240", then\nwent on; =1')
    (row,) = csv.DictReader(io.StringIO(csv_texts([part])["senders.csv"], newline=""))
    assert row["notes"] == 'He said "240", then\nwent on; =1'
    assert row["name"] == part.name


def test_that_what_the_user_measured_at_the_terminals_is_held_too() -> None:
    ohms = Amount(440, "Ω"), Amount(260, "Ω"), Amount(180, "Ω")
    share, volts = Amount(1, "%"), Amount(12.6, "V")
    gauge = next(part for part in SHIPPED if isinstance(part, Gauge))
    measured = replace(
        gauge,
        key="mine",
        terminals=TerminalReadings(*ohms, share),
        source=SourceTest(ohms[0], volts, ohms[1], volts, volts, share),
        stop_low=gauge.low,
        basis=Basis(BasisKind.MEASURED, "bench, meter leads zeroed: 0.2 Ω"),
    )
    assert read(csv_texts([measured])) == ([measured], [])


def test_that_every_field_of_a_part_has_its_column() -> None:
    """The columns are read off the dataclasses: no field may be of a form that no cell holds."""
    for record, columns in ((Sender, sender_columns()), (Gauge, gauge_columns())):
        tops = {name.split(".")[0] for name in (*columns.cells, *columns.lists)}
        assert tops == set(record.__dataclass_fields__)
    assert {"part", "curve", "at", "gives", "needs"} <= set(point_columns())


@pytest.mark.parametrize("form", get_args(Form))
def test_that_what_a_form_cannot_hold_is_refused_with_the_part_s_name(form: Form) -> None:
    first = SHIPPED[0]
    assert isinstance(first, Sender)
    assert isinstance(first.law, TableLaw)
    padded = replace(first.law, basis=Basis(BasisKind.MEASURED, " padded "))
    blank_source = replace(first, key="odd", law=padded)
    bad_text = replace(SHIPPED[1], key="worse", notes="\ud800")
    with pytest.raises(UserError) as error:
        export_texts([SHIPPED[2], blank_source, bad_text], form)
    found = told(error.value)
    assert [("odd" in one, "worse" in one) for one in found] == [(True, False), (False, True)]


def test_that_a_folder_and_a_file_are_written_and_read_and_never_overwritten(
    tmp_path: Path,
) -> None:
    files = write_files(tmp_path / "out" / "csv", SHIPPED)
    assert [file.name for file in files] == ["senders.csv", "gauges.csv", "points.csv"]
    assert files[0].read_bytes().startswith(b"\xef\xbb\xbf")  # so that a spreadsheet sees UTF-8
    (alone,) = write_files(tmp_path / "all.json", SHIPPED)
    assert json.loads(alone.read_text(encoding="utf-8"))["format"] == "retrofit-catalogue"
    for path in (tmp_path / "out" / "csv", alone):
        assert tuple(one.part for one in read_files([path]).parts) == SHIPPED
        with pytest.raises(UserError, match=r"exchange\.exists"):
            write_files(path, SHIPPED[:1])
        write_files(path, SHIPPED, force=True)


def test_that_a_file_of_an_earlier_export_does_not_slip_in_among_a_new_one(tmp_path: Path) -> None:
    write_files(tmp_path, SHIPPED)
    with pytest.raises(UserError, match=r"exchange\.stray"):
        write_files(tmp_path, SHIPPED[:1], force=True)


def test_that_csv_into_a_single_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UserError, match=r"exchange\.folder_wanted"):
        write_files(tmp_path / "parts.csv", SHIPPED)
