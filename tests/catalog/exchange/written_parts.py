"""Parts and files for the tests of exchange, and what is said of them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from hypothesis import strategies as st

from catalog.codec import Part
from catalog.errors import UserError
from catalog.exchange.arrived import Arrived
from catalog.exchange.files import read_files, read_texts
from catalog.exchange.problems import Problems
from catalog.library import load_generic
from catalog.message import Message
from catalog.parts.gauge import DialMark, Gauge, HeaterMovement, Movement, RatioMovement, ScaledFor
from catalog.parts.laws import Point, TableLaw
from catalog.parts.sender import Sender
from catalog.provenance import Basis, BasisKind, Figure, Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.numerals import DecimalMark
from catalog.quantities.show import NumberStyle
from retrofit.messages import Renderer

LIBRARY = load_generic()
SHIPPED: tuple[Part, ...] = (*LIBRARY.senders, *LIBRARY.gauges)

SENDERS_CSV = "key,name,quantity,law.kind\nmine,Mine,pressure,table\n"
POINTS_CSV = "part,at,gives\nmine,0 bar,10 ohm\nmine,5 bar,100 ohm\nmine,10 bar,184 ohm\n"


def sentences(messages: Sequence[Message]) -> list[str]:
    renderer = Renderer(NumberStyle())
    return [renderer.sentence(found).replace("\N{NO-BREAK SPACE}", " ") for found in messages]


def told(error: UserError) -> list[str]:
    return sentences(error.messages)


def read(texts: dict[str, str], decimal: DecimalMark = ".") -> tuple[list[Part], list[str]]:
    """Read files whose texts are at hand: the parts, and a sentence for each problem."""
    problems = Problems()
    found: tuple[Arrived, ...] = read_texts(texts, decimal, problems)
    return [one.part for one in found], sentences(problems.messages())


def read_bytes(folder: Path, name: str, raw: bytes) -> list[str]:
    (folder / name).write_bytes(raw)
    return sentences(read_files([folder / name]).problems)


# --- any parts ----------------------------------------------------------------------------------

_NASTY = st.sampled_from(
    [
        '=HYPERLINK("x")',
        "+1",
        "-1 bar\n- 2",
        "@SUM(1)",
        "\t=1",
        "\r=1",
        "'=1",
        "''=1",
        "'tis",
        'a "b" c',
        "a;=1,+2",
        "first\r\nsecond\n\nfourth",
        "\u202eright to left\u202c",
        "\u0645\u0642\u064a\u0627\u0633 \u05de\u05d3",
        " blanks ",
        "\ufeffmark",
        "1,000",
        "\u2028\x85\x0b",
    ]
)
TEXTS = _NASTY | st.text(max_size=30).map(lambda text: text.replace("\0", ""))
_SOURCES = TEXTS.map(str.strip)
BASES = st.builds(Basis, st.sampled_from(BasisKind), _SOURCES)
_TOLERANCES = st.none() | st.builds(
    Tolerance, st.builds(Amount, st.floats(0.0, 50.0), st.sampled_from(["%", "Ω", "K"]))
)
_NUMBERS = st.floats(-1e6, 1e6) | st.sampled_from([1.234, -1.234, 1234.567, 1e-9, 0.001, 12.345])


@st.composite
def laws(draw: st.DrawFn) -> TableLaw:
    bars = sorted(draw(st.sets(_NUMBERS, min_size=2, max_size=5)))
    ohms = sorted(draw(st.sets(st.floats(1e-6, 1e6), min_size=len(bars), max_size=len(bars))))
    unit = draw(st.sampled_from(["bar", "psi", "kPa"]))
    points = tuple(
        Point(Amount(at, unit), Amount(gives, "Ω"), draw(st.none() | BASES))
        for at, gives in zip(bars, ohms, strict=True)
    )
    return TableLaw(points, tolerance=draw(_TOLERANCES), basis=draw(BASES))


@st.composite
def any_parts(draw: st.DrawFn) -> Part | None:
    """A sender or a gauge of any texts and numbers; None where its numbers make no curve."""
    key = draw(TEXTS.filter(lambda text: text.strip()))
    name, notes = draw(TEXTS), draw(TEXTS)
    ohm = Figure(Amount(draw(_NUMBERS), "Ω"), draw(_TOLERANCES), draw(BASES))
    movements: list[Movement] = [HeaterMovement(ohm), RatioMovement(ohm, ohm)]
    movement = draw(st.sampled_from(movements))
    try:
        law = draw(laws())
        if draw(st.booleans()):
            return Sender(key, name, "pressure", law, draw(st.sampled_from([1, 2])), notes=notes)
        marks = tuple(DialMark(p.at, p.gives, p.gives, None, p.basis) for p in law.points)
        return Gauge(
            key,
            name,
            "pressure",
            movement,
            law.points[0].at,
            law.points[-1].at,
            marks=draw(st.sampled_from([(), marks])),
            scaled_for=draw(st.sampled_from([None, ScaledFor(key, draw(TEXTS), law)])),
            system=draw(st.sampled_from([(), ("12 V",), ("12 V", "24 V")])),
            notes=notes,
        )
    except UserError:
        return None  # two values so near that they are one number in SI units
