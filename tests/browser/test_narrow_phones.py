"""Every cut of the samples on narrow phones: no length, angle, stop or button runs off the screen."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from cutplan import actions
from tests.browser.conftest import serving, watch
from tests.source_code import ROOT

pytestmark = pytest.mark.thorough
LISTS = ("garden-trailer.csv", "tool-stand.csv", "potting-benches.xlsx")
INCH = "market-stand/market-stand.csv"
LONG = "market-stand/long.csv"

TOO_WIDE = """() => {
  const found = [], wide = document.documentElement.clientWidth;
  const good = document.getElementById("good"), bad = document.getElementById("bad");
  const SHOWN = ".card, .card *, .change, .barhead, .fetch, .trim, .coming li, .coming li *";
  bad.hidden = false;
  let cuts = 0;
  const bars = [...document.querySelectorAll("section.bar")];
  for (const bar of bars) {
    for (const each of bars) each.hidden = each !== bar;
    const cards = [...bar.querySelectorAll("article")];
    for (const card of cards) {
      for (const each of cards) each.hidden = each !== card;
      const name = "bar " + bar.dataset.number + " " + (card.dataset.key || "left over");
      good.textContent = card.dataset.mark ? card.dataset.mark + " is cut" : "Bar " + bar.dataset.number;
      cuts += card.dataset.mark !== undefined;
      if (document.documentElement.scrollWidth > wide) found.push(name + ": page");
      for (const one of bar.querySelectorAll(SHOWN)) {
        const box = one.getBoundingClientRect();
        if (!box.width) continue;
        const card = one.parentElement.closest(".card");
        const round = card ? card.getBoundingClientRect() : { left: 0, right: wide };
        const most = one.closest("svg") ? 0 : one.scrollWidth - Math.max(one.clientWidth, box.width);
        if (box.left < round.left - .5 || box.right > round.right + .5 || (one.clientWidth && most > 1))
          found.push(name + ": " + one.outerHTML.slice(0, 60));
      }
      for (const one of [good, bad]) {
        const box = one.getBoundingClientRect();
        if (box.left < 0 || box.right > wide || one.scrollWidth > one.clientWidth + 1) found.push(name + ": " + one.id);
      }
    }
  }
  return { cuts, found };
}"""

BROKEN = r"""() => {
  const found = [];
  let seen = 0;
  for (const one of document.querySelectorAll("main [hidden]")) one.hidden = false;
  for (const one of document.querySelectorAll("main details")) one.open = true;
  const texts = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
  while (texts.nextNode())
    for (const fraction of texts.currentNode.data.matchAll(/(\d+'\s)?\d+\s\d+\/\d+/g)) {
      const range = document.createRange();
      range.setStart(texts.currentNode, fraction.index);
      range.setEnd(texts.currentNode, fraction.index + fraction[0].length);
      const lines = new Set([...range.getClientRects()].map((box) => Math.round(box.top)));
      seen += lines.size > 0;
      if (lines.size > 1) found.push(fraction[0] + " in " + texts.currentNode.data.trim());
    }
  return { seen, found };
}"""


@pytest.fixture(scope="module")
def samples(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a bench on the samples, the rack begun and each list planned."""
    folder = tmp_path_factory.mktemp("samples")
    shutil.copytree(ROOT / "inputs", folder, dirs_exist_ok=True)
    with pytest.MonkeyPatch.context() as here:
        here.chdir(folder)
        rows = 'ON-A-DRAWING-2031-B-01,2,HSS 2x2x1/8,"7\' 10 13/16""","M12 clear, face 1: 2, 5 1/2"\n'
        Path(LONG).write_text(f"Mark,Quantity,Section,Length,Holes\n{rows}")
        actions.rack_read(actions.find_rack(near="."), "rack.csv")
        for name in (*LISTS, INCH, LONG):
            actions.plan_into(actions.read_job(name), f"reports/{Path(name).stem}", rack=actions.find_rack(near="."))
        with serving() as address:
            yield address


@pytest.mark.parametrize(("wide", "high"), [(360, 740), (390, 844)])
@pytest.mark.parametrize("name", LISTS)
def test_no_cut_of_a_sample_runs_off_a_narrow_phone(
    chromium: Browser, samples: str, name: str, wide: int, high: int
) -> None:
    page = chromium.new_context(viewport={"width": wide, "height": high}, has_touch=True, is_mobile=True).new_page()
    watch(page, samples)
    page.goto(f"{samples}/job/{name}/saw")
    seen = page.evaluate(TOO_WIDE)
    page.context.close()
    assert seen["cuts"] > 10
    assert seen["found"] == []


@pytest.mark.parametrize("job", [INCH, LONG])
@pytest.mark.parametrize("look", ["saw", "drill", "ending"])
def test_no_fraction_is_broken_over_two_lines(chromium: Browser, samples: str, look: str, job: str) -> None:
    """On narrower phones too, so that lines end at many places."""
    page = chromium.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True).new_page()
    watch(page, samples)
    page.goto(f"{samples}/job/{job}/{look}")
    for wide in range(320, 400, 8):
        page.set_viewport_size({"width": wide, "height": 844})
        fractions = page.evaluate(BROKEN)
        assert fractions["seen"] > 0
        assert fractions["found"] == [], wide
    page.context.close()


def test_the_whole_of_a_piece_on_the_rack_is_seen_without_pushing_it_sideways(chromium: Browser, samples: str) -> None:
    page = chromium.new_context(viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True).new_page()
    watch(page, samples)
    page.goto(f"{samples}/rack")
    rows = page.locator(".pieces tbody tr")
    assert rows.count() > 10
    beside = "() => { const box = document.querySelector('.scroll'); return box.scrollWidth - box.clientWidth; }"
    assert page.evaluate(beside) == 0
    for row in rows.all():
        box = row.bounding_box()
        assert box is not None
        assert box["height"] < 120, "two or three lines"
    page.context.close()


def test_a_list_begins_at_what_is_wrong_in_it(chromium: Browser, samples: str) -> None:
    """Its column may lie far to the right; the number of its row stays in sight."""
    Path("faulty.csv").write_text("Mark,Quantity,Section,Length\nA,2,SHS 40x40x3,900\nB,1,SHS 40x40x3,12OO\n")
    page = chromium.new_context(viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True).new_page()
    watch(page, samples)
    page.goto(f"{samples}/job/faulty.csv/list")
    for seen in ("[aria-invalid]", ".why", ".grid tr:has([aria-invalid]) th"):
        box = page.locator(seen).bounding_box()
        assert box is not None
        assert box["x"] >= 0, seen
        assert box["x"] + box["width"] <= 360, seen
    page.context.close()
    Path("faulty.csv").unlink()
