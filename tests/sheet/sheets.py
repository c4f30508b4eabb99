"""Sheets for tests: the demo plans, one with everything, and one that means harm."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

from pypdf import PdfReader

from catalog.parts.gauge import RatioMovement
from catalog.provenance import Basis, BasisKind, Figure, Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.show import NumberStyle
from retrofit.drawing.look import Look
from retrofit.drawing.palette import LIGHT
from retrofit.installation import Load, Place, TrimResistor
from retrofit.installation import Path as Run
from retrofit.installation.paths import Wire
from retrofit.messages import Renderer
from retrofit.plan.assess import Assessment, assess
from retrofit.plan.document import DutyMark, Plan
from retrofit.plan.file import read_plan
from retrofit.sheet.blocks import Sheet
from retrofit.sheet.compose import Print, compose
from retrofit.sheet.pdf import Layout, Paper, as_pdf
from retrofit.shipped import path as shipped

RENDERER = Renderer(NumberStyle())
LOOK = Look(LIGHT, RENDERER)
DAY = date(2031, 5, 24)
DEMOS = ("harbour-launch", "standby-generator", "vineyard-tractor")

HOSTILE = (
    '#image("x.png") *b* _i_ $x$ <script>alert(1)</script> &amp; \\ ] [ `raw` @ref <label> ~ --'
)
RIGHT_TO_LEFT = "\u05e9\u05dc\u05d5\u05dd"
TURNED = "\u202egnorw"
UNSHOWN = "\u6c34\u6e29"


@cache
def plan(name: str) -> Plan:
    if name == "all":
        return _full()
    if name == "hostile":
        return _hostile()
    return read_plan(Path(shipped("demo", f"{name}.json")))


def figure(value: float, unit: str) -> Figure:
    basis = Basis(BasisKind.MEASURED, "bench meter")
    return Figure(Amount(value, unit), Tolerance(Amount(5.0, "%")), basis)


def _full() -> Plan:
    """A plan with coils, wires, loads and a trim of two resistors."""
    base = plan("harbour-launch")
    pairing = base.pairings[0]
    ratio = pairing.gauge.movement
    assert isinstance(ratio, RatioMovement)
    movement = replace(
        ratio,
        supply_coil=figure(90.0, "Ω"),
        earth_coil=figure(110.0, "Ω"),
    )
    installation = replace(
        pairing.installation,
        signal=Run(Wire("1 mm²", Amount(6.0, "m"), colour="white/green"), figure(0.05, "Ω")),
        loads=(Load("panel lights", watts=Amount(5.0, "W")),),
    )
    values: tuple[tuple[Place, float], ...] = (("across sender", 430.0), ("series at sender", 10.0))
    trim = tuple(
        TrimResistor(place, Amount(ohm, "Ω"), Tolerance(Amount(5.0, "%")), Amount(2.0, "W"))
        for place, ohm in values
    )
    gauge = replace(pairing.gauge, movement=movement)
    changed = replace(pairing, gauge=gauge, installation=installation, trim=trim)
    return replace(base, name="Launch, trimmed", pairings=(changed,))


def _hostile() -> Plan:
    """Thirty marks, and names of markup, of both directions, without end."""
    base = plan("all")
    pairing = base.pairings[0]
    name = f"{HOSTILE} {RIGHT_TO_LEFT} {TURNED} {UNSHOWN}\x00 " + "very long " * 40 + "x" * 400
    marks = tuple(
        DutyMark(f"{n} {name}", Amount(41.0 + 2.0 * n, "°C"), None, "low") for n in range(30)
    )
    loads = tuple(Load(f"{n} {name}", watts=Amount(5.0, "W")) for n in range(3))
    changed = replace(
        pairing,
        gauge=replace(pairing.gauge, name=name, notes=name),
        sender=replace(pairing.sender, name=name, notes=name),
        installation=replace(pairing.installation, loads=loads),
    )
    duty = replace(base.duty, marks=marks)
    return replace(base, name=name, notes=name, duty=duty, pairings=(changed,))


@cache
def assessed(name: str) -> Assessment:
    return assess(plan(name), likely=True)


@cache
def sheet(name: str) -> Sheet:
    return compose(assessed(name), Print(RENDERER, DAY))


@cache
def pdf(name: str, paper: Paper = "A4") -> bytes:
    return as_pdf(sheet(name), Layout(paper, LOOK))


@cache
def reader(name: str, paper: Paper = "A4") -> PdfReader:
    return PdfReader(io.BytesIO(pdf(name, paper)))


@cache
def text(name: str, paper: Paper = "A4") -> str:
    """All text of a PDF, blanks of every kind as one."""
    pages = (page.extract_text() for page in reader(name, paper).pages)
    return plain("\n".join(pages))


def plain(words: str) -> str:
    """A text without what a page adds: line ends, fixed blanks, breaks behind hyphens."""
    return " ".join(words.replace("\u200b", "").split()).replace("- ", "-")
