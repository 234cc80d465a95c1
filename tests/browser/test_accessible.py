"""Every page against axe-core: nothing serious, light and dark; and at the saw nothing that a glove would miss."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page
from starlette.routing import Route

from cutplan import actions
from cutplan.web.bench import bench
from tests.browser.conftest import serving, watch
from tests.source_code import ROOT

pytestmark = pytest.mark.thorough
AXE = (Path(__file__).with_name("axe") / "axe.min.js").read_text()
TRAILER = "/job/garden-trailer.csv"
MORE = {
    "/rack": ["/rack", "/rack?section=SHS", "/rack?at_least=1OOO"],
    "/rack/piece/{mark}": ["/rack/piece/A1"],
    "/workshop/{table}": ["/workshop/section", "/workshop/section?add=1"],
    "/job/{job:path}": [TRAILER, "/job/tool-stand.csv", "/job/faulty.csv", "/job/gone.csv"],
    "/job/{job:path}/list": ["/job/faulty.csv/list"],
    "/job/{job:path}/saw": [f"{TRAILER}/saw", f"{TRAILER}/saw?bar=1"],
}
"""Addresses to look at of a route, where one with the trailer in it is not all; of others that is looked at."""
NO_PAGES = {"/job/{job:path}/file/{file}", "/job/{job:path}/planning/events", "/code/{kind}", "/rack/count.xlsx"}
FOUND = """async (only) => {
  const found = await axe.run(document, { resultTypes: ["violations"], ...(only ? { runOnly: only } : {}) });
  const told = (node) => node.html.slice(0, 120) + " " + (node.any[0] || node.all[0] || node.none[0]).message;
  return found.violations.filter((one) => ["serious", "critical"].includes(one.impact)).map(
    (one) => one.id + ": " + one.nodes.slice(0, 3).map(told).join(" | "));
}"""
SMALL = """() => [...document.querySelectorAll("a, button, input, summary, select")].filter((one) => {
  const box = one.getBoundingClientRect();
  return box.width && one.type !== "hidden" && (box.height < 48 || box.width < 48);
}).map((one) => one.outerHTML.slice(0, 100))"""
ON_A_PHONE = """() => {
  for (const one of document.querySelectorAll("details")) one.open = true;
  const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  const pressed = [...document.querySelectorAll("a, button, input, summary, select")];
  return { wide, small: pressed.filter((one) => {
    if (one.type === "hidden" || one.matches("p a, .plan table a, [role=alert] a")) return false;
    const box = (["checkbox", "radio"].includes(one.type) && one.closest("label") || one).getBoundingClientRect();
    return box.width && box.height < 44;
  }).map((one) => one.outerHTML.slice(0, 100)) };
}"""
"""How far a page runs off the screen with all of it open, and what is lower than a finger; links in a sentence or in a
table of the plan are as high as its lines."""


@pytest.fixture(scope="module")
def samples(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a bench on the samples: one planned and begun, one ready, one with faults, and a rack."""
    folder = tmp_path_factory.mktemp("samples")
    shutil.copytree(ROOT / "inputs", folder, dirs_exist_ok=True)
    (folder / "faulty.csv").write_text("Mark,Quantity,Section,Length\nA,2,SHS 40x40x3,12OO\n")
    with pytest.MonkeyPatch.context() as here:
        here.chdir(folder)
        rack = actions.find_rack(near=".")
        actions.rack_add(rack, section="SHS 40x40x3", length="900")
        job = actions.read_job("garden-trailer.csv")
        actions.plan_into(job, "reports/garden-trailer", rack=rack)
        actions.tick_parts("reports/garden-trailer/plan.json", rack, actions.Step.CUT, actions.Parts(bar=1))
        with serving() as address:
            yield address


def seen(page: Page, only: str = "") -> Any:
    page.evaluate(AXE)
    return page.evaluate(FOUND, only)


def addresses() -> list[str]:
    """One or more of every route that can be a page, so that a new one is looked at by itself."""
    paths = [route.path for route in bench().routes if isinstance(route, Route) and "GET" in (route.methods or ())]
    pages = [path for path in dict.fromkeys(paths) if path not in NO_PAGES and not path.endswith(".json")]
    found = [each for path in pages for each in MORE.get(path, [path.replace("/job/{job:path}", TRAILER)])]
    assert not [each for each in found if "{" in each], "an address for each is needed in MORE"
    return found


@pytest.mark.parametrize("wide", [360, 1100])
def test_nothing_serious_is_found_in_light_and_dark(chromium: Browser, samples: str, wide: int) -> None:
    found = {}
    page = chromium.new_page(viewport={"width": wide, "height": 800})
    watch(page, samples)
    for address in addresses():
        page.emulate_media(color_scheme="light")
        page.goto(samples + address)
        found[address] = seen(page)
        page.emulate_media(color_scheme="dark")
        found[f"{address} dark"] = seen(page, "color-contrast")
    page.close()
    assert {address: what for address, what in found.items() if what} == {}


def test_no_page_runs_off_a_phone_or_asks_for_thin_fingers(chromium: Browser, samples: str) -> None:
    found = {}
    page = chromium.new_context(viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True).new_page()
    watch(page, samples)
    for address in addresses():
        page.goto(samples + address)
        found[address] = page.evaluate(ON_A_PHONE)
    page.context.close()
    assert {address: one for address, one in found.items() if one["wide"] > 0 or one["small"]} == {}


@pytest.mark.parametrize("name", ["saw", "saw?bar=1", "drill", "ending"])
def test_everything_at_the_saw_can_be_hit_with_a_glove(chromium: Browser, samples: str, name: str) -> None:
    page = chromium.new_context(viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True).new_page()
    page.goto(f"{samples}{TRAILER}/{name}")
    assert page.evaluate(SMALL) == []
    page.context.close()
