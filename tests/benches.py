"""The bench as a browser sees it, for the folder that a test works in."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from cutplan.web.bench import bench

HERE = "http://127.0.0.1:8321"
VALUES = {"accept": "application/json"}
PLAN = Path("reports/frame/plan.json")
JOB = "/job/frame.csv"


def browser(**settings: Any) -> TestClient:
    """A browser at the desk; what it sends comes from a page of the bench."""
    host = settings.pop("host", "127.0.0.1")
    return TestClient(
        bench(**settings), base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False, client=(host, 50000)
    )


def bars_in_plan() -> dict[int, list[tuple[str, int]]]:
    """The parts of each bar of the small plan, in order."""
    groups = json.loads(PLAN.read_text())["groups"]
    bars = (bar for group in groups for bar in group["bars"])
    return {bar["number"]: [(cut["mark"], cut["copy"]) for cut in bar["cuts"]] for bar in bars}


def tick(at: TestClient, bar: int, part: str, copy: int, step: str = "cut", **more: str) -> Any:
    """Send a tick as the script of a phone does; gives the answer."""
    plan = more.pop("plan", "") or at.get(f"{JOB}/ticks.json").json()["plan"]
    sent = {"plan": plan, "bar": bar, "part": part, "copy": copy, "step": step, "id": f"{step}{part}{copy}", **more}
    return at.post(f"{JOB}/tick", json=sent, headers=VALUES)


def words(html: str) -> str:
    """A page as it is read: without its tags, every space one."""
    return " ".join(re.sub(r"<[^>]*>", " ", html).split())
