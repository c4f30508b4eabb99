"""The drawing of two threads is the verdict's own section: one scale, the same overlap."""

from __future__ import annotations

import re

import numpy as np
import pytest

from catalog.quantities.kinds import Kind
from catalog.quantities.show import NumberStyle
from catalog.threads.standards import thread
from retrofit.drawing.look import BODY, SMALL, Look
from retrofit.drawing.palette import DARK, LIGHT
from retrofit.drawing.thread_profile import PROFILE_WIDTH, thread_profile
from retrofit.fit.profile import section, telling_depth
from retrofit.fit.thread_fit import ThreadFit, thread_fit
from retrofit.messages import Renderer
from tests.drawing.picture import Picture

LOOK = Look(LIGHT, Renderer(NumberStyle(), strict=True))

PAIRS = [
    ("npt-1-8", "npt-1-8"),
    ("r-1-8", "rc-1-8"),
    ("g-1-8", "g-1-8"),
    ("npt-1-8", "rc-1-8"),
    ("npt-1-8", "m10x1"),
    ("m10x1", "g-1-8"),
    ("unf-3-8-24", "m10x1"),
    ("m10x1", "m14x1.5"),
]


def pair(male: str, female: str) -> ThreadFit:
    return thread_fit(thread(male), thread(female))


def drawn(fit: ThreadFit, look: Look = LOOK) -> Picture:
    return Picture(thread_profile(fit, look).svg)


def line_of(picture: Picture, name: str) -> tuple[np.ndarray, np.ndarray]:
    """A profile in the drawing's own places [mm]; heights grow upwards."""
    points = np.array(picture.points(picture.named(name)))
    return points[:, 0], -points[:, 1]


def places(picture: Picture, fit: ThreadFit) -> tuple[float, float]:
    """Where the face stands in the drawing [mm], and millimetres drawn for one of metal.

    The scale is read off the drawing: the tip of the sender is as deep as the section says.
    """
    face = picture.length(picture.named("face"), "x1")
    tip = picture.length(picture.named("tip"), "x1")
    return face, (tip - face) / (telling_depth(fit) * 1e3)


@pytest.mark.parametrize(("male", "female"), PAIRS)
def test_that_the_overlap_measured_in_the_drawing_is_that_of_the_verdicts_section(
    male: str, female: str
) -> None:
    fit = pair(male, female)
    picture = drawn(fit)
    (x, inner), (far, outer) = (line_of(picture, f"{n}-profile") for n in ("sender", "port"))
    face, scale = places(picture, fit)
    along = np.unique(np.concatenate([x, far]))
    along = along[(along >= face - 1e-6) & (along <= x[-1] + 1e-6)]
    over = float(np.max(np.interp(along, x, inner) - np.interp(along, far, outer)))
    depth = telling_depth(fit)
    there = section(fit.male, fit.female, depth, beyond=3.0).overlap() * 1e3
    # Drawings are written in hundredths of a twentieth of a millimetre.
    assert over / scale == pytest.approx(there, abs=2e-4)


@pytest.mark.parametrize(("male", "female"), PAIRS)
def test_that_length_and_height_have_one_scale_and_the_diameters_of_the_standard(
    male: str, female: str
) -> None:
    fit = pair(male, female)
    picture = drawn(fit)
    _, scale = places(picture, fit)
    x, height = line_of(picture, "port-profile")
    crests = x[1:][np.isclose(np.diff(height), 0.0, atol=2e-3)]
    assert scale > 5.0
    part = fit.female.female
    assert part is not None
    depth = (part.major.middle - part.minor.middle) / 2.0 * 1e3
    assert height.max() - height.min() == pytest.approx(
        depth * scale, abs=0.02 + scale * fit.female.taper * (x[-1] - x[0]) / scale / 2.0
    )
    # Ends of equal flats lie one pitch apart along the axis.
    if fit.female.taper == 0.0 and len(crests) > 4:
        assert crests[3] - crests[1] == pytest.approx(fit.female.pitch * 1e3 * scale, abs=0.02)
    bar = picture.named("scale-bar")
    long = picture.length(bar, "x2") - picture.length(bar, "x1")
    says = float(picture.says("scale-words").split("\N{NO-BREAK SPACE}")[0])
    assert long / says == pytest.approx(scale, rel=2e-3)


@pytest.mark.parametrize(("male", "female"), PAIRS)
def test_that_metal_in_the_way_is_painted_where_a_pair_does_not_go_and_nowhere_else(
    male: str, female: str
) -> None:
    fit = pair(male, female)
    painted = drawn(fit).all("polygon", "in-the-way")
    assert bool(painted) == (fit.outcome in ("binds", "does not start"))


def test_that_the_place_where_it_binds_is_marked_and_lettered() -> None:
    fit = pair("npt-1-8", "m10x1")
    picture = drawn(fit)
    face, scale = places(picture, fit)
    at = picture.length(picture.named("binds-here"), "x1")
    assert (at - face) / scale == pytest.approx(fit.middle.depth * 1e3, abs=2e-3)
    assert any(re.fullmatch(r"binds 1\.43.mm in", words) for words in picture.texts())


@pytest.mark.parametrize("across", [80.0, 127.0, 208.0])
def test_that_letters_keep_their_size_whatever_the_scale(across: float) -> None:
    # 5 mm of air between M10 and G 1/2: the profiles are small, the letters are not.
    for male, female in (*PAIRS, ("m10x1", "g-1-2")):
        made = thread_profile(pair(male, female), LOOK, across)
        picture = Picture(made.svg)
        sizes = {round(picture.length(one, "font-size"), 2) for one in picture.all("text")}
        assert sizes == {BODY, SMALL}
        assert made.width == across
        assert made.height < 56.0


def test_that_the_bar_is_in_the_unit_of_the_reader() -> None:
    inches = Look(LIGHT, Renderer(NumberStyle(units={Kind.LENGTH: "in"}), strict=True))
    fit = pair("npt-1-8", "npt-1-8")
    picture = drawn(fit, inches)
    _, scale = places(picture, fit)
    bar = picture.named("scale-bar")
    long = picture.length(bar, "x2") - picture.length(bar, "x1")
    number, unit = picture.says("scale-words").split("\N{NO-BREAK SPACE}")
    assert unit == "in"
    assert long == pytest.approx(float(number) * 25.4 * scale, rel=2e-3)


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_that_nothing_stands_beyond_the_edge_and_whoever_cannot_see_it_reads_the_verdict(
    palette: object,
) -> None:
    look = Look(palette, LOOK.renderer)  # type: ignore[arg-type]
    for male, female in PAIRS:
        made = thread_profile(pair(male, female), look)
        picture = Picture(made.svg)
        assert made.width == PROFILE_WIDTH
        for shape in (*picture.all("polyline"), *picture.all("polygon")):
            for x, y in picture.points(shape):
                assert -0.01 <= x <= made.width + 0.01
                assert -0.01 <= y <= made.height + 0.01
        assert thread(male).designation in made.desc
