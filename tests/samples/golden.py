"""Pictures of every kind of page, seen from a distance: ``python -m tests.samples.golden`` makes them anew.

Each kind of sheet is set alone, once in millimetres on A4 and once in inches on Letter, and so are labels; of each the
first page is kept, coarse and grey. ``tests/samples/test_golden.py`` tells which kind no longer looks like that.
"""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path
from typing import Any

from PIL import Image, ImageChops, ImageFilter

from cutplan.reports.paper import press
from cutplan.reports.paper.label_sheets import label_data
from cutplan.reports.paper.labels import labels_of
from cutplan.reports.paper.plan_pdf import plan_data
from cutplan.reports.rows import rows_of
from tests.samples.planned import planned

FOLDER = Path(__file__).parent / "golden"
SAMPLES = {"A4": "garden-trailer.csv", "Letter": "market-stand/market-stand.csv"}
_DOTS = 40
"""Dots to an inch: letters are grey streaks, boxes and lines are seen."""
_SHADES = 8
_FINGERPRINT = "0a1b2c3d"


@cache
def made(paper: str) -> dict[str, Image.Image]:
    """The first page of every kind of sheet of a sample, by the name of its picture."""
    job, plan = planned(SAMPLES[paper])
    data = plan_data(rows_of(job, plan), _FINGERPRINT)
    pages = {
        f"{paper} {sheet.get('title', 'front')}": _first("plan", {**data, "sheets": [sheet]})
        for sheet in data["sheets"]
    }
    labels = label_data(labels_of(job, plan, _FINGERPRINT), job.workshop.labels, job.name)
    return pages | {f"{paper} labels": _first("labels", labels)}


def _first(template: str, data: dict[str, Any]) -> Image.Image:
    return Image.open(io.BytesIO(press.pictures(template, data, _DOTS)[0])).convert("L")


def unlike(one: Image.Image, other: Image.Image) -> float:
    """Share of the surface that differs by more than a quarter of black, once both are blurred; 1 of other sizes.

    A hair's breadth between two releases of the typesetter is blurred away; a line more or a column moved is not.
    """
    if one.size != other.size:
        return 1.0
    a, b = (image.convert("L").filter(ImageFilter.BoxBlur(2)) for image in (one, other))
    differing = ImageChops.difference(a, b).histogram()
    return sum(differing[64:]) / (one.width * one.height)


def path_of(name: str) -> Path:
    return FOLDER / (name.lower().replace(" ", "-") + ".png")


def main() -> None:
    """Write all pictures anew."""
    FOLDER.mkdir(exist_ok=True)
    names = [name for paper in SAMPLES for name in made(paper)]
    for stale in {*FOLDER.glob("*.png")} - {path_of(name) for name in names}:
        stale.unlink()
    for paper in SAMPLES:
        for name, picture in made(paper).items():
            picture.quantize(_SHADES).save(path_of(name), optimize=True)
            print(f"{path_of(name).name}: {path_of(name).stat().st_size // 1000} kB")


if __name__ == "__main__":
    main()
