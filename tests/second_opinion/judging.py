"""Holds a plan.json against its job: legal bars, right copies, true costs, no claim larger than the optimum allows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import floor
from typing import Any

from tests.second_opinion.cutting import (
    Saw,
    kerf_at,
    overlap,
    saw_of,
    serves,
    short_point,
    strokes_at_end,
    strokes_at_start,
)
from tests.second_opinion.optimum import bar_extra, least_length, least_money
from tests.second_opinion.shop import MM, MONEY, Group, Part, Shop, Supply

PROVEN = ("proven, rechecked", "proven by search")


def nm(text: str) -> int:
    """A length of plan.json, exactly."""
    value = Fraction(text) * MM
    assert value.denominator == 1, text
    return int(value)


def millionths(text: str) -> int:
    """Money of plan.json, exactly."""
    value = Fraction(text) * MONEY
    assert value.denominator == 1, text
    return int(value)


def every_bar(group: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Bars one by one; those cut alike are one entry with a count, numbers and copies going on from bar to bar."""
    for run in group["bars"]:
        on_a_bar = Counter(cut["mark"] for cut in run["cuts"])
        for place in range(run["count"]):
            cuts = [{**cut, "copy": cut["copy"] + place * on_a_bar[cut["mark"]]} for cut in run["cuts"]]
            yield {**run, "number": run["number"] + place, "cuts": cuts}


def judge(shop: Shop, document: dict[str, Any]) -> list[str]:
    """Every fault found, in words; none where the plan and what it claims are sound."""
    rows = {offer["id"]: f"P{offer['row']}" for offer in document["offers"]}
    return list(_judge(shop, named_by_row(document, rows)))


def named_by_row(plan: dict[str, Any], rows: dict[str, str]) -> dict[str, Any]:
    """The plan with bought bars called by the row of the price list they stand in, as the made-up jobs call them."""
    groups = [
        {**group, "bars": [{**bar, "source": rows.get(bar["source"], bar["source"])} for bar in group["bars"]]}
        for group in plan["groups"]
    ]
    other = plan["if_delivered"]
    return {**plan, "groups": groups, "if_delivered": other and named_by_row(other, rows)}


def _judge(shop: Shop, document: dict[str, Any]) -> Iterator[str]:
    supplies = {supply.name: supply for supply in shop.supplies}
    parts = {part.mark: part for part in shop.parts}
    groups = shop.groups()
    used: Counter[str] = Counter()
    made: Counter[str] = Counter()
    numbers: list[int] = []
    copies: dict[str, list[int]] = {}
    total = 0
    spend: Counter[str] = Counter()
    charges: Counter[str] = Counter()
    if len(document["groups"]) != len(groups):
        yield f"{len(document['groups'])} groups for {len(groups)}"
        return
    for stated in document["groups"]:
        group = next(g for g in groups if {part.mark for part in g.parts} == set(stated["parts"]))
        kept = 0
        bought_length = bought_mass = 0
        group_cost = 0
        for bar in every_bar(stated):
            supply = supplies[bar["source"]]
            used[supply.name] += 1
            made.update(cut["mark"] for cut in bar["cuts"])
            numbers.append(bar["number"])
            for cut in bar["cuts"]:
                copies.setdefault(cut["mark"], []).append(cut["copy"])
            faults = list(_bar_faults(shop, group, supply, parts, bar))
            yield from (f"bar {bar['number']} from {supply.name}: {fault}" for fault in faults)
            kept += bar["drop"]["fate"] == "keep"
            if group.by_mass:
                bought_length += supply.nominal if supply.bought else 0
                bought_mass += millionths(bar["cost"])
                continue
            strokes = _strokes(shop, supply, bar)
            extra = bar_extra(shop, supply, [parts[cut["mark"]] for cut in bar["cuts"]], strokes)
            assert supply.price is not None
            worth = millionths(bar["drop"]["value"])
            cost = supply.price + extra - worth
            if cost != millionths(bar["cost"]):
                yield f"bar {bar['number']} from {supply.name}: costs {bar['cost']}, by hand {cost / MONEY}"
            group_cost += cost
            if supply.bought:
                spend[supply.merchant] += supply.price
                if shop.terms_of(supply.merchant).cuts:
                    charges[supply.merchant] += shop.terms_of(supply.merchant).per_cut * strokes
        if shop.keep_at_most is not None and kept > shop.keep_at_most:
            yield f"{kept} offcuts kept of {group.section}"
        if group.by_mass:
            if stated["goal"] != "bought mass":
                yield f"{group.section} has an offer without a price and is planned for {stated['goal']}"
            yield from _mass_claims(shop, group, stated, bought_length, bought_mass)
        total += group_cost
    for name, number in used.items():
        available = supplies[name].available
        if available is not None and number > available:
            yield f"{number} of {name} are used, {available} can be had"
    if numbers != list(range(1, len(numbers) + 1)):
        yield f"bars are numbered {numbers}"
    for mark, found in copies.items():
        if sorted(found) != list(range(1, len(found) + 1)):
            yield f"copies of {mark} are numbered {found}"
    for part in shop.parts:
        if not part.quantity <= made[part.mark] <= part.quantity + part.spares:
            yield f"{made[part.mark]} of {part.mark} for {part.quantity} and {part.spares} spares"
    for merchant, amount in spend.items():
        terms = shop.terms_of(merchant)
        total += terms.delivery_for(amount) + max(0, terms.minimum - amount)
    yield from _money_claims(shop, document, total)
    if "totals" in document:
        yield from _stated_sums(shop, document, used, spend, charges)
    if document["if_delivered"] is not None:
        yield from (f"if delivered: {fault}" for fault in _judge(replace(shop, carry=0), document["if_delivered"]))
        if any(plan["result"]["status"] not in PROVEN for plan in (document, document["if_delivered"])):
            yield "what too long bars would save is shown, and is not proven"


def saws(shop: Shop, supply: Supply) -> tuple[Saw, Saw]:
    """The saw where two neighbours do not share a cut, and where they do."""
    saw = saw_of(shop, supply.section)
    return replace(saw, share=False), saw


def _strokes(shop: Shop, supply: Supply, bar: dict[str, Any]) -> int:
    cuts = bar["cuts"]
    ends = [(Fraction(cut["angle_a"]), Fraction(cut["angle_b"])) for cut in cuts]
    start, far = shop.trims(supply)
    apart, shared = saws(shop, supply)
    inner = sum(
        (shared if cut.get("shared") else apart).between(one[1], two[0])[1]
        for cut, (one, two) in zip(cuts, pairwise(ends), strict=False)
    )
    beyond = supply.length - nm(cuts[-1]["end"])
    return strokes_at_start(start, ends[0][0]) + inner + strokes_at_end(far, ends[-1][1], beyond)


def _bar_faults(shop: Shop, group: Group, supply: Supply, parts: dict[str, Part], bar: dict[str, Any]) -> Iterator[str]:
    start, far = shop.trims(supply)
    if supply not in group.supplies:
        yield "is of another section or finish"
    if not shop.can_be_had(supply):
        yield "is too long to carry and not delivered"
    if bar["kind"] != ("bought" if supply.bought else "offcut"):
        yield f"is called {bar['kind']}"
    if (nm(bar["length"]), nm(bar["start_trim"]), nm(bar["far_trim"])) != (supply.length, start, far):
        yield f"is {bar['length']} with trims {bar['start_trim']} and {bar['far_trim']}"
    at, before = start, None
    apart, shared = saws(shop, supply)
    slant: tuple[bool, Fraction] | None = None
    for cut in bar["cuts"]:
        part = parts[cut["mark"]]
        ends = (Fraction(cut["angle_a"]), Fraction(cut["angle_b"]))
        turned = cut.get("turned", False)
        # Which side of the bar the long points are on, of the two there are where a saw swings about an upright axis.
        side = turned != (cut.get("rolled", 0) == 2)
        if (turned or cut.get("rolled", 0)) and not (shop.share and any(ends)):
            yield f"{part.mark} is turned or rolled"
        if cut.get("rolled", 0) not in (0, 2):
            yield f"{part.mark} is rolled by {cut['rolled']} quarters"
        if part not in group.parts:
            yield f"{part.mark} is of another section or finish"
        if not serves(supply.grade, part.grade):
            yield f"{part.mark} wants {part.grade}"
        if ends != (part.ends[::-1] if turned else part.ends):
            yield f"{part.mark} has angles {ends}"
        if slant is not None and slant != (not side, ends[0]):
            # As in a frame both long points of a part lie on one side, and those of the next one on the other.
            yield f"{part.mark} shares a cut that does not fit its end"
        if before is not None:
            at += (shared if slant else apart).between(before[1], ends[0])[0]
        slant = (side, ends[1]) if cut.get("shared") else None
        if nm(cut["start"]) != at or nm(cut["end"]) != at + part.length:
            yield f"{part.mark} lies at {cut['start']} to {cut['end']}, by hand at {at / MM}"
        at, before = at + part.length, ends
    if before is None:
        yield "holds no part"
        return
    if slant is not None:
        yield "shares a cut with nothing"
    if at > supply.length - far:
        yield f"is {(at - supply.length + far) / MM} mm too full"
    left = max(0, supply.length - at - kerf_at(shop.kerf, before[1]))
    drop = bar["drop"]
    if nm(drop["start"]) != supply.length - left or nm(drop["end"]) != supply.length:
        yield f"left over from {drop['start']} to {drop['end']}, by hand {left / MM}"
    long_enough = left > 0 and left >= shop.keep_length(group.section)
    if drop["fate"] == "keep" and not long_enough:
        yield f"keeps {left / MM}"
    if drop["fate"] != "keep" and long_enough and shop.keep_at_most is None:
        yield f"scraps {left / MM}"
    worth = shop.value(supply, left) if drop["fate"] == "keep" and not group.by_mass else 0
    if millionths(drop["value"]) != worth:
        yield f"left over of {left / MM} is worth {drop['value']}, by hand {worth / MONEY}"
    if nm(bar["slack"]) != supply.length - far - at:
        yield f"slack {bar['slack']}, by hand {(supply.length - far - at) / MM}"
    laid = [parts[cut["mark"]] for cut in bar["cuts"]]
    if not _can_be_held(shop, supply, laid, left, at):
        yield f"cannot be held: {[part.mark for part in laid]}, left {left / MM}"
    yield from _holding_faults(shop, supply, bar, laid, left)


def _holding_faults(shop: Shop, supply: Supply, bar: dict[str, Any], laid: list[Part], left: int) -> Iterator[str]:
    """Is the side named at each cut long enough to hold, and is the bar turned where the vice wants that?"""
    far = shop.trims(supply)[1]
    for place, (cut, part) in enumerate(zip(bar["cuts"], laid, strict=True)):
        last = place == len(laid) - 1
        if last and not strokes_at_end(far, part.angle_b, supply.length - nm(cut["end"])):
            continue
        bar_side = left if last else supply.length - nm(bar["cuts"][place + 1]["start"])
        side = bar_side if cut["held"] == "bar" else short_point(part)
        if side < shop.hold:
            yield f"{part.mark} is held by the {cut['held']}, which has {side / MM}"
        if cut["turn"] is not (cut["held"] == "part" and not shop.either_side):
            yield f"{part.mark} is held by the {cut['held']}, turn {cut['turn']}"


def _can_be_held(shop: Shop, supply: Supply, laid: list[Part], left: int, at: int) -> bool:
    """Is there a side long enough at every cut, with the bar turned for the last if need be?"""
    start, far = shop.trims(supply)
    last_stroke = strokes_at_end(far, laid[-1].angle_b, supply.length - at)
    if len(laid) == 1 and not last_stroke and not strokes_at_start(start, laid[0].angle_a):
        return True
    grips = [short_point(part) for part in laid]
    if left >= shop.hold or grips[-1] >= shop.hold:
        return True
    return not last_stroke and len(laid) > 1 and grips[-2] >= shop.hold


def _mass_claims(shop: Shop, group: Group, stated: dict[str, Any], length: int, mass: int) -> Iterator[str]:
    least = least_length(shop, group)
    if least is None:
        yield f"{group.section} has a plan, and none by hand"
        return
    if length < least.low:
        yield f"{length / MM} of {group.section} bought, and at least {least.low / MM} by hand"
    if stated["proof"]["status"] in PROVEN and length > least.high:
        yield f"{stated['proof']['status']}: {length / MM} of {group.section} bought, {least.high / MM} by hand"
    # Masses are rounded a bar at a time, at most to a milligram.
    bound = Fraction(stated["proof"]["bound"]) * MONEY
    if length and bound > Fraction(mass, length) * least.high + len(list(every_bar(stated))) + 1:
        yield f"a bound of {stated['proof']['bound']} on the mass of {group.section}"


def cents(exact: Fraction | int) -> int:
    """Rounded half up to whole cents."""
    cent = MONEY // 100
    return floor(Fraction(exact) / cent + Fraction(1, 2)) * cent


def _stated_sums(
    shop: Shop, document: dict[str, Any], used: Counter[str], spend: Counter[str], charges: Counter[str]
) -> Iterator[str]:
    """The money of the totals: what is paid rounded to the cent an amount at a time, what is only counted exact."""
    bars = [bar for group in document["groups"] if group["goal"] == "money" for bar in every_bar(group)]
    lines = [supply for group in shop.groups() if not group.by_mass for supply in group.supplies]
    terms = {merchant: shop.terms_of(merchant) for merchant in spend}
    by_hand = {
        "bars": sum(cents(used[supply.name] * (supply.price or 0)) for supply in lines if supply.bought),
        "delivery": sum(cents(term.delivery_for(spend[merchant])) for merchant, term in terms.items()),
        "shortfall": sum(cents(max(0, term.minimum - spend[merchant])) for merchant, term in terms.items()),
        "cut_charges": sum(cents(charge) for charge in charges.values()),
    }
    by_hand["subtotal"] = subtotal = sum(by_hand.values())
    rate = Fraction(shop.tax_percent, 100)
    by_hand["net"] = net = cents(subtotal / (1 + rate)) if shop.tax_included else subtotal
    by_hand["tax"] = tax = subtotal - net if shop.tax_included else cents(subtotal * rate)
    by_hand["to_pay"] = net + tax
    by_hand["offcuts_used_value"] = sum(used[s.name] * (s.price or 0) for s in lines if not s.bought)
    by_hand["offcuts_kept_value"] = sum(millionths(bar["drop"]["value"]) for bar in bars)
    for name, amount in by_hand.items():
        if millionths(document["totals"]["money"][name]) != amount:
            yield f"{name} {document['totals']['money'][name]}, by hand {amount / MONEY}"
    yield from _stated_lengths(shop, document)
    for order in document["totals"]["orders"]:
        merchant = order["merchant"]
        if merchant in spend and millionths(order["cut_charges"]) != cents(charges[merchant]):
            yield f"{merchant} charges {order['cut_charges']} for cuts, by hand {charges[merchant] / MONEY}"


def _stated_lengths(shop: Shop, document: dict[str, Any]) -> Iterator[str]:
    """The lengths of the totals; what is in no part and no left over went into kerfs and trims."""
    supplies = {supply.name: supply for supply in shop.supplies}
    parts = {part.mark: part for part in shop.parts}
    bars = [bar for group in document["groups"] for bar in every_bar(group)]
    left = [(bar["drop"]["fate"], nm(bar["drop"]["end"]) - nm(bar["drop"]["start"])) for bar in bars]
    by_hand = {
        "bought_length": sum(supplies[bar["source"]].nominal for bar in bars if supplies[bar["source"]].bought),
        "drawn_length": sum(supplies[bar["source"]].length for bar in bars),
        "part_length": sum(parts[cut["mark"]].length for bar in bars for cut in bar["cuts"]),
        "kept_length": sum(length for fate, length in left if fate == "keep"),
        "scrap_length": sum(length for fate, length in left if fate != "keep"),
    }
    one_cut = [
        overlap(saw_of(shop, parts[cut["mark"]].section).depth, Fraction(cut["angle_b"]))
        for bar in bars
        for cut in bar["cuts"]
        if cut.get("shared")
    ]
    by_hand["nested_length"] = sum(one_cut)
    totals = {"nested_length": "0", "cuts_shared": 0} | document["totals"]
    if totals["cuts_shared"] != len(one_cut):
        yield f"{totals['cuts_shared']} cuts are shared, by hand {len(one_cut)}"
    for name, length in by_hand.items():
        if nm(totals[name]) != length:
            yield f"{name} {totals[name]}, by hand {length / MM}"
    rest = by_hand["drawn_length"] - sum(by_hand[name] for name in ("part_length", "kept_length", "scrap_length"))
    rest += sum(one_cut)
    if nm(totals["kerf_and_trim_length"]) != rest:
        yield f"kerf_and_trim_length {totals['kerf_and_trim_length']}, by hand {rest / MM}"


def _money_claims(shop: Shop, document: dict[str, Any], total: int) -> Iterator[str]:
    result = document["result"]
    cost, bound, saving = (millionths(result[key]) for key in ("cost", "bound", "possible_saving"))
    if cost != total:
        yield f"the plan costs {result['cost']}, by hand {total / MONEY}"
    least = least_money(shop)
    if least is None:
        yield "there is a plan, and none by hand"
        return
    status = result["status"]
    if total < least.low:
        yield f"the plan costs {total / MONEY}, and at least {least.low / MONEY} by hand"
    if status in PROVEN and total > least.high:
        yield f"{status} at {total / MONEY}, {least.high / MONEY} by hand"
    if status in PROVEN and saving:
        yield f"{status} with a possible saving of {result['possible_saving']}"
    if bound > least.high:
        yield f"{status} with a bound of {result['bound']}, {least.high / MONEY} by hand"
    if cost - saving > least.high:
        yield f"{status}: {result['possible_saving']} could be saved of {result['cost']}, {least.high / MONEY} by hand"
