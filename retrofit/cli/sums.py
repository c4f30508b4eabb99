"""Lines that show the sums behind the numbers of an assessment, and the proposals for wires."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from catalog.message import Message, message
from retrofit.cli.layout import wrapped
from retrofit.cli.terminal import Terminal
from retrofit.plan.assess import Assessment
from retrofit.plan.sums import Sum, sums_of_check, sums_of_mark, sums_of_trim
from retrofit.sheet.sum_words import sum_text
from retrofit.sheet.wording import Wording


def sum_lines(found: Assessment, terminal: Terminal) -> list[str]:
    """Return how each number was made: at the marks, in the checks, of the trim."""
    lines: list[str] = []
    for mark in found.marks:
        title = terminal.text(message("cli.sums.mark", mark=mark.mark.name))
        lines += _titled(title, sums_of_mark(found, mark), terminal)
    for check in found.checks:
        if check.name not in ("mark", "curve") and check.number is not None:
            first = sums_of_check(found, check)[:1]
            lines += _titled(terminal.text(check.says), first, terminal)
    trims = sums_of_trim(found)
    if trims:
        lines += _titled(terminal.text(message("cli.sums.trim")), trims, terminal)
    return [*lines, *wrapped(terminal.text(message("sheet.sum.units")), terminal.width, "  ")]


def _titled(title: str, sums: Iterable[Sum], terminal: Terminal) -> Iterator[str]:
    yield from wrapped(title, terminal.width, "  ")
    words = Wording(terminal.renderer)
    for one in sums:
        said = sum_text(one, words)
        yield from wrapped(f"{said.title}: {said.result}", terminal.width, "    ")
        for line in (said.formula, said.method):
            if line:
                yield from wrapped(line, terminal.width, "      ")
        for line in said.inputs:
            yield from wrapped(line, terminal.width, "      - ")


def advice_lines(found: Assessment, terminal: Terminal, *, reasons: bool) -> list[str]:
    """Return the wires and the fuse that are proposed, and what asks for them.

    Parameters
    ----------
    found : Assessment
        What was worked out.
    terminal : Terminal
        Units, language, width.
    reasons : bool
        Whether to give each wire's reasons in full.
    """
    lines: list[str] = []
    advice = found.advice
    for wire in advice.wires:
        lines += wrapped(terminal.text(wire.says), terminal.width, "  ")
        if reasons or not wire.size:
            lines += _reasons(wire.reasons, terminal)
    rating = advice.fuse.rating
    key = "cli.advice.no_fuse" if rating is None else "cli.advice.fuse"
    lines += wrapped(terminal.text(message(key, rating=rating or 0.0)), terminal.width, "  ")
    return [*lines, *_reasons((*advice.fuse.reasons, *advice.general), terminal)]


def _reasons(reasons: tuple[Message, ...], terminal: Terminal) -> Iterator[str]:
    for reason in reasons:
        yield from wrapped(terminal.text(reason), terminal.width, "      ")
