"""The bench under phones: the page of a large job at the desk, a tick, twenty phones that tick at once, two in step.

``python tests/benchmarks/phones.py``; the exit code is 1 when a limit is missed or an answer is not what it should be.
The server is a process of its own, asked over the network of this computer; times are those that a browser waits, and
beside them processor time of the server, where the system tells it: on a busy machine that alone says much. Two phones
in step are two pages of Chromium, one tapped and one watched; a machine without it leaves that out, and says so.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import threading
import time
import urllib.request
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
PARTS, PHONES, TICKS = 220, 20, 5
"""Parts of the job; phones at once, and how many parts each ticks."""
MOST_DESK, MOST_TICK = 0.300, 0.050
"""Seconds in which a page right after a tick, and a tick, are answered; of several the one in the middle."""
MOST_BEHIND, TAPS = 2.0, 12
"""Seconds in which every tick stands on another phone; how many are tapped for that, by the two in turn."""
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")

SERVE = """
import socket, sys, uvicorn
from cutplan.web.bench import bench
listening = socket.socket()
listening.bind(("127.0.0.1", 0))
listening.listen(64)
print(listening.getsockname()[1], flush=True)
uvicorn.Server(uvicorn.Config(bench(), log_level="warning")).run(sockets=[listening])
"""


def made(folder: Path) -> None:
    """A job of so many parts, planned, with other jobs beside it."""
    rows = ["Mark,Quantity,Section,Length,Cut A,Cut B"]
    rows += [f"P{n},1,SHS 40x40x3,{400 + 37 * n % 1800},{45 if n % 4 == 0 else ''}," for n in range(PARTS)]
    (folder / "frame.csv").write_text("\n".join(rows) + "\n")
    for name in ("gate", "stand", "bench"):
        (folder / f"{name}.csv").write_text("Mark,Quantity,Section,Length\nA,9,SHS 40x40x3,900\n")
    (folder / "prices.csv").write_text("Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,6000,35.40,each\n")
    (folder / "workshop.toml").write_text('[files]\nprices = "prices.csv"\n')
    cutplan = str(Path(sys.executable).with_name("cutplan"))
    for name in ("frame", "gate", "stand", "bench"):
        subprocess.run(
            [cutplan, "plan", f"{name}.csv", "--time-limit", "5"], cwd=folder, check=False, capture_output=True
        )


def asked(address: str, sent: dict[str, Any] | None = None, *, page: bool = False) -> str:
    """What an address answers; an answer that is an error raises."""
    headers = {"origin": "/".join(address.split("/")[:3]), "content-type": "application/json"}
    headers |= {} if page else {"accept": "application/json"}
    body = None if sent is None else json.dumps(sent).encode()
    with urllib.request.urlopen(urllib.request.Request(address, body, headers), timeout=60) as answer:
        return str(answer.read().decode())


def worked(process: int) -> float:
    """Processor seconds of a process so far; 0 where the system does not tell."""
    try:
        fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    except OSError:
        return 0.0
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")  # utime and stime, proc(5)


def timed(deed: Callable[[], object]) -> float:
    """Seconds that something takes."""
    started = time.perf_counter()
    deed()
    return time.perf_counter() - started


def parts_of(folder: Path) -> list[dict[str, Any]]:
    """Every part of the planned job as a tick names it."""
    plan = json.loads((folder / "reports/frame/plan.json").read_text())
    return [
        {"bar": bar["number"], "part": cut["mark"], "copy": cut["copy"], "step": "cut"}
        for group in plan["groups"]
        for bar in group["bars"]
        for cut in bar["cuts"]
    ]


def measured(address: str, folder: Path, process: int) -> list[tuple[str, float, float | None]]:
    """What was measured, in seconds, with its limit."""
    job = f"{address}/job/frame.csv"
    parts = iter(parts_of(folder))
    plan = json.loads(asked(f"{job}/ticks.json"))["plan"]

    def tick() -> None:
        one = next(parts)
        key = f"{one['part']}/{one['copy']}"
        there = json.loads(asked(f"{job}/tick", {**one, "plan": plan, "id": f"b{key}"}))
        if key not in there["cut"]:
            raise ValueError(f"{key} is not among {there}")

    first = timed(lambda: asked(job, page=True))
    tick()
    ticks, desks, lists, saws = [], [], [], []
    for _ in range(15):
        ticks.append(timed(tick))
        desks.append(timed(lambda: asked(job, page=True)))
        tick()
        lists.append(timed(lambda: asked(address + "/", page=True)))
        saws.append(timed(lambda: asked(f"{job}/saw", page=True)))
    before = worked(process)
    more = [timed(tick) for _ in range(25)]
    alone = (worked(process) - before) / len(more)
    ticks += more
    before = worked(process)
    for _ in range(25):
        asked(job, page=True)
    page = (worked(process) - before) / 25

    wrong: list[BaseException] = []
    waits: list[float] = []
    mine = [[next(parts) for _ in range(TICKS)] for _ in range(PHONES)]

    def phone(own: list[dict[str, Any]]) -> None:
        try:
            for one in own:
                sent = {**one, "plan": plan, "id": f"p{one['part']}/{one['copy']}"}
                waits.append(timed(partial(asked, f"{job}/tick", sent)))
                asked(f"{job}/ticks.json")
        except BaseException as error:
            wrong.append(error)

    phones = [threading.Thread(target=phone, args=(own,)) for own in mine]
    for one in phones:
        one.start()
    for one in phones:
        one.join()
    if wrong:
        raise ValueError(f"{len(wrong)} of {PHONES} phones had an error, the first {wrong[0]!r}")
    there = set(json.loads(asked(f"{job}/ticks.json"))["cut"])
    lost = [one for own in mine for one in own if f"{one['part']}/{one['copy']}" not in there]
    if lost:
        raise ValueError(f"{len(lost)} ticks are lost")
    return [
        ("first page of the job", first, None),
        ("page of the job right after a tick", statistics.median(desks), MOST_DESK),
        ("page of all jobs right after a tick", statistics.median(lists), MOST_DESK),
        ("page at the saw right after a tick", statistics.median(saws), None),
        ("a tick", statistics.median(ticks), MOST_TICK),
        ("  processor time of a tick", alone, None),
        ("  processor time of the page of the job", page, None),
        ("the slowest tick", max(ticks), None),
        (f"a tick among {PHONES} phones", statistics.median(waits), None),
        (f"the slowest among {PHONES} phones", max(waits), None),
    ]


def in_step(address: str) -> list[tuple[str, float, float | None]]:
    """How long after a tap at one phone the part is grey on another, which asks on its own."""
    from playwright.sync_api import sync_playwright

    saw = f"{address}/job/frame.csv/saw"
    waits = []
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        two = [browser.new_context(viewport={"width": 360, "height": 740}).new_page() for _ in range(2)]
        for one in two:
            one.goto(saw)
        for tap in range(TAPS):
            mine, other = two[tap % 2], two[1 - tap % 2]
            good = mine.locator("#good:not([aria-disabled])")
            if " is cut" not in good.inner_text():  # the bar is done, and both go on to the next one
                for one in two:
                    one.goto(saw)
            key = mine.locator("article.cut:visible").get_attribute("data-key")
            mine.wait_for_timeout(83 * tap)  # taps fall anywhere between two questions of the other phone
            tapped = time.perf_counter()
            good.click()
            other.wait_for_function(
                "key => [...document.querySelectorAll('.strip .cut')].some((one) => one.dataset.key === key)", arg=key
            )
            waits.append(time.perf_counter() - tapped)
        browser.close()
    return [
        ("a tick until it stands on a second phone", statistics.median(waits), None),
        ("the slowest until it stands there", max(waits), MOST_BEHIND),
    ]


def main() -> int:
    """Measure and print a table; the return value is the exit code."""
    argparse.ArgumentParser(description=__doc__).parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        made(folder)
        server = subprocess.Popen([sys.executable, "-c", SERVE], cwd=folder, stdout=subprocess.PIPE, text=True)
        assert server.stdout is not None
        try:
            address = f"http://127.0.0.1:{server.stdout.readline().strip()}"
            rows = measured(address, folder, server.pid)
            if CHROMIUM:
                rows += in_step(address)
            else:
                print("two phones in step: not measured, no chromium on this machine")
        finally:
            server.terminate()
            server.wait()
    missed = False
    for title, seconds, limit in rows:
        over = limit is not None and seconds > limit
        missed |= over
        print(f"{title:<41} {1000 * seconds:>7.0f} ms {f'{1000 * limit:.0f}' if limit else '':>5}{'  MISSED' * over}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
