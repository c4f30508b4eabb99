"""The drawing of a chain: pieces in their order, lengths and diameters to one scale."""

from __future__ import annotations

import itertools
from xml.etree import ElementTree

import pytest

from catalog.fittings.seals import JointKind
from catalog.quantities.show import NumberStyle
from catalog.threads.standards import thread
from retrofit.drawing.chain import (
    BODY_LENGTH,
    CHAIN_WIDTH,
    HOSE_SHOWN,
    LONGEST_SHOWN,
    MOST_LINES,
    Mounted,
    chain_drawing,
    joint_verdicts,
)
from retrofit.drawing.lettering import width
from retrofit.drawing.look import BODY, SMALL, Look
from retrofit.drawing.palette import LIGHT
from retrofit.drawing.svg import CAP_HEIGHT
from retrofit.fit.adapters import Chain, chain_of, shortest_chain
from retrofit.messages import Renderer
from retrofit.plan.checks.check import Verdict
from tests.drawing.picture import Picture

LOOK = Look(LIGHT, Renderer(NumberStyle(), strict=True))
WHOLE = Mounted(body=35e-3, thread=9e-3, probe=30e-3, wall=12e-3, piece=10e-3)
Seals = tuple[JointKind | None, ...]


def chain(port: str, sender: str, through: str | None = None) -> Chain:
    found = shortest_chain(thread(port), thread(sender), through=through)
    assert found is not None
    return found


def drawn(
    found: Chain, mounted: Mounted = WHOLE, seals: Seals = (), across: float = CHAIN_WIDTH
) -> Picture:
    return Picture(chain_drawing(found, seals, mounted, LOOK, across).svg)


def box(picture: Picture, name: str) -> tuple[float, float, float, float]:
    """Left, right, width and height of a rectangle [mm]."""
    shape = picture.named(name)
    x, wide = picture.length(shape, "x"), picture.length(shape, "width")
    return x, x + wide, wide, picture.length(shape, "height")


def test_that_pieces_stand_face_to_face_from_the_port_to_the_sender() -> None:
    found = chain("m14x1.5", "m10x1")
    picture = drawn(found)
    names = [*(piece.key for piece in found.pieces), "sender"]
    boxes = [box(picture, f"{name}-body") for name in names]
    for before, after in itertools.pairwise(boxes):
        assert after[0] == pytest.approx(before[1], abs=0.01)


def test_that_a_taper_sender_stands_proud_by_what_a_tight_joint_leaves_of_its_thread() -> None:
    found = chain("npt-1-8", "npt-1-8")
    picture = drawn(found, Mounted(body=35e-3, thread=10e-3, wall=12e-3))
    face, body = box(picture, "wall-above")[1], box(picture, "sender-body")
    stub, scale = box(picture, "sender-stub"), box(picture, "sender-body")[2] / 35.0
    # ASME B1.20.1: hand-tight after L1 = 0.1615 in; with a wrench 1.5 to 3 turns of 1/27 in more.
    engaged = (0.1615 + 2.25 / 27.0) * 25.4
    assert (body[0] - face) / scale == pytest.approx(10.0 - engaged, abs=0.1)
    assert stub[1] == pytest.approx(body[0], abs=0.01)


def test_that_lengths_and_diameters_have_one_scale() -> None:
    found = chain("m10x1", "npt-1-8")
    picture = drawn(found)
    body = box(picture, "sender-body")
    scale = body[2] / 35.0
    (piece,) = found.pieces
    adapter = box(picture, f"{piece.key}-body")
    assert adapter[2] == pytest.approx(piece.added * 1e3 * scale, abs=0.01)
    stub = box(picture, "sender-stub")
    # 9 mm of thread; major diameter of 1/8-27 NPT at its small end.
    assert stub[2] == pytest.approx(9.0 * scale, abs=0.01)
    male = found.sender.male
    assert male is not None
    assert stub[3] == pytest.approx(male.major.basic * 1e3 * scale, abs=0.01)
    probe = picture.named("probe-line")
    reach = picture.length(probe, "x1") - picture.length(probe, "x2")
    assert reach == pytest.approx(30.0 * scale, abs=0.01)


def test_that_an_unmeasured_body_is_dashed_at_its_usual_length_and_a_hose_cut_short() -> None:
    found = chain("npt-1-8", "npt-1-8", "hose")
    picture = drawn(found, Mounted())
    assert "stroke-dasharray" in picture.named("sender-body").attrib
    assert "stroke-dasharray" not in drawn(found).named("sender-body").attrib
    face, body = box(picture, "wall-above")[1], box(picture, "sender-body")
    hose = box(picture, "hose-npt-1-8-body")
    assert (hose[1] - face) / body[2] == pytest.approx(HOSE_SHOWN / BODY_LENGTH, rel=1e-3)


def test_that_each_joint_wears_the_sign_and_colour_of_the_worse_of_its_thread_and_its_seal() -> (
    None
):
    # A parallel thread seals at its face, a taper one in its flanks (scopes of ISO 228-1, ISO 7-1).
    found = chain("m10x1", "npt-1-8")
    cases: list[tuple[Seals, tuple[Verdict, ...]]] = [
        ((), (Verdict.UNKNOWN, Verdict.UNKNOWN)),
        (("tape", None), (Verdict.STOP, Verdict.UNKNOWN)),
        (("crush washer", "compound"), (Verdict.GOOD, Verdict.GOOD)),
    ]
    for seals, verdicts in cases:
        assert joint_verdicts(found, seals) == verdicts
        picture = drawn(found, seals=seals)
        for number, verdict in enumerate(verdicts, start=1):
            within = f"joint-{number}"
            signs = [one.get("id") for one in picture.all("g", within)]
            assert f"verdict-{verdict.value}" in signs
            (joint,) = picture.all("line", within)
            assert joint.get("stroke") == LIGHT.verdict(verdict)
            assert ("stroke-dasharray" in joint.attrib) == (verdict is Verdict.UNKNOWN)
            assert picture.texts(within) == [str(number)]
    made = chain_drawing(found, ("tape", None), WHOLE, LOOK)
    assert made.desc.endswith("Joint 1: stop. Joint 2: unknown.")


def test_that_a_joint_that_does_not_go_is_a_stop_whatever_seals_it() -> None:
    found = chain_of(thread("m10x1"), thread("g-1-8"), ["adapter-npt-1-8-g-1-8"])
    assert joint_verdicts(found, ("compound", "crush washer")) == (Verdict.STOP, Verdict.GOOD)


def test_that_what_nobody_measured_is_dashed_and_empty_and_said_so() -> None:
    found = chain("m10x1", "m10x1", "tee")
    (piece,) = found.pieces
    parts = ("wall-above", "wall-below", f"{piece.key}-stub", "sender-stub", "sender-body")
    guessed, known = drawn(found, Mounted()), drawn(found)
    for name in parts:
        assert "stroke-dasharray" in guessed.named(name).attrib, name
        assert guessed.named(name).get("fill") == LIGHT.card
        assert "stroke-dasharray" not in known.named(name).attrib, name
    assert guessed.says("dashed") == "dashed: not measured, drawn at a usual size"
    assert not any(one.get("id") == "dashed" for one in known.all("text"))
    # A taper male has a length of its standard.
    taper = drawn(chain("npt-1-8", "npt-1-8"), Mounted())
    assert "stroke-dasharray" not in taper.named("sender-stub").attrib


def test_that_the_thread_of_the_piece_in_the_port_is_as_long_as_it_was_measured() -> None:
    found = chain("m10x1", "npt-1-8")
    picture = drawn(found, Mounted(piece=14e-3, body=35e-3))
    stub = box(picture, f"{found.pieces[0].key}-stub")
    assert stub[2] / box(picture, "sender-body")[2] == pytest.approx(14.0 / 35.0, rel=1e-3)


@pytest.mark.parametrize("length", [9.5e-3, 95.0, 9.5e3])
def test_that_no_length_makes_a_drawing_long_or_slow(length: float) -> None:
    found = chain("npt-1-8", "npt-1-8")
    made = chain_drawing(found, (), Mounted(length, length, length, length), LOOK)
    picture = Picture(made.svg)
    lines = [one for one in picture.all("line", "sender") if one.get("stroke") == LIGHT.muted]
    assert 1 <= len(lines) < MOST_LINES
    assert len(made.svg) < 20_000
    # What is cut short says so by its breaks: body, stub, probe, and the wall above and below.
    breaks = [one for one in picture.all("polyline") if one.get("stroke") == LIGHT.card]
    assert len(breaks) == (0 if length < LONGEST_SHOWN else 10)


@pytest.mark.parametrize("across", [80.0, 127.0, 208.0, 300.0])
@pytest.mark.parametrize("through", [None, "tee", "hose"])
@pytest.mark.parametrize(
    ("port", "sender"),
    [
        ("m10x1", "npt-1-8"),
        ("npt-1-8", "npt-1-8"),
        ("m14x1.5", "npt-1-8"),
        ("unf-5-8-18", "npt-1-4"),
        ("g-1-2", "m10x1"),
    ],
)
@pytest.mark.parametrize(
    "mounted", [WHOLE, Mounted(), Mounted(1e-3, 9e-3, 0.4), Mounted(0.4, 2e-3, 1e-3, 0.2)]
)
def test_that_nothing_stands_beyond_the_edge_and_no_name_on_another(
    port: str, sender: str, through: str | None, across: float, mounted: Mounted
) -> None:
    found = shortest_chain(thread(port), thread(sender), through=through)
    assert found is not None
    made = chain_drawing(found, (), mounted, LOOK, across)
    picture = Picture(made.svg)
    assert made.width == across
    for shape in picture.all("rect"):
        x, wide = picture.length(shape, "x"), picture.length(shape, "width")
        y, high = picture.length(shape, "y"), picture.length(shape, "height")
        assert x >= -0.01
        assert x + wide <= made.width + 0.01
        assert y >= -0.01
        assert y + high <= made.height + 0.01
    boxes = [letters(picture, one) for one in picture.all("text")]
    for left, right, top, bottom in boxes:
        assert left >= 0.0
        assert right <= made.width
        assert top >= 0.0
        assert bottom <= made.height
    for one, other in itertools.combinations(boxes, 2):
        apart = one[1] < other[0] or other[1] < one[0] or one[3] < other[2] or other[3] < one[2]
        assert apart, (one, other)
    for rule in picture.all("line", "names"):
        x, low = picture.length(rule, "x1"), picture.length(rule, "y2")
        names = [letters(picture, one) for one in picture.all("text", "names")]
        crossed = [box for box in names if box[0] < x < box[1] and box[2] < low]
        assert not crossed


def letters(picture: Picture, one: ElementTree.Element) -> tuple[float, float, float, float]:
    """Left, right, top and bottom of a text [mm]."""
    size = picture.length(one, "font-size")
    wide = width("".join(one.itertext()), size)
    x, low = picture.length(one, "x"), picture.length(one, "y")
    left = x - wide if one.get("text-anchor") == "end" else x
    return left, left + wide, low - CAP_HEIGHT * size, low


def test_that_letters_keep_their_size_and_the_bar_is_as_long_as_it_says() -> None:
    found = chain("unf-5-8-18", "npt-1-4")
    for across in (100.0, 200.0):
        for body in (10e-3, 140e-3):
            picture = drawn(found, Mounted(body, 9e-3, None, 12e-3, 10e-3), across=across)
            sizes = {round(picture.length(one, "font-size"), 2) for one in picture.all("text")}
            assert sizes == {BODY, SMALL}
            bar = picture.named("scale-bar")
            long = picture.length(bar, "x2") - picture.length(bar, "x1")
            said = float(picture.says("scale-words").split("\N{NO-BREAK SPACE}")[0])
            scale = box(picture, "sender-body")[2] / (body * 1e3)
            assert long / said == pytest.approx(scale, rel=2e-3)
