"""Commands of the rack share their options, and say what they have to say once, as text or as JSON."""

from __future__ import annotations

import inspect
from typing import Any

import pytest
import typer

from cutplan import actions
from cutplan.cli import on_rack
from cutplan.cli.on_rack import Answer, changing, looking, of_job, of_plan
from cutplan.cli.options import PlanFile
from cutplan.cli.process import CHECK_REFUSED
from tests.commands import run
from tests.manual_tables import all_commands

pytestmark = pytest.mark.usefixtures("no_paper")


def no_json() -> dict[str, Any]:
    pytest.fail("not asked for")


def no_text() -> str:
    pytest.fail("not asked for")


def command(rack: actions.Rack, length: str, times: int = 1) -> Answer:
    """Say so."""
    return Answer(lambda: {"at": str(rack.path), "said": length}, lambda: length * times, CHECK_REFUSED * (times == 3))


@pytest.mark.parametrize(
    ("make", "more"),
    [
        (looking, ["ledger", "workshop", "as_json", "debug"]),
        (changing, ["who", "ledger", "workshop", "as_json", "debug"]),
        (of_job(signed=False), ["ledger", "workshop", "as_json", "debug"]),
    ],
)
def test_the_options_shared_stand_behind_its_own(make: Any, more: list[str]) -> None:
    made = make(command)
    assert list(inspect.signature(made).parameters) == ["length", "times", *more]
    assert (made.__name__, made.__doc__) == ("command", "Say so.")


def test_text_or_json_is_worked_out_and_not_both(
    parts: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    where = {"ledger": None, "workshop": None, "debug": True}
    looking(lambda rack: Answer(no_json, lambda: "told"))(**where, as_json=False)
    assert capsys.readouterr().out == "told\n"
    looking(lambda rack: Answer(lambda: {"a": 1}, no_text))(**where, as_json=True)
    assert '"a": 1' in capsys.readouterr().out
    with pytest.raises(typer.Exit) as ended:
        looking(command)(length="x", times=3, **where, as_json=False)
    assert ended.value.exit_code == CHECK_REFUSED
    assert capsys.readouterr().out == "xxx\n"


def test_a_command_that_asks_is_told_whether_it_may(parts: str) -> None:
    seen = []

    def asks(rack: actions.Rack, as_json: bool = False) -> Answer:
        seen.append(as_json)
        return Answer(dict, str)

    made = changing(asks)
    assert list(inspect.signature(made).parameters).count(on_rack.AS_JSON) == 1
    for as_json in (False, True):
        made(who="Ines", ledger=None, workshop=None, as_json=as_json, debug=True)
    assert seen == [False, True]


def test_the_rack_of_a_plan_is_the_one_noted_beside_it(parts: str) -> None:
    found = []

    def where(rack: actions.Rack, plan_file: PlanFile) -> Answer:
        found.append((rack.path.name, rack.who))
        return Answer(dict, str)

    assert run("rack", "add", "SHS 40x40x3", "700", "--ledger", "shed.ledger").exit_code == 0
    assert run("plan", parts, "--rack", "shed.ledger").exit_code == 0
    of_plan(where)(
        plan_file="reports/frame/plan.json", who="Ines", ledger=None, workshop=None, as_json=False, debug=True
    )
    assert found == [("shed.ledger", "Ines")]


def test_every_command_of_the_rack_has_them() -> None:
    for name, made in all_commands():
        if name.startswith(("rack ", "job ")) or name == "undo":
            words = {word for parameter in made.params for word in parameter.opts}
            assert {"--ledger", "--workshop", "--json", "--debug"} <= words, name


def test_wrong_words_are_told_as_everywhere(parts: str) -> None:
    both = run("rack", "count", "B2")
    assert both.exit_code == 2
    assert "give either --sheet" in both.output
