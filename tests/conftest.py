"""A small list, a small job and its plan, for tests of the commands and of the actions behind them."""

from __future__ import annotations

import gc
import shutil
import signal
from collections.abc import Generator, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

from cutplan import actions
from cutplan.model import Job, Plan
from cutplan.rack.store import Ledger
from tests import builders, codes_made, racks
from tests.commands import PARTS, PRICES
from tests.effort import FRESH, THOROUGH, examples
from tests.sheets import leave_out_paper

# A loaded machine is no fault, and a fault that a change did not make is not to be found by whoever made the change.
settings.register_profile("steady", deadline=None, max_examples=examples(100), derandomize=not FRESH)
settings.load_profile("steady")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--codes-to", help="file to add the codes to that are made; see tests/codes_made.py")


def pytest_configure(config: pytest.Config) -> None:
    if config.getoption("--codes-to"):
        codes_made.watch()


def pytest_sessionfinish(session: pytest.Session) -> None:
    if file := session.config.getoption("--codes-to"):
        codes_made.keep(Path(file))


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """Tests live as long as the run: who looks for circles among them finds none, and took a quarter of the time.

    They are not frozen after it: to count what is frozen, which is done after each search, takes longer than that.
    Instead it is looked less often, and hardly ever through all that there is.
    """
    gc.disable()
    try:
        return (yield)
    finally:
        gc.set_threshold(20_000, 50, 1_000)
        gc.enable()


TOGETHER = {
    "plans of the samples": ("tests/samples/",),
}
"""Files of tests that one worker runs, by what they share."""


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """The tests of a file stay with one worker, so that what they share is made once; some files share it too."""
    from xdist.scheduler import LoadFileScheduling

    def shared_by(nodeid: str) -> str:
        file = nodeid.split("::", 1)[0]
        return next((shared for shared, files in TOGETHER.items() if file.startswith(files)), file)

    scheduler = LoadFileScheduling(config, log)
    scheduler._split_scope = shared_by
    return scheduler


@pytest.fixture(scope="session", autouse=True)
def signals_as_from_a_terminal() -> Iterator[None]:
    """Who runs in the background of a script ignores Ctrl-C or a hang-up, and so would all that a test starts."""
    ends = [getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)]
    ignored = [number for number in ends if signal.getsignal(number) is signal.SIG_IGN]
    for number in ignored:
        signal.signal(number, signal.default_int_handler if number is signal.SIGINT else signal.SIG_DFL)
    yield
    for number in ignored:
        signal.signal(number, signal.SIG_IGN)


@pytest.fixture(scope="session", autouse=True)
def planned_in_this_process() -> Iterator[None]:
    """Helper processes are begun where a test says how many; a thorough run uses all processors, as a user does."""
    with pytest.MonkeyPatch.context() as here:
        if not THOROUGH:
            here.setattr("cutplan.planning.workers.processors", lambda: 1)
        yield


def write_lists(folder: Path) -> None:
    """A small list with its price list and workshop file."""
    (folder / "frame.csv").write_text(PARTS)
    (folder / "prices.csv").write_text(PRICES)
    (folder / "workshop.toml").write_text('[files]\nprices = "prices.csv"\n')


@pytest.fixture
def parts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A small list with its price list and workshop file, in the folder the commands are run in."""
    monkeypatch.chdir(tmp_path)
    write_lists(tmp_path)
    return "frame.csv"


@pytest.fixture
def paper() -> None:
    """Asked for by a test that reads a sheet, in a file of tests that leave them out."""


@pytest.fixture
def no_paper(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Plans are written without their sheets, which nobody reads here; a thorough run prints them all the same.

    What stands in the place of one names the plan, so that a file of another plan is still told from it.
    """
    if "paper" not in request.fixturenames:
        leave_out_paper(monkeypatch)


@pytest.fixture(scope="session")
def once_planned(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Plan]:
    """A folder with the small list and, in ``reports/frame``, all that planning it writes; and the plan."""
    folder = tmp_path_factory.mktemp("planned")
    write_lists(folder)
    with pytest.MonkeyPatch.context() as here:
        here.chdir(folder)
        plan, _ = actions.plan_into(actions.read_job("frame.csv"), "reports/frame", rack=actions.find_rack(near="."))
    return folder, plan


@pytest.fixture
def parts_planned(parts: str, tmp_path: Path, once_planned: tuple[Path, Plan]) -> Plan:
    """The small list as it is once it was planned, in the folder the commands are run in."""
    folder, plan = once_planned
    shutil.copytree(folder, tmp_path, dirs_exist_ok=True)
    return plan


@pytest.fixture(scope="session")
def small_job() -> Job:
    return builders.job(
        [builders.part("A", 4, 1200), builders.part("B", 2, 850)],
        [builders.offer("P2", 6000, 35), builders.offer("P3", 3000, 20)],
        kerf="2.5",
        end_trim=10,
    )


@pytest.fixture(scope="session")
def small_plan(small_job: Job) -> Plan:
    return actions.plan(small_job)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "out" / "job"


@pytest.fixture
def ledger(tmp_path: Path) -> Iterator[Ledger]:
    """An empty ledger."""
    with racks.new(tmp_path / "rack.ledger") as opened:
        yield opened
