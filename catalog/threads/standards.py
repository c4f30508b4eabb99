"""The threads that the program knows, read from the tables beside this module.

Tables hold what a standard prints, in its own units, with source and tag in each row; what a
table leaves empty is computed by the standard's formulae. "seen" means a public reproduction
was read, never the standard itself; "memory" stays 'from memory' wherever it is shown.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator, Mapping
from functools import cache
from importlib import resources

from catalog.errors import BugError
from catalog.provenance import Basis, BasisKind
from catalog.threads.thread import (
    INCH,
    Diameters,
    Drill,
    Form,
    Gender,
    Series,
    Span,
    Thread,
)
from catalog.threads.tolerances import (
    ASME_B1_1,
    FEMALE_ROOT_HIGH,
    ISO_7_FEMALE_TURNS,
    ISO_7_MALE_TURNS,
    ISO_965,
    NPT_BLUNTER_CREST,
    NPT_TURNS,
    asme_b1_1,
    iso_965,
)

MM = 1e-3
TAPER = 1.0 / 16.0
"""Taper of R, Rc and NPT: growth of the diameter along the axis."""

_TAGS = {"seen": BasisKind.PUBLISHED, "memory": BasisKind.MEMORY}
_SERIES: dict[str, Series] = {"G": "G", "M": "M", "UNF": "UNF", "UNC": "UNC"}
_Row = Mapping[str, str]


def _published(source: str) -> Basis:
    return Basis(BasisKind.PUBLISHED, source)


WHITWORTH = Form(
    "Whitworth 55°", math.radians(55.0), 0.640327, 0.640327, 0.640327, _published("ISO 228-1")
)
METRIC = Form(
    "ISO 60°", math.radians(60.0), 0.649519, 0.433013, 0.577350, _published("ISO 68-1 formulae")
)
UNIFIED = Form(
    "unified 60°", math.radians(60.0), 0.649519, 0.433013, 0.541266, _published("ASME B1.1")
)
NPT_FORM = Form("NPT 60°", math.radians(60.0), 0.8, 0.8, 0.8, _published("ASME B1.20.1: h = 0.8 P"))


def _rows(name: str) -> list[dict[str, str]]:
    text = resources.files("catalog.threads").joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def basis_of(row: _Row, tag: str = "tag") -> Basis:
    """Return the basis of a row of a table: its source, and how it is known."""
    return Basis(_TAGS[row[tag]], row["source"])


@cache
def _drills() -> dict[str, tuple[Drill, ...]]:
    found: dict[str, tuple[Drill, ...]] = {}
    for row in _rows("drills.csv"):
        drill = Drill(float(row["drill_mm"]) * MM, row["note"], basis_of(row))
        found[row["key"]] = (*found.get(row["key"], ()), drill)
    return found


@cache
def _limit_rows() -> tuple[dict[str, str], ...]:
    return tuple(_rows("limits.csv"))


_Edges = tuple[float, float, Basis]


def _limits(key: str, gender: Gender, diameter: str, grade: str) -> _Edges | None:
    """Return the deviations of a table [m]; None where it has none."""
    for row in _limit_rows():
        named = (row["key"], row["gender"], row["diameter"])
        if named == (key, gender, diameter) and row["grade"] in ("", *grade.split("/")):
            return float(row["low_um"]) * 1e-6, float(row["high_um"]) * 1e-6, basis_of(row)
    return None


def _span(basic: float, edges: _Edges) -> Span:
    low, high, basis = edges
    return Span(basic + low, basic, basic + high, basis)


def _form(series: str) -> Form:
    return {"G": WHITWORTH, "M": METRIC}.get(series, UNIFIED)


def _formula_edges(series: Series, major: float, pitch: float) -> dict[tuple[Gender, str], _Edges]:
    """Return deviations by formula of a metric or unified thread; empty for G."""
    if series == "G":
        return {}
    of, basis = (iso_965, ISO_965) if series == "M" else (asme_b1_1, ASME_B1_1)
    by = of(major, pitch)
    return {
        ("male", "major"): (*by.male_major, basis),
        ("male", "pitch"): (*by.male_pitch, basis),
        ("female", "pitch"): (*by.female_pitch, basis),
        ("female", "minor"): (*by.female_minor, basis),
    }


def _parallel(row: _Row, grade: str) -> Thread:
    """Make a parallel thread; `grade` chooses the class of a G male."""
    series, form = _SERIES[row["series"]], _form(row["series"])
    pitch = INCH / float(row["per_inch"]) if row["per_inch"] else float(row["pitch_mm"]) * MM
    major = float(row["major_mm"]) * MM
    by_formula = {
        "pitch_diameter_mm": major - form.crest * pitch,
        "female_minor_mm": major - (form.crest + form.female_minor) * pitch,
        "male_root_mm": major - (form.crest + form.male_root) * pitch,
    }
    sizes = {name: float(row[name]) * MM if row[name] else at for name, at in by_formula.items()}
    formulae = _formula_edges(series, major, pitch)

    def edges(gender: Gender, diameter: str) -> _Edges:
        found = _limits(row["key"], gender, diameter, grade)
        found = formulae.get((gender, diameter)) if found is None else found
        if found is None:
            raise BugError(f"no limits of {row['key']} {gender} {diameter}")
        return found

    low, high, known = edges("male", "pitch")
    male = Diameters(
        _span(major, edges("male", "major")),
        _span(sizes["pitch_diameter_mm"], (low, high, known)),
        _span(sizes["male_root_mm"], (low, high, known)),
    )
    _, wide, known = edges("female", "pitch")
    # A tap's crest may cut deeper than the basic size, never less.
    deeper = 0.0 if series == "G" else FEMALE_ROOT_HIGH * pitch - form.crest * pitch
    female = Diameters(
        _span(major, (0.0, wide + deeper, known)),
        _span(sizes["pitch_diameter_mm"], (0.0, wide, known)),
        _span(sizes["female_minor_mm"], edges("female", "minor")),
    )
    fine = series == "G" and grade == "A"
    return Thread(
        key=row["key"] + ("-a" if fine else ""),
        designation=row["designation"] + (" A" if fine else ""),
        standard=row["standard"],
        series=series,
        form=form,
        pitch=pitch,
        taper=0.0,
        male=male,
        female=None if fine else female,
        gauge_length=None,
        useful_length=None,
        tolerance_turns=0.0,
        drills=() if fine else _drills().get(row["key"], ()),
        grade=grade,
        basis=basis_of(row),
    )


def _shifted(at: float, edge: float, basis: Basis) -> Span:
    return Span(at - edge, at, at + edge, basis)


def _iso_7(row: _Row, series: Series) -> Thread:
    """Make R, Rc or Rp of one size; the gauge plane of a female lies at its face."""
    pitch = INCH / float(row["per_inch"])
    length = float(row["gauge_length_mm"]) * MM
    sizes = [float(row[name]) * MM for name in ("major_mm", "pitch_diameter_mm", "minor_mm")]
    male = series == "R"
    turns = ISO_7_MALE_TURNS if male else ISO_7_FEMALE_TURNS
    shift = TAPER * length if male else 0.0
    basis = Basis(BasisKind.MEMORY, f"ISO 7-1: gauge plane ± {turns:g} turns")
    major, middle, minor = (_shifted(at - shift, turns * pitch * TAPER, basis) for at in sizes)
    part = Diameters(major, middle, minor)
    key = f"{series.lower()}-{row['size'].replace('/', '-')}"
    return Thread(
        key=key,
        designation=f"{series} {row['size']}",
        standard="ISO 7-1:1994",
        series=series,
        form=WHITWORTH,
        pitch=pitch,
        taper=0.0 if series == "Rp" else TAPER,
        male=part if male else None,
        female=None if male else part,
        gauge_length=None if series == "Rp" else length,
        useful_length=float(row["useful_length_mm"]) * MM if male else None,
        tolerance_turns=turns,
        drills=_drills().get(key, ()),
        grade="",
        basis=basis_of(row),
        useful_length_basis=basis_of(row, "useful_length_tag") if male else None,
    )


def _npt(row: _Row) -> Thread:
    per_inch = int(row["per_inch"])
    pitch = INCH / per_inch
    e0, e1, l1, l2 = (float(row[name]) * INCH for name in ("E0_in", "E1_in", "L1_in", "L2_in"))
    edge = NPT_TURNS * pitch * TAPER
    basis = Basis(BasisKind.MEMORY, f"ASME B1.20.1: gauge plane ± {NPT_TURNS:g} turn")
    blunt = 2.0 * NPT_BLUNTER_CREST[per_inch] * pitch
    height = NPT_FORM.crest * pitch
    return Thread(
        key=f"npt-{row['size'].replace('/', '-')}",
        designation=f"{row['size']}-{per_inch} NPT",
        standard="ASME B1.20.1-2013",
        series="NPT",
        form=NPT_FORM,
        pitch=pitch,
        taper=TAPER,
        male=Diameters(
            Span(e0 + height - edge - blunt, e0 + height, e0 + height + edge, basis),
            _shifted(e0, edge, basis),
            _shifted(e0 - height, edge, basis),
        ),
        female=Diameters(
            _shifted(e1 + height, edge, basis),
            _shifted(e1, edge, basis),
            Span(e1 - height - edge, e1 - height, e1 - height + edge + blunt, basis),
        ),
        gauge_length=l1,
        useful_length=l2,
        tolerance_turns=NPT_TURNS,
        drills=_drills().get(f"npt-{row['size'].replace('/', '-')}", ()),
        grade="",
        basis=basis_of(row),
        useful_length_basis=basis_of(row),
    )


_GRADES = {"G": "B", "M": "6g/6H", "UNF": "2A/2B", "UNC": "2A/2B"}


def _made() -> Iterator[Thread]:
    parallel = _rows("parallel.csv")
    for row in parallel:
        # A G male is taken as class B, the wider one, unless it is marked A.
        yield _parallel(row, _GRADES[row["series"]])
        if row["series"] == "G":
            yield _parallel(row, "A")
    taper: tuple[Series, ...] = ("R", "Rc", "Rp")
    for row in _rows("iso_7.csv"):
        yield from (_iso_7(row, series) for series in taper)
    yield from (_npt(row) for row in _rows("npt.csv"))


@cache
def _by_key() -> Mapping[str, Thread]:
    return {made.key: made for made in _made()}


def threads() -> tuple[Thread, ...]:
    """Return all threads, one each: a G male in its wider class B.

    Examples
    --------
    >>> [made.designation for made in threads() if made.key.endswith("1-8")]
    ['G 1/8', 'R 1/8', 'Rc 1/8', 'Rp 1/8', '1/8-27 NPT']
    """
    return tuple(made for made in _by_key().values() if made.grade != "A")


def thread(key: str) -> Thread:
    """Return the thread called `key`; "g-1-8-a" is the G male of class A.

    Raises
    ------
    BugError
        When there is none: what a user types goes through ``catalog.threads.designation``.

    Examples
    --------
    >>> round(thread("npt-1-8").male.pitch.basic * 1e3, 3)
    9.233
    """
    found = _by_key().get(key)
    if found is None:
        raise BugError(f"no thread is called {key!r}")
    return found
