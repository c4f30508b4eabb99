"""Pages look as they did; RETROFIT_RENEW=1 writes them anew, to be looked at before kept."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from PySide6.QtGui import QImage

from retrofit.sheet.pdf import Layout, as_pages
from tests.desk.picture_comparison import MOST, difference, load, said
from tests.sheet.sheets import LOOK, sheet

FOLDER = Path(__file__).parent / "pictures"
RENEW = "RETROFIT_RENEW"
DOTS = 42.0
KEPT = {"harbour-launch": 3, "all": 3}


def pages(name: str) -> list[QImage]:
    found = []
    for content in as_pages(sheet(name), Layout("A4", LOOK), DOTS):
        image = QImage.fromData(content)
        found.append(image.convertToFormat(QImage.Format.Format_RGB32))
    return found


@pytest.mark.parametrize("name", list(KEPT))
def test_that_the_pages_look_as_they_did(name: str) -> None:
    made = pages(name)
    assert len(made) == KEPT[name]
    for number, page in enumerate(made, 1):
        path = FOLDER / f"{name}-{number}.png"
        if os.environ.get(RENEW):
            assert page.save(str(path), "PNG", 0)  # type: ignore[call-overload]
        before = load(path).convertToFormat(QImage.Format.Format_RGB32)
        assert difference(before, page) <= MOST, f"{path.name}: {said(before, page)}"


def test_that_another_page_is_told() -> None:
    first, second, *_ = pages("all")
    assert difference(first, second) > MOST


def test_that_no_other_pictures_are_kept_and_they_stay_small() -> None:
    names = {f"{name}-{n}.png" for name, pages in KEPT.items() for n in range(1, pages + 1)}
    assert {path.name for path in FOLDER.iterdir()} == names
    assert sum(path.stat().st_size for path in FOLDER.iterdir()) < 600_000
