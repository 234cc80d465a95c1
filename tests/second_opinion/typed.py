"""A made-up job as the files a person would type: parts list, price list, rack file, workshop file."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable
from fractions import Fraction
from pathlib import Path

from tests.second_opinion.jobs import STEPS, Made
from tests.second_opinion.shop import METRE, MM, MONEY, SECTIONS, Part, Shop, Supply

INCH = 25_400_000
"""Nanometres in an inch."""

MERCHANT_WITHOUT = "Wrenfield Bars"
"""Asked for a length now and then, and does not sell it."""


def decimal(whole: int, unit: int) -> str:
    """A whole number of a power of ten as a decimal number of the unit."""
    units, rest = divmod(whole, unit)
    places = len(str(unit)) - 1
    return f"{units}.{rest:0{places}}".rstrip("0").rstrip(".")


def millimetres(length: int) -> str:
    return f"{decimal(length, MM)} mm"


def inches(length: int) -> str:
    """In inches and sixty-fourths; what is no such number stays in millimetres."""
    whole, rest = divmod(Fraction(length, INCH), 1)
    if (rest * 64).denominator != 1:
        return millimetres(length)
    return f'{whole} {rest}"' if rest and whole else f'{rest or whole}"'


def money(amount: int) -> str:
    return decimal(amount, MONEY)


def degrees(angle: Fraction) -> str:
    return f"{float(angle):g}" if angle else ""


def length_and_what_it_means(made: Made, part: Part, typed: Callable[[int], str]) -> tuple[str, str, str, str]:
    """The same part by its long point, its centre line or its short point, where that is a matter of halves alone.

    What is ground off, and what a part is sawn longer by to be cut to fit, are added to what is typed.
    """
    seed, unit = made.seed, INCH // 16 if made.step == STEPS["inches"] else MM
    grinding = unit if seed % 4 == 0 else 0
    to_fit = 5 * unit if part.to_fit else 0
    length = part.length - grinding - to_fit
    added = (typed(grinding) if grinding else "", typed(to_fit) if to_fit else "")
    slanted = [angle for angle in part.ends if angle]
    if not slanted or any(angle != 45 for angle in slanted) or seed % 3 == 0:
        return typed(length), "", *added
    depth = SECTIONS[part.section][1] * len(slanted)
    if seed % 3 == 1:
        return typed(length - depth), "short point", *added
    return typed(length - depth // 2), "centre line", *added


def rows_of(shop: Shop, part: Part, seed: int) -> list[int]:
    """The quantity in one row, or now and then in two rows of the same mark."""
    once = part.spares or any(other.mirrored == part.mark for other in shop.parts)
    first = part.quantity // 2
    return [first, part.quantity - first] if first and not once and seed % 5 == 0 else [part.quantity]


def price_and_basis(supply: Supply, seed: int) -> tuple[str, str]:
    """The same price each, per metre, or per kilogram, where that comes to it exactly."""
    if supply.price is None:
        return "", "each"
    mass_per_m = SECTIONS[supply.section][2]
    per_m = Fraction(supply.price * 1000 * MM, supply.nominal * MONEY)
    ways = [(Fraction(supply.price, MONEY), "each"), (per_m, "per m"), (per_m * Fraction("0.3048"), "per ft")]
    if mass_per_m:
        per_kg = per_m * MONEY / mass_per_m
        ways += [(per_kg, "per kg"), (per_kg * 1000, "per tonne"), (per_kg * Fraction("0.45359237"), "per lb")]
    ways = [way for way in ways if (way[0] * 10**9).denominator == 1]
    price, basis = ways[(seed + supply.nominal // MM) % len(ways)]
    return decimal(int(price * 10**9), 10**9), basis


def write(made: Made, folder: Path, *, length: Callable[[int], str] | None = None) -> Path:
    """The files of a job; gives the parts list. ``length`` says how lengths are typed."""
    shop = made.shop
    typed = length or (inches if made.step == STEPS["inches"] else millimetres)
    folder.mkdir(parents=True, exist_ok=True)
    _table(
        folder / "parts.csv",
        "Mark,Quantity,Section,Finish,Grade,Cut A,Cut B,Spares,Opposite hand,Length,Length is,Grinding,Cut to fit",
        (
            (
                part.mark, quantity, part.section, part.finish, part.grade,
                degrees(part.angle_a), degrees(part.angle_b), part.spares or "",
                sum(other.quantity for other in shop.parts if other.mirrored == part.mark) or "",
                *length_and_what_it_means(made, part, typed),
            )
            for place, part in enumerate(shop.parts)
            if not part.mirrored
            for quantity in rows_of(shop, part, made.seed + place)
        ),
    )  # fmt: skip
    _table(
        folder / "prices.csv",
        "Merchant,Section,Finish,Grade,Length,Price,Per,Available",
        (
            (
                s.merchant, s.section, s.finish, s.grade, typed(s.nominal), *price_and_basis(s, made.seed),
                "" if s.available is None else s.available,
            )
            for s in shop.supplies
            if s.bought
        ),
    )  # fmt: skip
    if made.seed % 4 == 1:
        part = shop.parts[0]
        with (folder / "prices.csv").open("a", encoding="utf-8") as file:
            file.write(f"{MERCHANT_WITHOUT},{part.section},{part.finish},,{millimetres(9000 * MM)},no,each,\n")
    ends = {True: "mill", False: "sawn"}
    offcuts = [s for s in shop.supplies if not s.bought]
    if offcuts:
        _table(
            folder / "rack.csv",
            "Mark,Section,Finish,Grade,Length,End A,End B,Book value,Quantity",
            (
                (
                    s.name, s.section, s.finish, s.grade, typed(s.length), ends[s.mill[0]], ends[s.mill[1]],
                    book_value(shop, s, made.seed), s.available,
                )
                for s in offcuts
            ),
        )  # fmt: skip
    (folder / "workshop.toml").write_text(_workshop(shop, typed, bool(offcuts)), encoding="utf-8")
    return folder / "parts.csv"


def book_value(shop: Shop, offcut: Supply, seed: int) -> str:
    """Blank now and then, where that means the same."""
    assert offcut.price is not None
    return (
        "" if offcut.price == shop.rate(offcut.section) * offcut.length // METRE and seed % 2 else money(offcut.price)
    )


def _table(path: Path, headings: str, rows: Iterable[tuple[object, ...]]) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(headings.split(","))
        writer.writerows(rows)


def _workshop(shop: Shop, typed: Callable[[int], str], rack: bool) -> str:
    def length(value: int) -> str:
        return "'" + typed(value) + "'"

    def yes(value: bool) -> str:
        return "true" if value else "false"

    lines = [
        "[tax]",
        f"percent = {float(shop.tax_percent)}",
        f"prices_include_tax = {yes(shop.tax_included)}",
        "[saw]",
        f"kerf = {length(shop.kerf)}",
        f"end_trim = {length(shop.end_trim)}",
        f"end_trim_includes_cut = {yes(shop.trim_includes_cut)}",
        f"mill_ends_accepted = {yes(shop.mill_ends_accepted)}",
        f"safe_hold = {length(shop.hold)}",
        f'clamp = "{"either side" if shop.either_side else "bar side"}"',
        *([] if shop.share else ["share_mitres = false"]),
    ]
    shorter = {SECTIONS[s.section][0]: s.nominal - s.length for s in shop.supplies if s.nominal > s.length}
    if shorter:
        lines += ["[minus_tolerance]", *(f"{family} = {length(by)}" for family, by in shorter.items())]
    if shop.keep:
        lines += ["[keep]", *(f"{family} = {length(keep)}" for family, keep in shop.keep.items())]
    if shop.value_per_m:
        lines += ["[offcut_value_per_m]", *(f'{family} = "{money(v)}"' for family, v in shop.value_per_m.items())]
    if shop.keep_at_most is not None:
        lines += ["[offcuts]", f"keep_at_most = {shop.keep_at_most}"]
    if any(shop.work):
        names = ("per_bar", "per_cut", "per_setup")
        lines += ["[work]", *(f'{name} = "{money(value)}"' for name, value in zip(names, shop.work, strict=True))]
    if shop.carry:
        lines += ["[carry]", f"longest = {length(shop.carry)}"]
    lines += ["[files]", 'prices = "prices.csv"', *(['rack = "rack.csv"'] if rack else [])]
    for name, terms in shop.terms.items():
        lines += [
            "[[merchant]]",
            f'name = "{name}"',
            f"delivers = {yes(terms.delivers)}",
            *(['brought = "delivered"'] if terms.delivers else []),
            f'delivery = "{money(terms.delivery)}"',
            f'minimum_order = "{money(terms.minimum)}"',
            f'free_delivery_from = "{money(terms.free_from)}"',
            f"cuts_to_plan = {yes(terms.cuts)}",
            f'cut_charge = "{money(terms.per_cut)}"',
        ]
    return "\n".join(lines) + "\n"
