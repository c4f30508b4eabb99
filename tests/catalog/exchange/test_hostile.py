"""Files that anybody may have written: a sentence with file, row and column, and never a crash."""

from __future__ import annotations

import time
import tracemalloc
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.exchange.files import read_files
from catalog.exchange.json_form import MOST_PARTS
from catalog.exchange.problems import MOST_PROBLEMS
from catalog.exchange.sheet import MOST_ROWS
from catalog.parts.laws import TableLaw
from catalog.parts.sender import Sender
from tests.catalog.exchange.written_parts import (
    POINTS_CSV,
    SENDERS_CSV,
    read,
    read_bytes,
    sentences,
)


def said(senders: str = SENDERS_CSV, points: str = POINTS_CSV) -> list[str]:
    _, problems = read({"senders.csv": senders, "points.csv": points})
    assert problems
    return problems


def test_that_the_plain_files_of_these_tests_are_sound() -> None:
    parts, problems = read({"senders.csv": SENDERS_CSV, "points.csv": POINTS_CSV})
    assert problems == []
    (part,) = parts
    assert isinstance(part, Sender)
    assert isinstance(part.law, TableLaw)
    assert [str(point.gives) for point in part.law.points] == ["10 Ω", "100 Ω", "184 Ω"]


# --- rows and columns ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("points", "words"),
    [
        (
            "part,at,gives\nmine,0 bar,10 ohm\nmine,5 bar,184 ohm\nmine,10 bar,90 ohm\n",
            ("points.csv, row 4, column gives", "other way"),
        ),
        (
            "part,at,gives\nmine,0 bar,10 ohm\nmine,10 bar,184 ohm\nmine,5 bar,90 ohm\n",
            ("points.csv, row 4, column at", "below row 3"),
        ),
        (
            "part,at,gives\nmine,0 bar,10 ohm\nmine,0 bar,184 ohm\n",
            ("points.csv, row 3, column at", "Rows 2 and 3"),
        ),
        ("part,at [bar],gives\nmine,0,10 ohm\nmine,50 psi,20 ohm\n", ("row 3, column at", "psi")),
        (
            "part,at,at.unit,gives\nmine,0,bar,10 ohm\nmine,50 psi,bar,20 ohm\n",
            ("row 3, column at", "psi", "bar"),
        ),
        ("part,at,gives\nmine,0 bar,10 ohm\nmine,10,20 ohm\n", ("row 3, column at", "no unit")),
        ("part,at,gives\nmine,0 bar,10 ohm\nmine,10 °C,20 ohm\n", ("row 3, column at", "°C")),
        ("part,at,gives\nmine,0 bar,10 bar\nmine,9 bar,20 ohm\n", ("row 2, column gives", "bar")),
        ("part,at [bottles],gives\nmine,0,1 ohm\n", ("row 1, column at [bottles]", "no unit")),
        ("part,gives\nmine,10 ohm\n", ("row 1", "missing: at")),
        ("part,at,give\nmine,1 bar,10 ohm\n", ("row 1, column give", "mean gives")),
        ("part,at,at,gives\nmine,1 bar,1 bar,1 ohm\n", ("row 1, column at", "twice")),
        ("part,at,gives\nyours,1 bar,10 ohm\n", ("row 2, column part", "yours")),
        ("part,at,gives,curve\nmine,1 bar,10 ohm,marks\n", ("row 2, column curve", "law.points")),
        ("part,at,gives\nmine,1 bar,10 ohm,12\n", ("row 2", "without a heading")),
        ("part,at,gives\nmine,1,5 bar,10 ohm\n", ("row 2", "decimal marks")),
        ("part,at,gives\nmine,1 bar,many\n", ("row 2, column gives", "many")),
        ('part,at,gives\nmine,1 bar,"10 ohm\n', ("points.csv", "quotation mark")),
        ("part,at,gives,needs\nmine,1 bar,1 ohm,2 ohm\n", ("row 2, column needs", "no such field")),
    ],
)
def test_that_a_bad_point_is_told_with_file_row_and_column(
    points: str, words: tuple[str, ...]
) -> None:
    found = " | ".join(said(points=points))
    assert all(word in found for word in words), found


@pytest.mark.parametrize(
    ("senders", "words"),
    [
        ("key,name,quantity\nmine,M,pressure\n", ("senders.csv", "columns")),
        (
            "key,name,quantity,law.kind\nmine,M,pressure,table\nmine,M,pressure,table\n",
            ("row 3, column key", "row 2"),
        ),
        (
            "key,name,quantity,law.kind\nmine,M,torque,table\n",
            ("row 2, column quantity", "torque"),
        ),
        (
            "key,name,quantity,law.kind\nmine,M,pressure,tabel\n",
            ("row 2, column law.kind", "tabel"),
        ),
        (
            "key,name,quantity,law.kind,stations\nmine,M,pressure,table,three\n",
            ("row 2, column stations", "three"),
        ),
        (
            "key,name,quantity,law.kind,law.beta\nmine,M,pressure,table,3500 K\n",
            ("row 2, column law.beta", "no such field"),
        ),
        (
            "key,name,quantity,law.kind,law.basis\nmine,M,pressure,table,hearsay\n",
            ("row 2, column law.basis", "hearsay"),
        ),
        (
            "key,name,quantity,law.kind\nmine,M,pressure,beta thermistor\n",
            ("row 2, column law.beta", "empty"),
        ),
    ],
)
def test_that_a_bad_part_is_told_with_file_row_and_column(
    senders: str, words: tuple[str, ...]
) -> None:
    found = " | ".join(said(senders=senders))
    assert all(word in found for word in words), found


def test_that_a_table_without_its_points_is_told() -> None:
    _, problems = read({"senders.csv": SENDERS_CSV})
    assert "senders.csv, row 2" in problems[0]
    assert "points.csv" in problems[0]


def test_that_rows_count_as_a_spreadsheet_counts_them() -> None:
    senders = 'key,name,quantity,law.kind\n\n"mine","two\nlines",pressure,table\nbad,B,x,table\n'
    assert any("row 4, column quantity" in one for one in said(senders=senders))


def test_that_all_problems_are_gathered_and_their_list_is_bounded() -> None:
    points = "part,at,gives\n" + "mine,1 bar,x\n" * 500
    problems = said(points=points)
    assert len(problems) == MOST_PROBLEMS + 1
    assert "450" in problems[-1]


def test_that_a_part_given_in_two_files_is_told_with_both() -> None:
    _, problems = read({"a.csv": SENDERS_CSV, "b.csv": SENDERS_CSV, "points.csv": POINTS_CSV})
    assert len(problems) == 1
    assert "b.csv, row 2" in problems[0]
    assert "a.csv, row 2" in problems[0]


# --- marks and separators -----------------------------------------------------------------------


@pytest.mark.parametrize("sign", [";", "\t", ","])
@pytest.mark.parametrize("reader", [".", ","])
def test_that_decimal_commas_and_other_separators_are_read(sign: str, reader: str) -> None:
    senders = SENDERS_CSV.replace(",", sign)
    points = "part,at,gives\nmine,0 bar,10 ohm\nmine,5 bar,100 ohm\n".replace(",", sign)
    cell = '"10,75 bar"' if sign == "," else "10,75 bar"
    points += sign.join(("mine", cell, "184 ohm")) + "\n"
    parts, problems = read({"s.csv": senders, "p.csv": points}, reader)  # type: ignore[arg-type]
    assert problems == []
    assert isinstance(parts[0], Sender)
    assert isinstance(parts[0].law, TableLaw)
    assert str(parts[0].law.points[-1].at) == "10.75 bar"


def test_that_a_number_that_can_be_read_in_two_ways_is_refused() -> None:
    points = "part;at;gives\nmine;0 bar;1,000 ohm\nmine;5 bar;2,000 ohm\n"
    assert all("column gives" in one for one in said(points=points))


@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "utf-16"])
def test_that_each_marked_encoding_is_read(coding: str, tmp_path: Path) -> None:
    senders = SENDERS_CSV.replace("Mine", "Öldruck 10 Ω")
    (tmp_path / "senders.csv").write_bytes(senders.encode(coding))
    (tmp_path / "points.csv").write_bytes(POINTS_CSV.encode(coding))
    found = read_files([tmp_path])
    assert found.problems == ()
    assert found.parts[0].part.name == "Öldruck 10 Ω"


@pytest.mark.parametrize("coding", ["latin-1", "utf-16-le", "cp1252"])
def test_that_an_unmarked_encoding_is_told_and_never_guessed(coding: str, tmp_path: Path) -> None:
    senders = SENDERS_CSV.replace("Mine", "Öldruck °C")
    (problem,) = read_bytes(tmp_path, "senders.csv", senders.encode(coding))
    assert "senders.csv" in problem
    assert "UTF-8" in problem


# --- sizes --------------------------------------------------------------------------------------


def test_that_a_million_rows_are_refused_quickly_and_in_little_memory(tmp_path: Path) -> None:
    for row in ("a,1 bar,1 ohm\n", "a-part-with-a-longer-key,1.25 bar,1.75 ohm\n"):
        (tmp_path / "points.csv").write_text("part,at,gives\n" + row * 1_000_000)
        tracemalloc.start()
        began = time.perf_counter()
        problems = read_files([tmp_path / "points.csv"]).problems
        took = time.perf_counter() - began
        _, peak = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        assert len(problems) == 1
        assert "points.csv" in sentences(problems)[0]
        assert took < 5.0
        assert peak < 100e6


def test_that_more_rows_than_a_catalogue_needs_are_refused_whatever_their_lines() -> None:
    (problem,) = said(points="part,at,gives\n" + "a,1 bar,1 ohm\n" * (MOST_ROWS + 1))
    assert str(MOST_ROWS) in problem.replace(",", "").replace(" ", "")


def test_that_an_endless_cell_is_told_with_its_place() -> None:
    senders = f"key,name,quantity,law.kind\nmine,{'x' * 20_000},pressure,table\n"
    assert any("row 2, column name" in one for one in said(senders=senders))
    huge = f"key,name,quantity,law.kind\nmine,{'x' * 200_000},pressure,table\n"
    assert any("senders.csv" in one for one in said(senders=huge))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", ("empty",)),
        ("{", ("breaks off",)),
        ("[1, 2]", ("no catalogue",)),
        ('{"format": "retrofit-plan", "version": 1, "parts": []}', ("no catalogue",)),
        ('{"format": "retrofit-catalogue", "version": 2, "parts": []}', ("newer", "2")),
        ('{"format": "retrofit-catalogue", "version": true, "parts": []}', ("version",)),
        ('{"format": "retrofit-catalogue", "version": 1, "parts": {}}', ("list of parts",)),
        ('{"format": "retrofit-catalogue", "version": 1, "parts": [], "x": 1}', ("x",)),
        (
            '{"format": "retrofit-catalogue", "version": 1, "parts": [{"part": "sender"}]}',
            ("parts[0]", "missing"),
        ),
        ('{"format": "retrofit-catalogue", "version": 1, "parts": [7]}', ("parts[0]",)),
        ("[" * 10_000, ("deep",)),
        (
            '{"format": "retrofit-catalogue", "version": 1, "parts": ['
            + ",".join(["0"] * (MOST_PARTS + 1))
            + "]}",
            ("the most",),
        ),
    ],
)
def test_that_a_bad_json_file_is_told_with_its_name(text: str, words: tuple[str, ...]) -> None:
    parts, problems = read({"mine.json": text})
    assert parts == []
    assert "mine.json" in problems[0]
    assert all(word in problems[0] for word in words), problems


@pytest.mark.parametrize(
    ("key", "notes"), [(" ", ""), ("k" * 201, ""), ("k\\u0000", ""), ("k", "\\ud800")]
)
def test_that_what_no_catalogue_can_hold_is_told_before_it_is_taken_over(
    key: str, notes: str
) -> None:
    text = (
        '{"format": "retrofit-catalogue", "version": 1, "parts": [{"part": "sender", "key": "KEY",'
        ' "name": "", "quantity": "level", "law": {"kind": "unknown"}, "notes": "NOTES"}]}'
    )
    parts, problems = read({"mine.json": text.replace("KEY", key).replace("NOTES", notes)})
    assert parts == []
    assert len(problems) == 1
    assert "mine.json" in problems[0]


@pytest.mark.parametrize("path", ["nothing.csv", "empty"])
def test_that_a_missing_file_and_an_empty_folder_are_told(path: str, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    (problem,) = sentences(read_files([tmp_path / path]).problems)
    assert path in problem


@given(st.text(max_size=200), st.sampled_from(["a.csv", "a.json", "a"]))
def test_that_no_text_whatever_ends_in_a_crash(text: str, name: str) -> None:
    read({name: text})


@given(st.lists(st.text('mine,;\t"=\n -1.5barohm°', max_size=20), max_size=8))
def test_that_no_row_whatever_ends_in_a_crash(rows: list[str]) -> None:
    points = POINTS_CSV + "\n".join(rows)
    read({"senders.csv": SENDERS_CSV + "\n".join(rows), "points.csv": points})


@given(st.binary(max_size=200))
def test_that_no_bytes_whatever_end_in_a_crash(raw: bytes) -> None:
    with TemporaryDirectory() as folder:
        read_bytes(Path(folder), "any.csv", raw)
