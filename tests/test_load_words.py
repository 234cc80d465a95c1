"""What is fetched: heaviest first, trip by trip, against payload and carry."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import Job, Merchant, Plan
from cutplan.planning import plan_job
from cutplan.reports.terminal.plan_text import summary
from cutplan.units import CURRENCY, INCHES, KG, METRE, MILLIMETRES, Printing
from cutplan.words.cautions import cautions
from cutplan.words.load_words import (
    CAUTIONS,
    LengthCut,
    Load,
    LoadPiece,
    length_lines,
    load_values,
    loads_of,
    loads_text,
    payload_notes,
    piece_text,
    trips_of,
)
from tests import builders
from tests.builders import mm
from tests.workbooks import trailer


def piece(kg: int, count: int, length: int = 6) -> LoadPiece:
    return LoadPiece(name="SHS", kind="", length=length * METRE, count=count, mass_each=kg * KG)


@pytest.mark.parametrize(
    ("pieces", "payload", "trips"),
    [
        ([(30, 4), (20, 3)], 0, [180]),
        ([(30, 4), (20, 3)], 180, [180]),
        ([(30, 4), (20, 3)], 100, [90, 90]),  # 3 x 30; 30 and 3 x 20
        ([(60, 2), (40, 2)], 100, [100, 100]),
        ([(120, 1), (20, 5)], 100, [100]),  # what weighs more alone is in none
        ([(50, 3)], 50, [50, 50, 50]),
    ],
)
def test_trips_by_hand(pieces: list[tuple[int, int]], payload: int, trips: list[int]) -> None:
    listed = [piece(kg, count) for kg, count in pieces]
    found = trips_of(listed, payload * KG)
    assert [trip.mass // KG for trip in found] == trips
    loaded = [sum(count for trip in found for at, count in trip.pieces if at == place) for place in range(len(pieces))]
    assert loaded == [count if not payload or kg <= payload else 0 for kg, count in pieces]


def cut_for_the_carry(payload: int) -> tuple[Job, Plan]:
    """Two bars of 6 m, 18 kg each, cut for 3.5 m: 2905 mm and 3092 mm of 3 kg/m; a flag from 3 m on."""
    yard = Merchant(name="Yard", cuts_to_carry=True)
    job = builders.job(
        [builders.part("A", 4, 2900)], [builders.offer("P", 6000, 30)], merchants=[yard], longest_carry=3000
    )
    job = replace(job, workshop=replace(job.workshop, longest_flagged=mm(3500), payload=payload * KG))
    return job, plan_job(job)


def test_pieces_are_those_that_are_brought_home() -> None:
    """9.276 kg and 8.715 kg of each: 17.991 kg a bar; 30 kg carry two of the one and one of the other, then one."""
    (load,) = loads_of(*cut_for_the_carry(30))
    assert [(one.count, one.length, one.mass_each) for one in load.pieces] == [
        (2, mm(3092), 9_276_000),
        (2, mm(2905), 8_715_000),
    ]
    assert loads_text([load]).splitlines() == [
        "To fetch from Yard",
        "  2 x 3092 mm SHS 40x40x3, 9.3 kg each, bars 3, 4",
        "  2 x 2905 mm SHS 40x40x3, 8.7 kg each, bars 1, 2",
        "  4 pieces, 36.0 kg in total: 2 trips of at most 30.0 kg.",
        "  Trip 1, 27.3 kg of 30.0 kg: 2 x 3092 mm SHS 40x40x3, 1 x 2905 mm SHS 40x40x3",
        "  Trip 2, 8.7 kg of 30.0 kg: 1 x 2905 mm SHS 40x40x3",
        "  Longest piece 3.092 m: longer than 3 m, to be carried with a flag at its end, up to 3.5 m.",
        "  From 2 lengths of 6 m SHS 40x40x3: bars 1, 2 of 2905 mm; bars 3, 4 of 3092 mm.",
        "  Some of these are alike: where it matters which were one length, mark them at the yard.",
        *CAUTIONS,
    ]
    values = load_values(load)
    assert (values["flag"], values["payload_kg"], values["mass_kg"]) == (True, "30.000", "35.982")
    assert [trip["mass_kg"] for trip in values["trips"]] == ["27.267", "8.715"]
    assert values["lengths"] == [
        {
            "count": 2,
            "section": "SHS 40x40x3",
            "length_mm": "6000",
            "pieces": [{"length_mm": "2905", "bars": [1, 2]}, {"length_mm": "3092", "bars": [3, 4]}],
        }
    ]


def test_the_bars_of_every_length_are_told_and_equal_pieces_of_it_together() -> None:
    """12 m are two pieces of 4399 and one of 3196; 6 m one of 3105 and 2892."""
    twelve = LengthCut(
        name="SHS",
        length=12 * METRE,
        count=1,
        ordered=(mm(4399), mm(4399), mm(3196)),
        bars=((3,), (7,), (5,)),
    )
    six = LengthCut(name="FL", length=6 * METRE, count=1, ordered=(mm(3105), mm(2892)), bars=((8,), (9,)))
    load = Load(merchant="", workshop=builders.workshop(), pieces=(piece(9, 5),), trips=(), lengths=(twelve, six))
    assert length_lines(load) == [
        "From 1 length of 12 m SHS: bars 3, 7 of 4399 mm; bar 5 of 3196 mm.",
        "From 1 length of 6 m FL: bar 8 of 3105 mm; bar 9 of 2892 mm.",
    ]
    assert length_lines(replace(load, lengths=())) == []
    # One of two lengths is cut otherwise, and a piece of either is 4399 long.
    other = replace(twelve, ordered=(mm(4399), mm(7598)), bars=((8,), (9,)))
    assert length_lines(replace(load, lengths=(twelve, other)))[1:] == [
        "From 1 length of 12 m SHS: bar 8 of 4399 mm; bar 9 of 7598 mm.",
        "Some of these are alike: where it matters which were one length, mark them at the yard.",
    ]


@pytest.mark.parametrize(
    ("length", "how", "text"),
    [
        ("4399", MILLIMETRES, "4399 mm SHS"),
        ("6500", MILLIMETRES, "6.5 m SHS"),
        (str(127.4375 * 25.4), INCHES, "127 7/16 in SHS"),
        (str(258 * 25.4), INCHES, "21 ft 6 in SHS"),
    ],
)
def test_a_piece_is_called_as_it_is_ordered(length: str, how: Printing, text: str) -> None:
    one = LoadPiece(name="SHS", kind="", length=mm(length), count=1, mass_each=KG)
    assert piece_text(one, how) == text


def test_what_weighs_more_than_the_payload_is_named() -> None:
    (load,) = loads_of(*cut_for_the_carry(9))
    assert "  3092 mm SHS 40x40x3 weighs 9.3 kg, more than may be loaded: have it brought." in loads_text([load])
    assert load_values(load)["too_heavy"] == [0]


@pytest.mark.parametrize(
    ("payload", "trip", "said"),
    [
        (0, 5, []),
        (54, 5, []),
        # Three bars of 18 kg are 54 kg, 27 kg twice; but only one bar goes at a time.
        (27, 5, ["What is fetched from Yard shares out in 3 trips; counted by mass: 2."]),
        (27, 0, []),
        (
            17,
            5,
            [
                "Above the payload of 17.0 kg: 3 pieces from Yard, the heaviest 18.0 kg. No trip can take that: have "
                "it brought. Without them: 0 trips; counted by mass with them: 4."
            ],
        ),
        (
            17,
            0,
            [
                "Above the payload of 17.0 kg: 3 pieces from Yard, the heaviest 18.0 kg. No trip can take that: have "
                "it brought."
            ],
        ),
    ],
)
def test_trips_counted_by_mass_are_held_against_those_loaded(payload: int, trip: int, said: list[str]) -> None:
    job = builders.job(
        [builders.part("A", 3, 6000)], [builders.offer("P", 6000, 30)], merchants=[Merchant(name="Yard")]
    )
    job = replace(job, workshop=replace(job.workshop, payload=payload * KG, trip_cost=trip * CURRENCY))
    plan = plan_job(job)
    assert payload_notes(job, plan) == said
    assert set(said) <= set(cautions(job, plan))
    assert ("Payload\n  " in summary(job, plan, 100)) is bool(said)


def test_only_what_is_fetched_is_listed_whole() -> None:
    """Yard is fetched from, Far delivers; with no carry and no payload said there is nothing to hold it against."""
    (load,) = loads_of(*trailer())
    assert loads_text([load]).splitlines()[:4] == [
        "To fetch from Yard",
        "  1 x 6.5 m -box (SHS 40x40x3), 19.5 kg each, bar 1",
        "  1 piece, 19.5 kg in total; no payload is set.",
        "  Longest piece 6.5 m; no longest carry is set.",
    ]
    assert loads_text([]) == "Nothing to fetch: all is delivered or on the rack."


def test_very_many_trips_are_counted() -> None:
    job, plan = trailer()
    (load,) = loads_of(job, plan)
    many = replace(
        load,
        pieces=(piece(50, 30),),
        trips=trips_of([piece(50, 30)], 50 * KG),
        workshop=replace(job.workshop, payload=50 * KG),
    )
    assert "  and 10 more" in loads_text([many]).splitlines()


@pytest.mark.parametrize(("delivery", "fetched"), [(99, True), (0, False)])
def test_what_is_fetched_of_one_who_delivers_is_on_it(delivery: int, fetched: bool) -> None:
    """Nothing that comes free is driven for."""
    yard = Merchant(name="Yard", delivers=True, delivery=delivery * CURRENCY)
    made = builders.job(
        [builders.part("A", 1, 2900)], [builders.offer("P", 3000, 30)], merchants=[yard], longest_carry=3000
    )
    assert [load.merchant for load in loads_of(made, plan_job(made))] == ["Yard"] * fetched


def test_every_bar_of_a_merchant_is_one_of_the_pieces() -> None:
    """Two merchants sell the same length, so that a number alone does not tell from whom its bar is."""
    yard, dock = Merchant(name="Yard", cuts_to_carry=True), Merchant(name="Dock")
    job = builders.job(
        [builders.part("A", 4, 2900), builders.part("B", 3, 1400, section=builders.square_tube(50))],
        [
            builders.offer("P", 6000, 30),
            builders.offer("Q", 3000, 9, merchant="Dock", section=builders.square_tube(50)),
            builders.offer("R", 3000, 99, merchant="Dock"),
        ],
        merchants=[yard, dock],
        longest_carry=3200,
    )
    plan = plan_job(job)
    loads = {load.merchant: load for load in loads_of(job, plan)}
    assert {name: sum((piece.bars for piece in load.pieces), ()) for name, load in loads.items()} == {
        "Yard": (3, 4, 1, 2),
        "Dock": (5, 6),
    }
    lengths = {bar.number: bar.length for bar in plan.bars}
    for piece in loads["Yard"].pieces:
        assert [lengths[bar] for bar in piece.bars] == [piece.length - mm(5)] * piece.count
