"""The job under other circumstances: what a comparison plans beside it."""

from dataclasses import replace
from fractions import Fraction

import pytest

from cutplan.model import Basis, Brought, Job, Merchant
from cutplan.planning import scenarios
from cutplan.problems import Refused
from cutplan.sections.section import Family
from cutplan.units import CURRENCY
from tests import builders
from tests.builders import mm


def job(**settings: object) -> Job:
    offers = [
        builders.offer("P2", 6000, 30, merchant="North"),
        builders.offer("P3", 6000, 28, merchant="South"),
    ]
    return builders.job([builders.part("A", 2, 2900)], offers, [builders.offcut("K1", 3000)], kerf=2, **settings)


def test_another_kerf() -> None:
    change = scenarios.other_kerf(job(), mm("1.5"))
    assert change.words == "a kerf of 1.5 mm"
    assert change.job.workshop.saw.kerf == mm("1.5")
    assert change.job.parts == job().parts


def test_a_kerf_wider_than_the_end_trim_that_includes_it_is_refused() -> None:
    with pytest.raises(Refused, match="a kerf of at most 10 mm"):
        scenarios.other_kerf(job(end_trim=10), mm(12))


def test_another_keep_length_is_that_of_every_family() -> None:
    shop = scenarios.other_keep(job(), mm(200)).job.workshop
    assert {shop.keep_length(family) for family in Family} == {mm(200)}


def test_a_merchant_left_out_is_found_whatever_the_case() -> None:
    change = scenarios.without_merchant(job(), "north")
    assert change.words == "nothing from North"
    assert [offer.id for offer in change.job.offers] == ["P3"]


def test_a_merchant_that_is_not_there_is_refused_with_the_nearest() -> None:
    with pytest.raises(Refused) as refused:
        scenarios.without_merchant(job(), "Nort")
    assert refused.value.accepted == "a merchant on the price list: North, South"
    assert refused.value.hint == 'did you mean "North"?'


def test_another_carry_lets_no_flag_pass() -> None:
    made = job(longest_carry=6000)
    made = replace(made, workshop=replace(made.workshop, longest_flagged=mm(7000)))
    change = scenarios.other_carry(made, mm(3000))
    assert change.words == "nothing longer than 3 m carried"
    assert change.job.workshop.carry == mm(3000)


def test_a_merchant_who_delivers_and_one_to_fetch_from() -> None:
    made = job(merchants=[Merchant(name="North", delivers=True, delivery=38, minimum_order=5), Merchant(name="East")])
    fetched = scenarios.fetched_from(made, "north")
    assert fetched.words == "all from North fetched"
    assert fetched.job.workshop.merchant("North") == Merchant(name="North", minimum_order=5, brought=Brought.FETCHED)
    delivered = scenarios.delivered_by(made, "South")
    assert delivered.words == "all from South delivered, no charge for it said"
    assert scenarios.delivered_by(made, "North").words == "all from North delivered"
    assert delivered.job.workshop.merchant("South") == Merchant(name="South", delivers=True, brought=Brought.DELIVERED)
    assert delivered.job.workshop.merchant("North").delivers
    for change in (scenarios.fetched_from, scenarios.delivered_by):
        with pytest.raises(Refused, match="a merchant on the price list"):
            change(made, "East")


def test_the_rack_ignored() -> None:
    assert scenarios.without_rack(job()).job.offcuts == ()


def test_every_mitre_cut_for_itself() -> None:
    change = scenarios.without_shared_mitres(job(share_mitres=True))
    assert change.words == "no cuts shared by mitres"
    assert not change.job.workshop.saw.share_mitres
    with pytest.raises(Refused, match="a workshop whose mitres share no cuts"):
        scenarios.without_shared_mitres(job(share_mitres=False))


def test_further_offers_keep_ids_unique() -> None:
    more = [builders.offer("P2", 7500, 33), builders.offer("P9", 9000, 40)]
    change = scenarios.with_offers(job(), more, "long.csv")
    assert [offer.id for offer in change.job.offers] == ["P2", "P3", "NP2", "P9"]
    assert change.words == "the offers of long.csv too"


def test_what_is_asked_when_nothing_is_named() -> None:
    assert [change.words for change in scenarios.usual_changes(job())] == [
        "the rack ignored",
        "nothing from North",
        "nothing from South",
    ]
    alone = builders.job([builders.part("A", 1, 100)], [builders.offer("P1", 6000, 30)])
    assert scenarios.usual_changes(alone) == ()


def test_quotes_are_combined_by_their_place() -> None:
    """Five of one merchant each: alone and by two, 5 + 10; two from one merchant are told apart."""
    offers = [builders.offer(f"{place}#2", 6000, 30, merchant=f"M{place}") for place in range(1, 6)]
    five = builders.job([builders.part("A", 1, 900)], offers)
    assert len(scenarios.quoted(five)) == 15
    again = builders.job([builders.part("A", 1, 900)], [replace(each, merchant="Yard") for each in offers[:2]])
    assert [change.words for change in scenarios.quoted(again)] == ["Yard, quote 1 alone", "Yard, quote 2 alone"]
    one = builders.job([builders.part("A", 1, 900)], offers[:1])
    assert [change.words for change in scenarios.quoted(one)] == ["M1 alone"]


def test_a_quote_of_one_who_may_deliver_is_also_planned_delivered() -> None:
    yard = Merchant(name="Yard", delivery=5_000_000)
    job = builders.job([builders.part("A", 1, 900)], [builders.offer("1#2", 6000, 30)], merchants=[yard])
    _, fetched, delivered = scenarios.quoted(job)
    assert (fetched.words, fetched.job.workshop.merchant("Yard").delivery) == ("Yard alone, fetched", 0)
    assert (delivered.words, delivered.job.workshop.merchant("Yard").delivers) == ("Yard alone, delivered", True)


def test_another_price_is_per_what_the_row_says() -> None:
    """8 a metre of 6 m: 48 a length."""
    made = builders.job([builders.part("A", 1, 500)], [replace(builders.offer("#12", 6000, 35), basis=Basis.PER_M)])
    change = scenarios.other_price(made, 12, Fraction(8), "8.00")
    assert [offer.bar_price for offer in change.job.offers] == [48 * CURRENCY]
    assert change.words.endswith("at 8.00 per m")
    with pytest.raises(Refused):
        scenarios.other_price(made, 13, Fraction(8), "8.00")
