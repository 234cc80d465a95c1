"""plan.json on disk: written whole or not at all, and every doubt named on the way back."""

from __future__ import annotations

import copy
import json
import os
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from cutplan.model import InputFile
from cutplan.planfile import contradictions, from_document, read_document, to_document, write
from cutplan.planfile.files import document_text, schema_problems
from cutplan.problems import ProblemsFound
from tests.test_planfile_document import every_feature


def test_written_and_read(tmp_path: Path) -> None:
    tiny, plan = every_feature()
    target = tmp_path / "plan.json"
    write(tiny, plan, target)
    assert from_document(read_document(target)) == (tiny, plan)
    assert contradictions(read_document(target)) == ()
    assert [path.name for path in tmp_path.iterdir()] == ["plan.json"]


def test_the_same_bytes_twice(tmp_path: Path) -> None:
    tiny, plan = every_feature()
    write(tiny, plan, tmp_path / "a.json")
    write(tiny, plan, tmp_path / "b.json")
    first = (tmp_path / "a.json").read_bytes()
    assert first == (tmp_path / "b.json").read_bytes()
    assert first.endswith(b"}\n")
    assert "für".encode() in first


def test_a_cut_stands_on_one_line(tmp_path: Path) -> None:
    job, plan = every_feature()
    write(job, plan, tmp_path / "plan.json")
    lines = (tmp_path / "plan.json").read_text(encoding="utf-8").splitlines()
    assert sum('"copy":' in line for line in lines) == 5
    assert all('"held":' in line for line in lines if '"copy":' in line)


def test_a_file_name_that_is_no_utf8_comes_back(tmp_path: Path) -> None:
    tiny, plan = every_feature()
    odd = replace(tiny, files=(InputFile(role="parts", name="l\udce4nge.csv", sha256="0"),))
    write(odd, plan, tmp_path / "plan.json")
    assert from_document(read_document(tmp_path / "plan.json"))[0] == odd


def test_a_failure_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tiny, plan = every_feature()
    target = tmp_path / "plan.json"
    target.write_text("the plan before")

    def refuse(*_: Any) -> None:
        raise PermissionError("in use")

    monkeypatch.setattr("os.replace", refuse)
    with pytest.raises(PermissionError):
        write(tiny, plan, target)
    assert target.read_text() == "the plan before"
    assert [path.name for path in tmp_path.iterdir()] == ["plan.json"]


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (None, "no such file"),
        (b"", "no JSON from line 1, column 1 on"),
        (b'{"schema_version": "1"\n"x"}', "no JSON from line 2, column 1 on"),
        (b"\xff\xfe{}", "text that is not UTF-8"),
        (b"[]", "JSON without a schema version"),
        (b'{"groups": []}', "JSON without a schema version"),
        (b'{"schema_version": "2"}', 'schema version "2"'),
        (b'{"schema_version": 1}', "schema version 1"),
        (b'{"schema_version": NaN}', "NaN, which is no number of JSON"),
        (b'{"a": [-Infinity]}', "-Infinity, which is no number of JSON"),
        (b'{"a": {"b": 1, "c": 2, "b": 3}}', 'the key "b" twice in one object'),
        (b"[" * 100_000, "JSON that no plan is made of"),
        (b'{"schema_version": ' + b"9" * 5000 + b"}", "JSON that no plan is made of"),
    ],
)
def test_what_is_no_plan_file(tmp_path: Path, content: bytes | None, found: str) -> None:
    target = tmp_path / "plan.json"
    if content is not None:
        target.write_bytes(content)
    with pytest.raises(ProblemsFound) as refused:
        read_document(target)
    (problem,) = refused.value.problems
    assert (problem.where, problem.found) == (str(target), found)


def test_a_folder_is_no_plan_file(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match="it cannot be read"):
        read_document(tmp_path)


def test_every_place_against_the_schema_is_named(tmp_path: Path) -> None:
    document = copy.deepcopy(to_document(*every_feature()))
    document["groups"][0]["bars"][0]["cuts"][0]["start"] = 10.5
    document["parts"][0]["quantity"] = True
    document["offers"][0]["colour"] = "red"
    del document["workshop"]["saw"]["kerf"]
    target = tmp_path / "plan.json"
    target.write_text(json.dumps(document))
    with pytest.raises(ProblemsFound) as refused:
        read_document(target)
    told = {problem.where.partition(", ")[2]: problem for problem in refused.value.problems}
    assert set(told) == {"groups[0].bars[0].cuts[0].start", "parts[0].quantity", "offers[0]", "workshop.saw"}
    assert told["groups[0].bars[0].cuts[0].start"].found == "the number 10.5"
    assert "'colour' was unexpected" in told["offers[0]"].found
    assert told["workshop.saw"].found == "no 'kerf'"
    assert told["workshop.saw"].hint == "written by another release of cutplan? then plan the job again"
    assert told["parts[0].quantity"].accepted == "a whole number of 1 or more"


@pytest.mark.parametrize("value", [1.0, 2.5, "3", None, -1])
def test_a_quantity_is_a_whole_number(tmp_path: Path, value: Any) -> None:
    document = copy.deepcopy(to_document(*every_feature()))
    document["parts"][0]["quantity"] = value
    (tmp_path / "plan.json").write_text(json.dumps(document))
    with pytest.raises(ProblemsFound, match=r"parts\[0\].quantity"):
        read_document(tmp_path / "plan.json")


@pytest.mark.parametrize("value", ["1,200", "1200.50", "-0", "1e3", "", "1200.0000001", 1200, 1200.5, "12 m"])
def test_a_length_is_an_exact_decimal(value: Any) -> None:
    document = copy.deepcopy(to_document(*every_feature()))
    document["parts"][0]["length"] = value
    assert [problem.where for problem in schema_problems(document)] == ["plan file, parts[0].length"]


def test_derived_values_that_do_not_follow() -> None:
    document = copy.deepcopy(to_document(*every_feature()))
    document["totals"]["money"]["to_pay"] = "1"
    document["groups"][0]["integers"]["parts"][0]["w"] = "2003"
    document["parts"][0]["served_by"] = []
    assert contradictions(document) == (
        'parts[0].served_by: [] is stated, ["S355"] follows from the plan',
        'groups[0].integers.parts[0].w: "2003" is stated, "2002.5" follows from the plan',
        'totals.money.to_pay: "1" is stated, "36.5" follows from the plan',
    )


def test_a_bar_price_that_does_not_follow_from_the_price_as_typed() -> None:
    document = copy.deepcopy(to_document(*every_feature()))
    document["offers"][0]["bar_price"] = "29"
    assert "offer A: 31.50 each makes 31.5 a bar, 29 is stated" in contradictions(document)


def test_a_length_counted_on_that_does_not_follow() -> None:
    """An offer shortened beside the plan would hide that it is the cheaper one."""
    document = copy.deepcopy(to_document(*every_feature()))
    document["offers"][1]["counted"] = "5000"
    assert "offer B: 5000 mm is counted on, 6000 mm follows from its length and the minus tolerance" in contradictions(
        document
    )


def test_a_price_as_typed_that_is_no_amount() -> None:
    document = copy.deepcopy(to_document(*every_feature()))
    document["offers"][0]["typed_price"] = "free"
    assert contradictions(document) == ("offer A: the price as typed, 'free', is no amount",)


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        ("family", "RHS", "its family is not the one its name says"),
        ("height", "41", "its height is not the one its name says"),
        ("thickness", "2.5", "its thickness is not the one its name says"),
        ("density", 7900, "a density of 7900 kg/m3 is stated, the workshop's is 7850"),
    ],
)
def test_a_section_that_is_not_what_its_name_says(key: str, value: Any, told: str) -> None:
    document = copy.deepcopy(to_document(*every_feature()))
    document["sections"][0][key] = value
    assert contradictions(document) == (f"section SHS 40x40x3 to EN 10219-2: {told}",)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no named pipes")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "plan.json")
    with pytest.raises(ProblemsFound, match="a device"):
        read_document(tmp_path / "plan.json")


def test_a_name_no_system_has() -> None:
    with pytest.raises(ProblemsFound, match="it cannot be read"):
        read_document(Path("a\0b"))


def test_totals_of_a_plan_that_belongs_elsewhere() -> None:
    document = copy.deepcopy(to_document(*every_feature()))
    document["groups"][0]["bars"][0]["source"] = "Z"
    (told,) = contradictions(document)
    assert told.endswith("Z is no source of its group")


def test_short_values_share_a_line() -> None:
    text = document_text({"a": {"x": "1", "y": []}, "b": [[0, 1], [2, 3]], "c": [{"k": [1, 2]}], "d": list(range(99))})
    assert text.splitlines()[1:3] == ['  "a": {"x": "1", "y": []},', '  "b": [[0, 1], [2, 3]],']
    assert text.count("\n") == 10
