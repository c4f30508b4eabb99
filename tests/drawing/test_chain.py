"""The drawing of a chain: pieces in their order, lengths and diameters to one scale."""

from __future__ import annotations

import itertools

import pytest

from catalog.quantities.show import NumberStyle
from catalog.threads.standards import thread
from retrofit.drawing.chain import BODY_LENGTH, HOSE_SHOWN, Mounted, chain_drawing
from retrofit.drawing.look import Look
from retrofit.drawing.palette import LIGHT
from retrofit.fit.adapters import Chain, chain_of, shortest_chain
from retrofit.messages import Renderer
from tests.drawing.picture import Picture

LOOK = Look(LIGHT, Renderer(NumberStyle(), strict=True))
WHOLE = Mounted(body=35e-3, thread=9e-3, probe=30e-3, wall=12e-3)


def chain(port: str, sender: str, through: str | None = None) -> Chain:
    found = shortest_chain(thread(port), thread(sender), through=through)
    assert found is not None
    return found


def drawn(found: Chain, mounted: Mounted = WHOLE) -> Picture:
    return Picture(chain_drawing(found, mounted, LOOK).svg)


def box(picture: Picture, name: str) -> tuple[float, float, float, float]:
    """Left, right, width and height of a rectangle [mm]."""
    shape = picture.named(name)
    x, wide = picture.length(shape, "x"), picture.length(shape, "width")
    return x, x + wide, wide, picture.length(shape, "height")


def test_that_pieces_stand_face_to_face_from_the_port_to_the_sender() -> None:
    found = chain("m14x1.5", "r-1-8")
    picture = drawn(found)
    names = [*(piece.key for piece in found.pieces), "sender"]
    boxes = [box(picture, f"{name}-body") for name in names]
    for before, after in itertools.pairwise(boxes):
        assert after[0] == pytest.approx(before[1], abs=0.01)


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
    body, hose = box(picture, "sender-body"), box(picture, "hose-npt-1-8-body")
    assert hose[2] / body[2] == pytest.approx(HOSE_SHOWN / BODY_LENGTH, rel=1e-3)


def test_that_a_joint_that_does_not_go_wears_the_colour_of_a_stop() -> None:
    found = chain_of(thread("m10x1"), thread("g-1-8"), ["adapter-npt-1-8-g-1-8"])
    colours = [one.get("stroke") for one in drawn(found).all("line")]
    assert colours.count(LIGHT.stop) == 1
    assert colours.count(LIGHT.good) == 1


@pytest.mark.parametrize("through", [None, "tee", "hose"])
@pytest.mark.parametrize("port", ["m10x1", "npt-1-8", "m14x1.5"])
def test_that_nothing_stands_beyond_the_edge_and_names_do_not_touch(
    port: str, through: str | None
) -> None:
    found = chain(port, "npt-1-8", through)
    made = chain_drawing(found, WHOLE, LOOK)
    picture = Picture(made.svg)
    for shape in picture.all("rect"):
        x, wide = picture.length(shape, "x"), picture.length(shape, "width")
        y, high = picture.length(shape, "y"), picture.length(shape, "height")
        assert x >= -0.01
        assert x + wide <= made.width + 0.01
        assert y >= -0.01
        assert y + high <= made.height + 0.01
    assert found.port.designation in made.svg
    assert found.sender.designation in made.svg
