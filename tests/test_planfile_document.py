"""What plan.json holds, read off a small job."""

from __future__ import annotations

import json
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from cutplan import planfile
from cutplan.model import Allowance, Assumption, Heel, InputFile, Lean, Merchant, OtherLine, Proof, Purpose, Split
from cutplan.planfile import from_document, plan_digest, schema, to_document
from cutplan.planfile.files import document_text, schema_problems
from cutplan.problems import Problem, ProblemsFound
from cutplan.units import MM
from tests.builders import job, offcut, offer, part, square_tube
from tests.first_fit import first_fit_plan
from tests.hand_plans import hand_plan

FIT = Allowance(purpose=Purpose.FIT, length=20 * MM)
HINGE = OtherLine(name="hinge", quantity=4, mass_each=1, price_each=2, merchant="Yard", assembly="frame", note="left")


def every_feature() -> Any:
    """A job with something in every list of the file, and its plan."""
    open_price = square_tube(50)
    tiny = job(
        [
            part("P1", 2, 2000, grade="S355", assembly="frame", assemblies=2, allowances=(FIT,), cope="notch"),
            part("P2", 1, 450, mitres=(45, 0), note="both hands", heel=Heel.LONG_POINT),
            part("P2-OH", 1, 450, mitres=(45, 45), lean=Lean.PARALLEL, opposite_hand=True),
            part("Q1", 1, 900, section=open_price),
        ],
        [
            offer("A", 6000, "31.50", grade="S355", merchant="Northgate"),
            offer("B", 6000, "30", available=4),
            offer("C", 6000, None, section=open_price),
        ],
        [offcut("R1", 1100, "2.25", ends="mill sawn", heat_number="H77", place="top")],
        kerf="2.5",
        end_trim=10,
        safe_hold=120,
        keep=300,
        merchants=[Merchant(name="Northgate", delivery=5_000_000)],
    )
    tiny = replace(
        tiny,
        others=(HINGE, OtherLine(name="paint", quantity=1)),
        files=(InputFile(role="parts", name="liste für Rahmen.csv", sha256="ab" * 32),),
        assumptions=(Assumption("assumed.kerf", "kerf 2.5 mm"),),
        warnings=(Problem(code="length.scale", where="row 3", found="1.2", accepted="millimetres"),),
    )
    return tiny, first_fit_plan(tiny)


def test_it_satisfies_the_schema() -> None:
    document = to_document(*every_feature())
    assert schema_problems(document) == ()
    assert json.loads(document_text(document)) == document


def test_nothing_more_than_the_schema_names() -> None:
    """An unknown key anywhere is refused: every object of the schema is closed, and all keys but rare ones required."""
    open_objects = []
    rare: set[str] = set()

    def walk(node: Any, path: str) -> None:
        if isinstance(node, dict):
            # The libraries' releases are keyed by name: open, but for texts alone.
            if node.get("type") == "object" and node.get("additionalProperties") is not False:
                open_objects.append(path)
            if node.get("additionalProperties") is False:
                assert node["required"] == [key for key in node["properties"] if key in node["required"]], path
                rare.update(f"{path}/{key}" for key in node["properties"] if key not in node["required"])
                assert node["description"], path
            for key, value in node.items():
                walk(value, f"{path}/{key}")

    walk(schema(), "")
    assert open_objects == ["/$defs/program/properties/libraries"]
    assert rare == {
        "/$defs/result/as_dealt",
        *("/$defs/cut/turned", "/$defs/cut/rolled", "/$defs/cut/shared", "/$defs/part_entry/share_mitres"),
        *("/$defs/part_entry/stamps", "/$defs/part_entry/also_grades", "/$defs/part_entry/saw"),
        *("/$defs/workshop_entry/also_serve", "/$defs/workshop_entry/never_serve"),
        *(f"/$defs/offcut/{key}" for key in ("angle_a", "depth", "side", "saw")),
        *(f"/$defs/saw/{key}" for key in ("name", "families", "largest", "steepest")),
        *(
            "/$defs/saw/share_mitres",
            "/$defs/saw/swings",
            "/$defs/workshop_entry/own_drills",
            "/$defs/workshop_entry/saws",
        ),
        *(
            "/$defs/workshop_entry/longest_flagged",
            "/$defs/workshop_entry/payload",
            "/$defs/workshop_entry/certificate",
            "/$defs/bar/piece_of",
            "/$defs/bar/starts_on_slant",
            "/$defs/order_line/cut_to_carry",
        ),
        *(
            f"/$defs/merchant/{key}"
            for key in (
                *("cuts_to_carry", "carry_cut_charge", "carry_cuts_free", "carry_kerf", "carry_tolerance"),
                *("carry_cuts_squared", "longest_delivered", "brought"),
            )
        ),
        *(f"/$defs/merchant_order/carry_{key}" for key in ("cuts", "cuts_free", "charges")),
        "/$defs/merchant_case/carry_uncharged",
        *(f"/$defs/merchant_order/{key}" for key in ("comes", "trips", "trip_cost")),
        *("/$defs/money_summary/trips", "/$defs/workshop_entry/payload", "/$defs/workshop_entry/trip_cost"),
        *("/$defs/result/fetched", "/$defs/merchant_case/fetched"),
        *("/$defs/split/kept", "/$defs/leaf/listing", "/$defs/leaf/split_duals"),
        *(f"/$defs/totals/{key}" for key in ("cuts_shared", "nested_length", "nested_value")),
        *(f"/$defs/section_total/{key}" for key in ("cuts_shared", "nested_length", "nested_value")),
    }


def test_what_is_named_in_full() -> None:
    document = to_document(*every_feature())
    assert document["schema_version"] == "1"
    assert document["units"]["money_scale"] == "0.000001"
    assert set(document["program"]["libraries"]) == {"ortools", "numpy", "openpyxl", "pandas", "pint", "segno", "typst"}
    assert document["job"]["files"][0]["sha256"] == "ab" * 32
    assert [offer["id"] for offer in document["offers"]] == ["A", "B", "C"]
    assert document["offers"][0]["bar_price"] == "31.5"
    assert document["offers"][2]["bar_price"] is None
    assert document["offers"][1]["available"] == 4
    assert document["offcuts"][0]["heat_number"] == "H77"
    used = {values["family"]: values for values in document["workshop"]["values_used"]}
    assert used["SHS"] == {
        "family": "SHS",
        "minus_tolerance": "0",
        "keep": "300",
        "offcut_value_per_mm": "0",
        "standard": "EN 10219-2",
    }


def test_which_grades_serve() -> None:
    """P1 wants S355; P2 takes any grade, so that S355 and unknown ones serve it."""
    parts = {part["mark"]: part for part in to_document(*every_feature())["parts"]}
    assert parts["P1"]["served_by"] == ["S355"]
    assert parts["P2"]["served_by"] == ["", "S355"]


def test_the_whole_numbers_of_a_group() -> None:
    """w of P1 = 2000 + 2.5; W of 6 m = 6000 - 10 - 10 + 3.6 of a mitre; offcut R1 is trimmed at one end only."""
    group = to_document(*every_feature())["groups"][0]
    assert group["integers"]["parts"][0] == {"mark": "P1", "w": "2002.5", "steps": 2_002_500_000}
    rooms = {values["source"]: values["room"] for values in group["integers"]["sources"]}
    assert rooms == {"A": "5983.6", "B": "5983.6", "R1": "1093.6"}


def test_a_group_by_mass_is_in_kilograms() -> None:
    group = to_document(*every_feature())["groups"][1]
    assert (group["goal"], group["cost_unit"], group["cost"]) == ("bought mass", "kg", "18")


def test_no_day_and_no_duration() -> None:
    text = document_text(to_document(*every_feature()))
    assert text == document_text(to_document(*every_feature()))
    assert not {"date", "time", "seconds", "created"} & set(text.replace('"', " ").replace(":", " ").split())


def test_two_sections_of_one_name_are_refused() -> None:
    tiny, plan = every_feature()
    other = replace(tiny.offers[0].section, mass_per_metre=1)
    muddled = replace(tiny, offers=(replace(tiny.offers[0], section=other), *tiny.offers[1:]))
    with pytest.raises(ValueError, match="two different sections are called SHS 40x40x3"):
        to_document(muddled, plan)


def test_a_plan_of_another_job_is_refused() -> None:
    tiny, plan = every_feature()
    with pytest.raises(ValueError, match="other groups"):
        to_document(tiny, replace(plan, groups=plan.groups[:1]))


def told_apart() -> Any:
    """The same where the proof tells bars apart by what they hold."""
    tiny, plan = every_feature()
    few, many = (
        (Split(share=0, part=1, copies=1, low=0, high=2), Split(share=3, part=0, copies=2, low=low, high=high))
        for low, high in ((0, 0), (1, 1))
    )
    leaf = plan.groups[0].proof.leaves[0]
    proof = replace(plan.groups[0].proof, leaves=(replace(leaf, splits=few), replace(leaf, splits=many)))
    return tiny, replace(plan, groups=(replace(plan.groups[0], proof=proof), *plan.groups[1:]))


def test_splits_are_kept() -> None:
    document = to_document(*told_apart())
    assert schema_problems(document) == ()
    leaves = document["groups"][0]["proof"]["leaves"]
    assert [leaf["splits"] for leaf in leaves] == [
        [
            {"share": 0, "part": 1, "copies": 1, "bars": [0, 2]},
            {"share": 3, "part": 0, "copies": 2, "bars": [number, number]},
        ]
        for number in (0, 1)
    ]


def test_counters_and_stop_reason_are_kept() -> None:
    tiny, plan = every_feature()
    proof: Proof = replace(plan.groups[0].proof, rounds=7, patterns=40, nodes=3, stopped_by="time limit")
    stopped = replace(plan, groups=(replace(plan.groups[0], proof=proof), *plan.groups[1:]), stopped_by="time limit")
    document = to_document(tiny, stopped)
    kept = document["groups"][0]["proof"]
    assert [kept[key] for key in ("rounds", "patterns", "nodes", "stopped_by")] == [7, 40, 3, "time limit"]
    assert document["result"]["stopped_by"] == "time limit"


def many_alike() -> Any:
    tiny = job([part("A", 60, 400), part("B", 31, 300)], [offer("O", 1000, 9)], kerf=2)
    return tiny, hand_plan(tiny, *[("O", ["A", "A"])] * 29, *[("O", ["B", "B", "B"])] * 10, ("O", ["A", "A", "B"]))


def test_bars_cut_alike_are_written_once() -> None:
    document = to_document(*many_alike())
    bars = document["groups"][0]["bars"]
    assert [(bar["number"], bar["count"]) for bar in bars] == [(1, 29), (30, 10), (40, 1)]
    assert [cut["copy"] for cut in bars[1]["cuts"]] == [1, 2, 3]
    assert from_document(json.loads(document_text(document))) == many_alike()
    assert schema_problems(document) == ()


def test_a_line_cannot_stand_for_more_parts_than_a_computer_holds() -> None:
    document = to_document(*many_alike())
    document["groups"][0]["bars"][0]["count"] = 10**12
    assert schema_problems(document) == ()
    with pytest.raises(ProblemsFound, match="2,000,000,000,033 parts in one group, at most 5,000,000 can be read"):
        from_document(document)


def test_a_count_is_a_whole_number_from_one_on() -> None:
    for count in (0, -1, "2", True):
        document = to_document(*many_alike())
        document["groups"][0]["bars"][0]["count"] = count
        assert len(schema_problems(document)) == 1


def test_what_tells_plans_apart_does_not_hang_on_how_bars_are_written() -> None:
    tiny, plan = many_alike()
    document = to_document(tiny, plan)
    bars = []
    for alone in plan.bars:
        one = replace(plan, groups=(replace(plan.groups[0], bars=(alone,)),))
        (bar,) = to_document(tiny, one)["groups"][0]["bars"]
        assert bar.pop("count") == 1
        bars.append(bar)
    told = json.dumps([tiny.name, document["parts"], [bars]], sort_keys=True)
    assert plan_digest(tiny, plan) == sha256(told.encode()).hexdigest()


SCHEMA_FILE = Path(planfile.__file__).parent / "plan.schema.json"


def test_the_schema_file_says_what_the_fields_declare() -> None:
    """``python -m tests.test_planfile_document`` renews it."""
    assert SCHEMA_FILE.read_text(encoding="utf-8") == document_text(schema())


def test_the_schema_is_one() -> None:
    """Held to the meta-schema of draft 2020-12."""
    Draft202012Validator.check_schema(schema())


if __name__ == "__main__":
    SCHEMA_FILE.write_text(document_text(schema()), encoding="utf-8")
