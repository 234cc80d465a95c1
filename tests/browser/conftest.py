"""Chromium, a bench that it looks at, and a job to cut."""

from __future__ import annotations

import os
import shutil
import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, Page, expect, sync_playwright

from cutplan import actions
from cutplan.web.bench import bench

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
OPTIONS = ["--no-sandbox", "--disable-background-networking"]
NEEDED = "CUTPLAN_BROWSER"
"""Set to ``needed``, a machine without Chromium fails these tests in place of leaving them out."""

PATIENCE_MS = 120_000
"""What is to happen is waited for so long, at most: how fast a machine is decides no test."""
expect.set_options(timeout=PATIENCE_MS)

PARTS = "Mark,Quantity,Section,Length,Cut A,Cut B\nA,6,SHS 40x40x3,900,45,45\nB,8,SHS 40x40x3,415.5,,\n"
PRICES = "Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,6000,35.40,each\n"


WRONG: list[str] = []


@contextmanager
def serving() -> Iterator[str]:
    """The address of a bench on the current folder."""
    server = uvicorn.Server(uvicorn.Config(bench(), log_level="warning", timeout_graceful_shutdown=1))
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        address = f"http://127.0.0.1:{listening.getsockname()[1]}"
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
        thread.start()
        yield address
        server.should_exit = True
        thread.join()


@pytest.fixture(autouse=True)
def nothing_wrong() -> Iterator[None]:
    """No page of a test asked another host, and no script had a fault."""
    WRONG.clear()
    yield
    assert not WRONG


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    if CHROMIUM is None:
        if os.environ.get(NEEDED) == "needed":
            pytest.fail("no chromium on this machine: apt-get install -y chromium")
        pytest.skip("no chromium on this machine: apt-get install -y chromium")
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=OPTIONS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a job of fourteen parts, planned."""
    folder = tmp_path_factory.mktemp("bench")
    (folder / "frame.csv").write_text(PARTS)
    (folder / "prices.csv").write_text(PRICES)
    (folder / "workshop.toml").write_text('[files]\nprices = "prices.csv"\n')
    planned_in(folder)
    return folder


def planned_in(folder: Path) -> None:
    """Plan the job in a folder."""
    with pytest.MonkeyPatch.context() as here:
        here.chdir(folder)
        actions.plan_into(actions.read_job("frame.csv"), "reports/frame", rack=actions.find_rack(near="."))


@pytest.fixture
def served(planned: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """The address of a bench with a copy of that folder."""
    shutil.copytree(planned, tmp_path, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)
    with serving() as address:
        yield address


def phone(chromium: Browser, address: str, *, wide: int = 360, high: int = 740, page: str = "saw") -> Page:
    """A phone of its own that looks at a page of the job, and asks nothing of any other host."""
    context = chromium.new_context(viewport={"width": wide, "height": high}, has_touch=True, is_mobile=True)
    tab = context.new_page()
    watch(tab, address)
    tab.goto(f"{address}/job/frame.csv/{page}")
    return tab


def watch(page: Page, address: str) -> None:
    """Note what a page asks of another host, and faults of its script; judged when the test is over."""
    page.set_default_timeout(PATIENCE_MS)

    def asked(url: str) -> None:
        if not url.startswith((f"{address}/", "data:", "chrome-error:")):
            WRONG.append(f"asked another host: {url}")

    page.on("request", lambda request: asked(request.url))
    page.on("pageerror", lambda error: WRONG.append(f"the script of a page: {error}"))


def until(page: Page, there: Callable[[], bool]) -> None:
    """Wait for what no page shows, such as ticks in the ledger."""
    for _ in range(PATIENCE_MS // 100):
        if there():
            return
        page.wait_for_timeout(100)
    raise AssertionError("it never was so")
