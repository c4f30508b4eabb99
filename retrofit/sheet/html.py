"""A sheet as one HTML file: for a screen, a screen reader, or another paper size.

Every text is escaped and takes its own direction; drawings lie inside, each with its words.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import escape

from retrofit.drawing.look import Drawing, Look
from retrofit.drawing.signs import verdict_drawing
from retrofit.plan.checks.check import Verdict
from retrofit.sheet.blocks import (
    Block,
    Bullets,
    Facts,
    Grid,
    Pictures,
    Prose,
    Section,
    Sheet,
    Verdicts,
)
from retrofit.sheet.wording import printable

LANGUAGES = {"english": "en"}
"""Language tags (BCP 47) by the name of the texts."""

_SIGN = 4.0

_STYLE = """
:root { color-scheme: light; }
body { margin: 0 auto; max-width: 190mm; padding: 6mm 4mm; background: #ffffff; color: #24313f;
  font: 16px/1.45 Inter, "Segoe UI", Roboto, "Helvetica Neue", Arial, sans-serif;
  font-variant-numeric: tabular-nums; }
h1 { font-size: 1.7em; margin: 0; } h2 { font-size: 1.2em; margin: 1.6em 0 .5em;
  border-bottom: 1px solid #c9c2b2; padding-bottom: .2em; }
.under { display: flex; justify-content: space-between; gap: 1em; color: #5b6672; margin: 0; }
.verdict { color: #24313f; font-weight: 600; white-space: nowrap; }
.verdict svg { vertical-align: -.15em; }
dl { display: grid; grid-template-columns: minmax(8em, 30%) 1fr; gap: .2em 1em; margin: .6em 0; }
dt { color: #5b6672; } dd { margin: 0; overflow-wrap: anywhere; }
dl.headed > :nth-child(-n+2) { font-weight: 600; color: #24313f; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; margin: .6em 0; }
caption { text-align: left; color: #5b6672; padding: .2em 0; }
th, td { border-bottom: 1px solid #c9c2b2; padding: .3em .5em; text-align: left;
  vertical-align: baseline; font-weight: 400; }
thead th { color: #5b6672; } th[scope=row] { overflow-wrap: anywhere; }
.right { text-align: right; white-space: nowrap; }
ul { margin: .6em 0; padding-left: 1.2em; } li { margin: .25em 0; }
.checks { list-style: none; padding: 0; } .checks li { display: grid;
  grid-template-columns: 8em 1fr; gap: .5em; margin: .5em 0; }
.checks small { display: block; font-size: .9em; color: #5b6672; }
.pictures { display: flex; flex-wrap: wrap; gap: 1em; justify-content: space-between; }
.pictures svg { max-width: 100%; height: auto; }
svg text { font-family: Inter, "Segoe UI", Roboto, "Helvetica Neue", Arial, sans-serif; }
.conclusion { border: 1px solid #5b6672; padding: .4em .8em; margin: .8em 0; }
.conclusion p { margin: .3em 0; } .conclusion p:first-child { font-weight: 600; }
.key { list-style: none; display: flex; flex-wrap: wrap; gap: .2em 1.4em; padding: 0;
  margin: .3em 0; font-size: .85em; color: #5b6672; } .key li { margin: 0; }
td.box { border: 1px solid #5b6672; min-width: 4em; height: 1.8em; }
.small { font-size: .85em; }
@page { margin: 12mm; }
@media print { body { font-size: 9.5pt; max-width: none; padding: 0; }
  h2 { break-after: avoid; } tr, li, .pictures { break-inside: avoid; }
  .wide { overflow: visible; } }
"""

_BOX = ' class="box"'
_ID = re.compile(r' id="')
_SIZE = re.compile(r"^<svg ")


def as_html(sheet: Sheet, look: Look) -> str:
    """Return a sheet as a whole HTML document, with nothing outside it.

    Parameters
    ----------
    sheet : Sheet
        What it says.
    look : Look
        Language, and colours of the signs.
    """
    return printable("\n".join(_Page(look).lines(sheet))) + "\n"


def _text(words: str) -> str:
    return escape(words, quote=True)


class _Page:
    """One document while it is written; counts its drawings, whose names must differ."""

    def __init__(self, look: Look) -> None:
        self._look = look
        self._drawn = 0

    def lines(self, sheet: Sheet) -> Iterator[str]:
        language = LANGUAGES.get(self._look.renderer.language, "en")
        title = _text(f"{sheet.title} · {sheet.subtitle}")
        verdict, word = sheet.verdict
        yield "<!DOCTYPE html>"
        yield f'<html lang="{language}"><head><meta charset="utf-8">'
        yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
        yield f"<title>{title}</title><style>{_STYLE}</style></head><body><main>"
        yield f'<h1 dir="auto">{_text(sheet.title)}</h1>'
        sign = f'<span class="verdict">{self._sign(verdict)} {_text(word)}</span>'
        yield f'<p class="under"><span>{_text(sheet.subtitle)}</span>{sign}</p>'
        yield from self._conclusion(sheet)
        for section in sheet.sections:
            yield from self._section(section)
        yield f'</main><footer><p class="under">{_text(sheet.made)}</p></footer></body></html>'

    def _conclusion(self, sheet: Sheet) -> Iterator[str]:
        yield '<div class="conclusion">'
        for said in sheet.conclusion:
            yield f'<p dir="auto">{_text(said)}</p>'
        signs = (f"<li>{self._sign(verdict)} {_text(says)}</li>" for verdict, says in sheet.key)
        yield f'<ul class="key">{"".join(signs)}</ul></div>'

    def _section(self, section: Section) -> Iterator[str]:
        kind = ' class="small"' if section.small else ""
        yield f'<section id="{section.name}" aria-labelledby="{section.name}-title"{kind}>'
        yield f'<h2 id="{section.name}-title">{_text(section.title)}</h2>'
        for block in section.blocks:
            yield from self._block(block)
        yield "</section>"

    def _block(self, block: Block) -> Iterator[str]:
        if isinstance(block, Facts):
            yield '<dl class="headed">' if block.headed else "<dl>"
            for name, fact in block.rows:
                yield f'<dt>{_text(name)}</dt><dd dir="auto">{_text(fact)}</dd>'
            yield "</dl>"
        elif isinstance(block, Grid):
            yield from _grid(block)
        elif isinstance(block, Bullets):
            items = "".join(f'<li dir="auto">{_text(one)}</li>' for one in block.items)
            yield f"<ul>{items}</ul>"
        elif isinstance(block, Prose):
            yield f'<p dir="auto">{_text(block.text)}</p>'
        elif isinstance(block, Verdicts):
            yield from self._verdicts(block)
        elif isinstance(block, Pictures):
            drawn = "".join(self._drawing(one) for one in block.drawings)
            yield f'<div class="pictures">{drawn}</div>'

    def _verdicts(self, block: Verdicts) -> Iterator[str]:
        yield '<ul class="checks">'
        for verdict, word, says, why in block.items:
            sign = f'<span class="verdict">{self._sign(verdict)} {_text(word)}</span>'
            reason = f"<small>{_text(why)}</small>" if why else ""
            yield f'<li>{sign}<span dir="auto">{_text(says)}{reason}</span></li>'
        yield "</ul>"

    def _sign(self, verdict: Verdict) -> str:
        """Return the mark of a verdict, hidden from readers: its word stands beside it."""
        self._drawn += 1
        svg = _named(verdict_drawing(verdict, self._look, _SIGN).svg, self._drawn)
        return _SIZE.sub('<svg aria-hidden="true" ', svg).replace(' role="img"', "", 1)

    def _drawing(self, drawing: Drawing) -> str:
        self._drawn += 1
        number = self._drawn
        svg = _named(drawing.svg, number)
        svg = svg.replace("<title>", f'<title id="d{number}-name">', 1)
        svg = svg.replace("<desc>", f'<desc id="d{number}-told">', 1)
        return _SIZE.sub(f'<svg aria-labelledby="d{number}-name d{number}-told" ', svg)


def _named(svg: str, number: int) -> str:
    """Return a drawing whose names are its own in a document of several."""
    return _ID.sub(f' id="d{number}-', svg)


def _grid(block: Grid) -> Iterator[str]:
    kinds = [' class="right"' if side == "right" else "" for side in block.sides]
    yield f'<div class="wide"><table><caption>{_text(block.caption)}</caption><thead><tr>'
    for head, kind in zip(block.heads, kinds, strict=True):
        yield f'<th scope="col"{kind}>{_text(head)}</th>'
    yield "</tr></thead><tbody>"
    for row in block.rows:
        name, *cells = row
        told = [f'<th scope="row" dir="auto"{kinds[0]}>{_text(name)}</th>']
        told += [
            f'<td dir="auto"{_BOX if block.boxes and not cell else kind}>{_text(cell)}</td>'
            for cell, kind in zip(cells, kinds[1:], strict=True)
        ]
        yield f"<tr>{''.join(told)}</tr>"
    yield "</tbody></table></div>"
