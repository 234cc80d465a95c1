"""The pictures that README shows, made from the garden trailer: ``python -m tests.samples.pictures``.

A page to cut from and one bar come from the typesetter; the workbook is printed by LibreOffice. They are grey and
small. ``tests/samples/test_pictures.py`` tells when one no longer looks like what is made today.
"""

from __future__ import annotations

import io
import shutil
import subprocess
import tempfile
from functools import cache
from pathlib import Path

import pypdfium2
from PIL import Image

from cutplan.reports.paper import press
from cutplan.reports.paper.plan_pdf import plan_data
from cutplan.reports.rows import rows_of
from cutplan.reports.workbook.plan_xlsx import workbook_bytes
from tests.samples.planned import planned

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "reports" / "pictures"
PAGE, BAR, WORKBOOK = "page.png", "bar.png", "workbook.png"
_SHADES = 16
_FINGERPRINT = "0a1b2c3d"


@cache
def page_and_bar() -> tuple[Image.Image, Image.Image]:
    """The first page to cut from, and the drawing of its first bar."""
    job, plan = planned("garden-trailer.csv")
    data = plan_data(rows_of(job, plan), _FINGERPRINT)
    (sheet,) = (sheet for sheet in data["sheets"] if sheet["kind"] == "cut")
    page = _picture(press.pictures("plan", {**data, "sheets": [sheet]}, 90)[0])
    first = sheet["groups"][0] | {"blocks": sheet["groups"][0]["blocks"][:1]}
    alone = sheet | {"groups": [first], "lines": [], "safety": [], "recut": None}
    bar = _picture(press.pictures("plan", {**data, "sheets": [alone]}, 110)[0])
    top, bottom = round(bar.height * 0.1), round(bar.height * 0.255)
    return page, bar.crop((0, top, bar.width, bottom))


def workbook() -> Image.Image | None:
    """The sheet to buy from, as LibreOffice prints it; None where there is no LibreOffice."""
    program = shutil.which("soffice")
    if program is None:
        return None
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "plan.xlsx").write_bytes(workbook_bytes(*planned("garden-trailer.csv")))
        command = [program, f"-env:UserInstallation=file://{folder}/profile", "--headless", "--convert-to", "pdf"]
        subprocess.run([*command, "plan.xlsx"], cwd=folder, capture_output=True, check=True, timeout=120)
        made = pypdfium2.PdfDocument(folder / "plan.pdf")
        picture = made[0].render(scale=90 / 72).to_pil().convert("L")
        made.close()
    upper: Image.Image = picture.crop((0, 0, picture.width, round(picture.height * 0.5)))
    return upper


def _picture(png: bytes) -> Image.Image:
    return Image.open(io.BytesIO(png)).convert("L")


def unlike(one: Image.Image, other: Image.Image) -> float:
    """Share of the surface that differs by more than a third of black, both seen from a distance; 1 of other sizes."""
    if one.size != other.size:
        return 1.0
    small = (one.width // 4, one.height // 4)
    a, b = (image.convert("L").resize(small, Image.Resampling.BOX).tobytes() for image in (one, other))
    return sum(abs(x - y) > 85 for x, y in zip(a, b, strict=True)) / len(a)


def main() -> None:
    """Write all pictures anew."""
    FOLDER.mkdir(exist_ok=True)
    page, bar = page_and_bar()
    for name, picture in ((PAGE, page), (BAR, bar), (WORKBOOK, workbook())):
        if picture is None:
            print(f"{name}: left as it is, because LibreOffice is not installed")
            continue
        picture.quantize(_SHADES).save(FOLDER / name, optimize=True)
        print(f"{name}: {picture.width} x {picture.height}, {(FOLDER / name).stat().st_size // 1000} kB")


if __name__ == "__main__":
    main()
