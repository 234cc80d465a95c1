"""What a job holds, in words of its own: parts, bars that can be had, merchants' terms and the workshop's rules."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

MM = 1_000_000
"""Nanometres in a millimetre."""

METRE = 1000 * MM

MONEY = 1_000_000
"""Millionths in one of the currency."""

SECTIONS = {
    # Depth of a mitre [nm], mass [mg/m]: exact for solid bars, at 7850 kg/m3; of the tube only ratios are used.
    "SHS 40x40x3": ("SHS", 40 * MM, None),
    "SHS 30x30x2": ("SHS", 30 * MM, None),
    "SQ 20": ("SQ", 20 * MM, 3_140_000),
    "RD 16": ("RD", 16 * MM, None),
    "FL 50x6": ("FL", 0, 2_355_000),
}
"""Sections the jobs are made of: family, depth of a mitre across the saw, mass."""


@dataclass(frozen=True)
class Part:
    """A part as sawn, from long point to long point; angles in degrees from square, 0 is square.

    ``mirrored`` is the mark this is the opposite hand of: of a square section the
    same piece turned over. One that is cut ``to_fit`` comes last on its bar.
    """

    mark: str
    quantity: int
    section: str
    finish: str
    grade: str
    length: int
    angle_a: Fraction = Fraction(0)
    angle_b: Fraction = Fraction(0)
    spares: int = 0
    mirrored: str = ""
    to_fit: bool = False

    @property
    def ends(self) -> tuple[Fraction, Fraction]:
        return self.angle_a, self.angle_b


@dataclass(frozen=True)
class Supply:
    """Bars of one kind: a row of the price list (``merchant`` is named) or of the rack.

    ``length`` is what the bar is counted on, ``nominal`` what it is sold as. A
    price of None is not known. ``price`` of an offcut is its book value.
    ``available`` None is no limit. ``mill`` says of either end whether it came
    from the mill.
    """

    name: str
    section: str
    finish: str
    grade: str
    length: int
    nominal: int
    price: int | None
    available: int | None
    merchant: str = ""
    mill: tuple[bool, bool] = (True, True)

    @property
    def bought(self) -> bool:
        return bool(self.merchant)


@dataclass(frozen=True)
class Terms:
    """What a merchant charges beside the bars."""

    delivers: bool = False
    delivery: int = 0
    minimum: int = 0
    free_from: int = 0
    cuts: bool = False
    per_cut: int = 0

    def delivery_for(self, amount: int) -> int:
        """What delivery costs where bars come to an amount: nothing where that is enough."""
        return 0 if self.free_from and amount >= self.free_from else self.delivery


@dataclass(frozen=True)
class Shop:
    """A whole job: what is wanted, what can be had, and the rules it is cut by."""

    parts: tuple[Part, ...]
    supplies: tuple[Supply, ...]
    terms: dict[str, Terms] = field(default_factory=dict)
    kerf: int = 2_500_000
    end_trim: int = 10 * MM
    trim_includes_cut: bool = True
    mill_ends_accepted: bool = False
    hold: int = 120 * MM
    either_side: bool = False
    share: bool = True
    keep: dict[str, int] = field(default_factory=dict)
    value_per_m: dict[str, int] = field(default_factory=dict)
    keep_at_most: int | None = None
    work: tuple[int, int, int] = (0, 0, 0)
    carry: int = 0
    tax_percent: Fraction = Fraction(0)
    tax_included: bool = False

    def terms_of(self, merchant: str) -> Terms:
        return self.terms.get(merchant, Terms())

    def keep_length(self, section: str) -> int:
        family = SECTIONS[section][0]
        return self.keep.get(family, (150 if family in ("FL", "SQ", "RD") else 300) * MM)

    def rate(self, section: str) -> int:
        """What a metre of kept offcut is worth."""
        return self.value_per_m.get(SECTIONS[section][0], 0)

    def value(self, supply: Supply, left: int) -> int:
        """What a kept left over of this bar is worth: no more a metre than the bar, down to a thousandth."""
        assert supply.price is not None
        paid_per_m = supply.price * METRE // supply.length // 1000 * 1000
        return min(self.rate(supply.section), paid_per_m) * left // METRE

    def groups(self) -> list[Group]:
        """Section and finish: what may share a bar."""
        found = dict.fromkeys((part.section, part.finish) for part in self.parts)
        return [
            Group(
                section,
                finish,
                tuple(part for part in self.parts if (part.section, part.finish) == (section, finish)),
                tuple(s for s in self.supplies if (s.section, s.finish) == (section, finish)),
            )
            for section, finish in found
        ]

    def can_be_had(self, supply: Supply) -> bool:
        """Not longer than what can be carried, or delivered."""
        return (
            not supply.bought
            or not self.carry
            or supply.nominal <= self.carry
            or self.terms_of(supply.merchant).delivers
        )

    def trims(self, supply: Supply) -> tuple[int, int]:
        """What START and the far end lose; START is the end that loses less."""
        trim = self.end_trim
        if trim and not self.trim_includes_cut:
            trim += self.kerf
        if self.mill_ends_accepted:
            trim = 0
        start, far = sorted(trim if mill else 0 for mill in supply.mill)
        return start, far


@dataclass(frozen=True)
class Group:
    """Parts and bars of one section and finish."""

    section: str
    finish: str
    parts: tuple[Part, ...]
    supplies: tuple[Supply, ...]

    @property
    def by_mass(self) -> bool:
        """Planned for the least mass bought, because a price is not known."""
        return any(supply.price is None for supply in self.supplies)
