"""The two pictures of the bench in README: ``python -m tests.browser.pictures`` takes them anew.

``tests/browser/test_pictures.py`` tells when the pages no longer look like that.
"""

from __future__ import annotations

import io
import os
import shutil
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, sync_playwright

from cutplan import actions
from tests.browser.conftest import CHROMIUM, OPTIONS, serving
from tests.source_code import ROOT

FOLDER = ROOT / "reports/pictures"
SIZES = {"bench-desk": (900, 480), "bench-saw": (390, 760)}
PATHS = {"bench-desk": "/", "bench-saw": "/job/garden-trailer.csv/saw"}


def samples(folder: Path) -> None:
    """The samples in a folder, its rack begun, the trailer planned; the folder is the current one from then on."""
    shutil.copytree(ROOT / "inputs", folder, dirs_exist_ok=True)
    os.chdir(folder)
    rack = actions.find_rack(near="garden-trailer.csv")
    actions.rack_read(rack, "rack.csv")
    actions.plan_into(actions.read_job("garden-trailer.csv"), "reports/garden-trailer", rack=rack)


def taken(browser: Browser, address: str) -> dict[str, Image.Image]:
    """Both pages as they are seen, by the name of the picture."""
    found = {}
    for name, (wide, high) in SIZES.items():
        page = browser.new_page(viewport={"width": wide, "height": high}, color_scheme="light")
        page.goto(address + PATHS[name])
        page.wait_for_load_state("networkidle")
        found[name] = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
        page.close()
    return found


def main() -> None:
    """Take both anew."""
    with tempfile.TemporaryDirectory() as place, sync_playwright() as play:
        samples(Path(place))
        browser = play.chromium.launch(executable_path=CHROMIUM, args=OPTIONS)
        with serving() as address:
            for name, picture in taken(browser, address).items():
                picture.quantize(64).save(FOLDER / f"{name}.png", optimize=True)
        browser.close()
        os.chdir(ROOT)


if __name__ == "__main__":
    main()
