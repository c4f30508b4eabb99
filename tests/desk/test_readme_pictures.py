"""README's pictures are the window as it is; RETROFIT_RENEW=1 writes them (see test_pictures)."""

from __future__ import annotations

import os
import re
import tomllib
from pathlib import Path

import pytest

from tests.desk import scenes
from tests.desk.picture_comparison import MOST, difference, kept_size, load, said, with_few_colours
from tests.desk.scenes import Scene
from tests.desk.test_pictures import RENEW

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "resources" / "pictures"
README = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("scene", scenes.of_readme(), ids=lambda scene: scene.name)
def test_that_readme_shows_the_window_as_it_is(scene: Scene, rendered: Path) -> None:
    now = load(rendered / "readme" / f"{scene.name}.png")
    shown = FOLDER / f"{scene.name}.png"
    if os.environ.get(RENEW):
        assert with_few_colours(now).save(str(shown), "PNG", 0)  # type: ignore[call-overload]
    before, after = kept_size(load(shown)), kept_size(now)
    assert difference(before, after) <= MOST, f"{scene.name}: {said(before, after)}"


def test_that_readme_shows_every_picture_and_says_what_it_shows() -> None:
    shown = re.findall(r"!\[([^]]+)\]\(resources/pictures/([^)]+)\)", README)
    assert sorted(name for _, name in shown) == sorted(path.name for path in FOLDER.iterdir())
    assert all(len(words.split()) > 4 for words, _ in shown)
    assert sum(path.stat().st_size for path in FOLDER.iterdir()) < 300_000


def test_that_the_wheel_carries_all_resources_but_the_pictures() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    carried = project["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    folders = {path.name for path in (ROOT / "resources").iterdir()} - {"pictures"}
    assert carried == {f"resources/{name}": f"retrofit/resources/{name}" for name in folders}
