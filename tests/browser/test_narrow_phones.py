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


@pytest.fixture(scope="module")
def samples(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a bench on the samples, the rack begun and each list planned."""
    folder = tmp_path_factory.mktemp("samples")
    shutil.copytree(ROOT / "inputs", folder, dirs_exist_ok=True)
    with pytest.MonkeyPatch.context() as here:
        here.chdir(folder)
        actions.rack_read(actions.find_rack(near="."), "rack.csv")
        for name in LISTS:
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
