"""``retrofit sheet``: the printed sheet of a pairing, as PDF, HTML or CSV."""

from __future__ import annotations

import argparse
import os
from datetime import date
from pathlib import Path

from catalog.atomic import save_bytes, save_text
from catalog.errors import user_error
from catalog.message import message
from retrofit.cli.layout import wrapped
from retrofit.cli.terminal import Terminal
from retrofit.drawing.look import Look
from retrofit.drawing.palette import LIGHT
from retrofit.plan.assess import Assessment, assess
from retrofit.plan.file import read_plan
from retrofit.sheet.compose import Print, compose
from retrofit.sheet.curve_csv import as_csv
from retrofit.sheet.html import as_html
from retrofit.sheet.pdf import Layout, as_pdf
from retrofit.sheet.wording import Wording


def run(options: argparse.Namespace, terminal: Terminal) -> int:
    """Write the sheet of one pairing of a plan."""
    form = "html" if options.html else "csv" if options.csv else "pdf"
    out = Path(options.out) if options.out else Path(Path(options.plan).stem + f".{form}")
    if not options.force and os.path.lexists(out):
        raise user_error("cli.new.exists", path=str(out))
    day = _day(options.day)
    found = assess(read_plan(Path(options.plan)), options.pairing, likely=True)
    _write(found, form, out, Print(terminal.renderer, day), options)
    said = message("cli.sheet.written", path=str(out))
    terminal.say(wrapped(terminal.text(said), terminal.width))
    return 0


def _write(
    found: Assessment, form: str, out: Path, how: Print, options: argparse.Namespace
) -> None:
    look = Look(LIGHT, how.renderer)
    if form == "csv":
        save_text(out, as_csv(found, Wording(how.renderer)))
    elif form == "html":
        save_text(out, as_html(compose(found, how), look))
    else:
        save_bytes(out, as_pdf(compose(found, how), Layout(options.paper, look)))


def _day(text: str | None) -> date:
    if text is None:
        return date.today()
    try:
        return date.fromisoformat(text)
    except ValueError as problem:
        raise user_error("cli.sheet.no_day", text=text) from problem
