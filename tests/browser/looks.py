"""Pictures of the main pages, light and dark, seen from a distance: ``python -m tests.browser.looks`` takes them anew.

Letters are the font that the package ships, so that every machine breaks lines at the same words; what is kept is a
third as wide and grey, in which letters are streaks, buttons and cards are seen. ``tests/browser/test_looks.py`` tells
which page no longer looks like that.
"""

from __future__ import annotations

import base64
import io
import os
import tempfile
from pathlib import Path

from PIL import Image, ImageChops, ImageFilter
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.conftest import CHROMIUM, OPTIONS, PATIENCE_MS, serving
from tests.browser.pictures import samples
from tests.source_code import ROOT

FOLDER = Path(__file__).parent / "looks"
FAULTY = "Mark,Quantity,Section,Length,Cut A\nA,2,SHS 40x40x3,12OO,\nB,1,SHS 40x40x3,900,30\n"
TRAILER = "/job/garden-trailer.csv"
PAGES = {
    "desk": ("/", 900, 700),
    "list": ("/job/faulty.csv/list", 900, 600),
    "plan": (TRAILER, 900, 1200),
    "saw 360": (f"{TRAILER}/saw?bar=1", 360, 740),
    "saw 390": (f"{TRAILER}/saw?bar=1", 390, 844),
    "rack": ("/rack", 900, 700),
    "drill": (f"{TRAILER}/drill?bar=1", 390, 844),
}
"""The address of a page, and how wide and high it is seen."""
LOOKS = ("light", "dark")
_SMALLER = 3
_SHADES = 16
_DIFFERS = 40
"""Of 255 shades, once both are blurred."""
_MOMENT_MS, _MOST_CHANGES = 100, 50
"""How long until a page is looked at again, and how often, for it to come to rest."""
_FONTS = ROOT / "cutplan/reports/fonts"


def _letters() -> str:
    faces = []
    for weight, file in (("400", "DejaVuSansCondensed.ttf"), ("700", "DejaVuSansCondensed-Bold.ttf")):
        data = base64.b64encode((_FONTS / file).read_bytes()).decode()
        faces.append(f"@font-face{{font-family:shipped;font-weight:{weight};src:url(data:font/ttf;base64,{data})}}")
    return "".join(faces) + "*{font-family:shipped!important;caret-color:transparent!important}"


def taken(browser: Browser, address: str) -> dict[str, Image.Image]:
    """Every page in either look, by the name of its picture."""
    found = {}
    for look in LOOKS:
        for name, (path, wide, high) in PAGES.items():
            page = opened(browser, address + path, wide, high, look)
            found[f"{name} {look}"] = picture(page)
            page.context.close()
    return found


def opened(browser: Browser, address: str, wide: int, high: int, look: str) -> Page:
    """A page in the shipped letters."""
    context = browser.new_context(
        viewport={"width": wide, "height": high}, color_scheme="dark" if look == "dark" else "light", bypass_csp=True
    )
    context.set_default_timeout(PATIENCE_MS)
    page = context.new_page()
    page.goto(address)
    page.add_style_tag(content=_letters())
    page.evaluate("Promise.all(['16px shipped', '700 16px shipped'].map((one) => document.fonts.load(one)))")
    return page


def picture(page: Page) -> Image.Image:
    """What is seen of a page, smaller and grey, once it no longer changes: letters may come a moment after the rest."""
    before, seen = b"", page.screenshot()
    for _ in range(_MOST_CHANGES):
        if seen == before:
            break
        page.wait_for_timeout(_MOMENT_MS)
        before, seen = seen, page.screenshot()
    grey = Image.open(io.BytesIO(seen)).convert("L")
    return grey.resize((grey.width // _SMALLER, grey.height // _SMALLER), Image.Resampling.BOX)


def unlike(one: Image.Image, other: Image.Image) -> float:
    """Share of the surface whose shade differs, once both are blurred; 1 of other sizes."""
    if one.size != other.size:
        return 1.0
    a, b = (image.convert("L").filter(ImageFilter.BoxBlur(1)) for image in (one, other))
    return sum(ImageChops.difference(a, b).histogram()[_DIFFERS:]) / (one.width * one.height)


def path_of(name: str) -> Path:
    return FOLDER / (name.replace(" ", "-") + ".png")


def jobs(folder: Path) -> None:
    """The samples with one that has a fault, in a folder that is the current one from then on."""
    samples(folder)
    Path("faulty.csv").write_text(FAULTY)


def main() -> None:
    """Take all anew."""
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as place, sync_playwright() as play:
        jobs(Path(place))
        browser = play.chromium.launch(executable_path=CHROMIUM, args=OPTIONS)
        with serving() as address:
            for name, seen in taken(browser, address).items():
                seen.quantize(_SHADES).save(path_of(name), optimize=True)
        browser.close()
        os.chdir(ROOT)


if __name__ == "__main__":
    main()
