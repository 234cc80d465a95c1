"""Made-up jobs from a seed, of many styles, small enough for every pattern to be listed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from random import Random

from tests.second_opinion.shop import METRE, MM, MONEY, SECTIONS, Part, Shop, Supply, Terms

MERCHANTS = ("Hollowmere Metals", "Tansy Lane Stock", "Wrenfield Bars")
SOLID = ("SQ 20", "FL 50x6")
"""Sections whose mass follows from their size without a table of corner radii."""

STYLES = (
    "plain", "merchants", "charges", "work", "hold", "mitres", "mitres charged", "grades", "finish", "limits",
    "keep limit", "value", "missing prices", "fine", "inches", "full lengths", "spares", "flush", "carry",
    "opposite hand", "to fit", "orders", "everything",
)  # fmt: skip
STEPS = {"fine": MM // 1000, "inches": 25_400_000 // 64}


@dataclass(frozen=True)
class Made:
    """A job with its seed, its style and the step its lengths are whole numbers of. [nm]"""

    seed: int
    style: str
    step: int
    shop: Shop


def made(seed: int) -> Made:
    """The job of a seed; seeds one after another go through the styles."""
    draw = Random(seed)
    style = STYLES[seed % len(STYLES)]
    step = STEPS.get(style) or draw.choice([MM, MM, MM // 10])
    share = Random(f"share {seed}").random() < 0.7
    return Made(seed, style, step, replace(_shop(draw, style, step), share=share))


def _shop(draw: Random, style: str, step: int) -> Shop:
    def on(*styles: str, chance: float = 0.12) -> bool:
        return style in styles or draw.random() < (0.4 if style == "everything" else chance)

    kerf = draw.choice([0, 1_500_000, 2_500_000, 3 * MM, 3_175_000])
    priced = not on("missing prices", chance=0)
    value = on("value", "keep limit", chance=0.05) and priced
    rate = draw.choice([MONEY // 5, MONEY // 2, 3 * MONEY // 10]) if value else 0
    shop = Shop(
        (),
        (),
        kerf=kerf,
        end_trim=draw.choice([0, 10 * MM, 15 * MM]),
        trim_includes_cut=draw.random() < 0.7,
        mill_ends_accepted=on("flush", chance=0.1),
        hold=draw.choice([120, 200, 400]) * MM if on("hold", chance=0.3) and style != "to fit" else 0,
        either_side=draw.random() < 0.3,
        keep=dict.fromkeys(("SHS", "SQ", "RD", "FL"), draw.choice([100, 250, 500]) * MM) if on(chance=0.5) else {},
        value_per_m=dict.fromkeys(("SHS", "SQ", "RD", "FL"), rate) if rate else {},
        keep_at_most=draw.choice([0, 1, 2]) if on("keep limit", chance=0.05) else None,
        work=_work(draw) if on("work", "mitres charged", "opposite hand", "to fit", chance=0.1) else (0, 0, 0),
        carry=draw.choice([2000, 3000]) * MM if on("carry", chance=0.08) else 0,
    )
    if on(chance=0.15):
        percent = Fraction(draw.choice(["10", "17.5", "21"]))
        shop = replace(shop, tax_percent=percent, tax_included=draw.random() < 0.5)
    shorter = draw.choice([5, 12]) * MM if on(chance=0.1) else 0
    charged = on("charges", "mitres charged", "orders", chance=0.12)
    names = MERCHANTS[: draw.randint(1, 3)] if charged or on("merchants", chance=0.3) else MERCHANTS[:1]
    terms = {name: _terms(draw) for name in names if draw.random() < 0.8} if charged else {}
    if style == "orders":
        amounts = [10, 25, 60, 110]
        terms = {
            name: replace(
                term,
                minimum=draw.choice(amounts) * MONEY,
                delivery=draw.choice([0, 4, 12]) * MONEY,
                free_from=draw.choice([0, 0, 30, 80]) * MONEY,
            )
            for name, term in terms.items()
        }
    if shop.carry and not charged:
        terms = {name: Terms(delivers=draw.random() < 0.5) for name in names}
    shop = replace(shop, terms=terms)
    finishes = ("black", "galvanised") if on("finish", chance=0.05) else ("black",)
    sections = draw.sample(SOLID if not priced else tuple(SECTIONS), draw.choice([1, 1, 2]))
    groups = [(section, finish) for section in sections for finish in finishes]
    mitred = on("mitres", "mitres charged", "opposite hand", "to fit", chance=0.15)
    graded = on("grades", chance=0.08) and priced
    parts: list[Part] = []
    supplies: list[Supply] = []
    for place, (section, finish) in enumerate(groups):
        bought = _bought(draw, style, shop, names, (section, finish), step, rate, graded)
        supplies += [replace(supply, length=supply.nominal - shorter) for supply in bought]
        if not priced and place == 0:
            blank = draw.randrange(len(supplies))
            supplies[blank] = replace(supplies[blank], price=None)
        parts += _parts(draw, style, shop, supplies, (section, finish), step, mitred, graded, len(groups))
        supplies += _offcuts(draw, style, (section, finish), step, rate, graded)
    marks = [replace(part, mark=f"M{n}") for n, part in enumerate(parts, 1)]
    if on("spares", chance=0):
        marks = [replace(part, spares=draw.choice([0, 1, 3])) for part in marks]
    if style == "to fit":
        marks = [replace(part, to_fit=draw.random() < 0.4) for part in marks]
    if style == "opposite hand":
        turned = [replace(part, mark=f"{part.mark}-OH", mirrored=part.mark, quantity=draw.randint(1, 3))
                  for part in marks if draw.random() < 0.5]  # fmt: skip
        marks += turned
    rows, offcuts = 0, 0
    named: list[Supply] = []
    for supply in supplies:
        if supply.bought:
            rows += 1
            named.append(replace(supply, name=f"P{rows + 1}"))
        else:
            offcuts += 1
            named.append(replace(supply, name=f"K{offcuts}"))
    return replace(shop, parts=tuple(marks), supplies=tuple(named))


def _work(draw: Random) -> tuple[int, int, int]:
    amounts = [0, MONEY // 4, MONEY // 2, 2 * MONEY]
    return draw.choice(amounts), draw.choice(amounts), draw.choice(amounts)


def _terms(draw: Random) -> Terms:
    return Terms(
        delivers=draw.random() < 0.6,
        delivery=draw.choice([0, 0, 5, 18]) * MONEY,
        minimum=draw.choice([0, 0, 20, 45]) * MONEY,
        cuts=draw.random() < 0.4,
        per_cut=draw.choice([0, 1, 2]) * MONEY // 2,
    )


def _stepped(draw: Random, low: int, high: int, step: int) -> int:
    """A random length between two, in millimetres, as a whole number of steps."""
    return draw.randint(low * MM // step, high * MM // step) * step


def _bought(
    draw: Random,
    style: str,
    shop: Shop,
    names: tuple[str, ...],
    key: tuple[str, str],
    step: int,
    rate: int,
    graded: bool,
) -> list[Supply]:
    """Rows of a price list, the longest without a limit; a longer one is never cheaper than its worth as left over."""
    if step == STEPS["inches"]:
        lengths = draw.sample([8, 10, 20, 24, 42], draw.randint(1, 3))
        nominal = sorted(feet * 304_800_000 for feet in lengths)
    else:
        nominal = sorted(
            length * MM for length in draw.sample([1200, 1500, 2000, 2500, 3000, 4000], draw.randint(1, 3))
        )
    found: list[Supply] = []
    price, before = 0, 0
    cheap = bool(rate) and draw.random() < 0.15
    for place, length in enumerate(nominal):
        worth = rate * (length - before) // METRE
        price += (worth // 2 if cheap else worth) + draw.randint(1 if cheap else 100, 900) * (MONEY // 100)
        before = length
        longest = place == len(nominal) - 1
        limited = not longest and (style == "limits" or draw.random() < 0.15)
        for merchant in names if longest and not rate else (draw.choice(names),):
            change = 0 if rate else draw.randint(-80, 80) * (MONEY // 100)
            found.append(
                Supply(
                    name="",
                    section=key[0],
                    finish=key[1],
                    grade=("S275" if longest else draw.choice(["S275", "S355", ""])) if graded else "",
                    length=length,
                    nominal=length,
                    price=max(MONEY // 100, price + change),
                    available=draw.randint(0, 3) if limited else None,
                    merchant=merchant,
                )
            )
    return found


def _parts(
    draw: Random,
    style: str,
    shop: Shop,
    supplies: list[Supply],
    key: tuple[str, str],
    step: int,
    mitred: bool,
    graded: bool,
    groups: int,
) -> list[Part]:
    bars = [s for s in supplies if (s.section, s.finish) == key and shop.can_be_had(s)] or supplies
    longest = max(bars, key=lambda supply: supply.length)
    room = (longest.length - sum(shop.trims(longest))) // MM
    found: list[Part] = []
    depth = SECTIONS[key[0]][1] // MM
    few = style == "fine" and draw.random() < 0.5
    for _ in range(draw.randint(1, 2 if few else 5 if groups == 1 else 3)):
        angles = [Fraction(0), Fraction(0)]
        if mitred and depth and draw.random() < 0.7:
            angles = [Fraction(draw.choice(["0", "45", "45", "22.5", "30", "60", "15"])) for _ in range(2)]
        kind = draw.random()
        if style == "flush" or kind < 0.2:
            # So many fill a bar to the last, or miss it by little.
            count = draw.randint(1, 4)
            length = (longest.length - sum(shop.trims(longest)) - (count - 1) * shop.kerf) // count // step * step
            length -= draw.choice([0, 0, 0, 1, 7]) * step
        elif kind < 0.4:
            length = _stepped(draw, 60 + 4 * depth, 60 + 4 * depth + 200, step)
        else:
            length = _stepped(draw, min(200 + 4 * depth, room - 100), room * 2 // 3, step)
        found.append(
            Part(
                mark="",
                quantity=draw.randint(1, 3 if few else 7 if groups == 1 or style == "orders" else 4),
                section=key[0],
                finish=key[1],
                grade=draw.choice(["", "S275", "S275"]) if graded else "",
                length=length,
                angle_a=angles[0],
                angle_b=angles[1],
            )
        )
    return found


def _offcuts(draw: Random, style: str, key: tuple[str, str], step: int, rate: int, graded: bool) -> list[Supply]:
    found = []
    many = 3 if style == "full lengths" else draw.choice([0, 0, 1, 2])
    for _ in range(many):
        length = draw.choice([_stepped(draw, 250, 1500, step), draw.choice([600, 1000, 1200]) * MM])
        worth = rate * length // METRE
        full = style == "full lengths" and draw.random() < 0.7
        found.append(
            Supply(
                name="",
                section=key[0],
                finish=key[1],
                grade=draw.choice(["S275", "S355", ""]) if graded else "",
                length=length,
                nominal=length,
                price=draw.choice([worth, worth // 2, 0, worth + MONEY, worth + 3 * MONEY]),
                available=draw.randint(2, 4) if full else 1,
                mill=(True, True) if full else (draw.random() < 0.3, draw.random() < 0.3),
            )
        )
    return found
