"""Every key of the workshop file: what it becomes, and what it accepts."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan.costing.cost_figures import Coat, CostFigures, HourFigures
from cutplan.model import Brought, Clamp, LengthMeant, Merchant, Saw, Swings, Work, Workshop
from cutplan.reading.lists.ditto import Repeat
from cutplan.reading.workshop.workshop_keys import BLOCKS, FAMILY_TABLES, KEYS, OF_FAMILIES, SETTINGS, YES_NO
from cutplan.reading.workshop.workshop_values import truth
from cutplan.sections.section import Family
from cutplan.units import DEGREE, INCH, MM
from tests.input_files import workshop_of

EVERYTHING = """
[workshop]
name = "Shed  No. 2"
address = "4 Mill Lane,  Thistlegate"
unit = "in"
paper = "a4"
print_lengths_to = "1/16"
mass_unit = "KG"
labels = "Roll 62 x 29 mm"
decimal_sign = "."
currency = "USD"
[tax]
percent = 8.875
prices_include_tax = true
[saw]
kerf = "1/8"
end_trim = 0.5
end_trim_includes_cut = false
mill_ends_accepted = false
safe_hold = 6
clamp = "Either side"
square_reads = 90
share_mitres = true
swings = "both ways"
[minus_tolerance]
SHS = "6 mm"
[keep]
FL = 12
RD = "1 ft"
[offcut_value_per_m]
UA = 1.25
[carry]
longest = "20 ft"
longest_with_flag = "24 ft"
payload_kg = 750
trip = "8.50"
heavy_kg = 22.5
[standards]
SHS = "A500"
[defaults]
finish = "Galvanized"
certificate = "type 3.1"
mitre_length = "centre line"
gauge = "us sheet"
[steel]
density = 7849
[stock]
lengths = "6 m; SHS 40x40x3: 6.5 m, 8 m"
[lists]
repeat_above = "Marks"
[offcuts]
keep_at_most = 3
[work]
per_bar = 0.80
per_cut = "0.25"
per_setup = 1
[rack]
hold_days = 30
old_after_months = 6
scrap_price_per_kg = "0.25"
[drills]
have = "letters and numbers;  1/2"
[grades]
also = "S235JRH:  S275J0H; b: c"
never = "S355: S355JRH"

[replan]
stay = 2.5
[files]
ledger = "kept/rack.ledger"
prices = "lists/prices.csv"
rack = "rack.xlsx"
[hours]
per_bar = 5
per_stop = 1.5
per_cut = "0.75"
per_cut_1000_mm2 = 2
per_hole = 0
per_hole_10_mm = 0.001
per_weld_end = 4
per_weld_100_mm = 3
[cost]
hour_rate = 52.50
consumables = 4.5
transport = 35
overhead = 8
margin = 15
included = "delivery;  fitting"
[[coat]]
name = "green paint"
on = "Galvanized"
per_m2 = 11
per_kg = 1.2
litre = 18
litre_covers = 9
times = 2
minutes_per_m2 = 12
least = 40
[[coat]]
name = "zinc"
[[merchant]]
name = "Yard"
delivers = true
delivery = "38.50"
minimum_order = 60
free_delivery_from = "500"
cuts_to_plan = true
cut_charge = 1.8
cuts_to_carry = true
carry_cut_charge = 2
carry_cuts_free = 1
carry_kerf = "1/8"
carry_tolerance = "1/4"
carry_cuts_squared = false
longest_delivered = "26 ft"
brought = "Delivered"
[[merchant]]
name = "Dockside"
"""


def test_every_key(tmp_path: Path) -> None:
    shop, problems = workshop_of(tmp_path, EVERYTHING)
    assert not problems
    assert shop.workshop == Workshop(
        name="Shed No. 2",
        address="4 Mill Lane, Thistlegate",
        unit="in",
        printed_to=INCH // 16,
        mass_unit="kg",
        labels="roll 62 x 29 mm",
        decimal_sign=".",
        currency="USD",
        tax_millionths=88_750,
        prices_include_tax=True,
        saw=Saw(
            kerf=3_175_000,
            end_trim=12_700_000,
            end_trim_includes_cut=False,
            safe_hold=152_400_000,
            clamp=Clamp.EITHER_SIDE,
            square_reads=90 * DEGREE,
            share_mitres=True,
            swings=Swings.BOTH_WAYS,
        ),
        minus_tolerance=((Family.SHS, 6 * MM),),
        keep=((Family.FLAT, 304_800_000), (Family.ROUND, 304_800_000)),
        offcut_value_per_mm=((Family.UA, 1250),),
        most_kept=3,
        work=Work(per_bar=800_000, per_cut=250_000, per_setup=1_000_000),
        longest_carry=6096 * MM,
        longest_flagged=7_315_200_000,
        payload=750_000_000,
        trip_cost=8_500_000,
        heavy=22_500_000,
        standards=((Family.SHS, "ASTM A500"),),
        default_finish="galvanised",
        certificate="type 3.1",
        mitre_length=LengthMeant.CENTRE_LINE,
        gauge="US sheet",
        density=7849,
        own_drills="letters and numbers; 1/2",
        also_serve="S235JRH: S275J0H; b: c",
        never_serve="S355: S355JRH",
        merchants=(
            Merchant(
                name="Yard",
                delivers=True,
                delivery=38_500_000,
                minimum_order=60_000_000,
                free_delivery_from=500_000_000,
                cuts_to_plan=True,
                cut_charge=1_800_000,
                cuts_to_carry=True,
                carry_cut_charge=2_000_000,
                carry_cuts_free=1,
                carry_kerf=3_175_000,
                carry_tolerance=6_350_000,
                carry_cuts_squared=False,
                longest_delivered=7_924_800_000,
                brought=Brought.DELIVERED,
            ),
            Merchant(name="Dockside"),
        ),
    )
    assert (shop.prices, shop.rack) == (tmp_path / "lists/prices.csv", tmp_path / "rack.xlsx")
    assert (shop.ledger, shop.rules.hold_days) == (tmp_path / "kept/rack.ledger", 30)
    assert (shop.rules.old_after_months, shop.rules.scrap_price_per_kg) == (6, 250_000)
    assert shop.rules.stay == 25_000
    assert shop.costs == CostFigures(
        hours=HourFigures(
            per_bar=5000,
            per_stop=1500,
            per_cut=750,
            per_cut_1000_mm2=2000,
            per_hole=0,
            per_hole_10_mm=1,
            per_weld_end=4000,
            per_weld_100_mm=3000,
        ),
        hour_rate=52_500_000,
        consumables=45_000,
        transport=35_000_000,
        overhead=80_000,
        margin=150_000,
        included="delivery; fitting",
        coats=(
            Coat(
                name="green paint",
                on="galvanised",
                per_m2=11_000_000,
                per_kg=1_200_000,
                litre=18_000_000,
                litre_covers=9_000_000,
                times=2,
                minutes_per_m2=12_000,
                least=40_000_000,
            ),
            Coat(name="zinc"),
        ),
        measured=frozenset(HourFigures.__slots__),
    )
    assert shop.repeat is Repeat.MARKS
    assert shop.stock == ("6 m", "SHS 40x40x3: 6.5 m, 8 m")


def test_the_test_above_leaves_no_key_out(tmp_path: Path) -> None:
    shop, _ = workshop_of(tmp_path, EVERYTHING)
    per_family = {"minus_tolerance", "keep", "offcut_value_per_m", "standards"}
    plain = {key for key in KEYS if key.split(".")[0] not in per_family | {*BLOCKS}}
    assert plain <= shop.given
    assert {key.split(".")[0] for key in shop.given} >= per_family


@pytest.mark.parametrize("typed", ["0", "1001", "2.5", '"a week"', "true"])
def test_days_are_whole(typed: str, tmp_path: Path) -> None:
    shop, problems = workshop_of(tmp_path, f"[rack]\nhold_days = {typed}\n")
    assert [problem.accepted for problem in problems] == ["whole days from 1 to 1000, such as 14"]
    assert shop.rules.hold_days == 14


def test_decimals_are_exact(tmp_path: Path) -> None:
    shop, _ = workshop_of(tmp_path, "[saw]\nkerf = 0.1\nend_trim = 0.3\n")
    assert (shop.workshop.saw.kerf, shop.workshop.saw.end_trim) == (100_000, 300_000)


def test_what_is_true_or_false_is_answered_by_yes_or_no() -> None:
    assert all((key.choices == YES_NO) == (key.read is truth) for key in KEYS.values())


def test_every_key_has_a_meaning_and_a_name_in_a_workbook() -> None:
    assert all(key.meaning and key.setting for key in KEYS.values())
    assert len({key.setting for key in SETTINGS.values()}) == len(SETTINGS)


def test_fields_of_the_workshop_are_named() -> None:
    fields = {key.field or key.word for key in SETTINGS.values() if key.field or key.table == "workshop"}
    assert fields <= set(Workshop.__dataclass_fields__)


def test_families_and_blocks_keep_their_keys() -> None:
    assert list(OF_FAMILIES) == [f"{table}.{family.value}" for table in FAMILY_TABLES for family in Family]
    assert [KEYS[f"keep.{word}"].default for word in ("SHS", "FL")] == ["300 mm", "150 mm"]
    assert {table: next(iter(keys)) for table, keys in BLOCKS.items()} == dict.fromkeys(BLOCKS, "name")
