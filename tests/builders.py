"""Tiny jobs for tests. Lengths are given in millimetres, prices in whole currency."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from cutplan.model import (
    NO_WORK,
    EndCut,
    EndState,
    Job,
    Merchant,
    Offcut,
    Part,
    Saw,
    StockLength,
    Work,
    Workshop,
    bar_price,
)
from cutplan.model.stock_length import Basis
from cutplan.sections import read_section
from cutplan.sections.section import Family, Section
from cutplan.units import CURRENCY, DEGREE, MM


def mm(value: float | int | str) -> int:
    """Millimetres as whole nanometres, exactly."""
    nanometres = Fraction(str(value)) * MM
    assert nanometres.denominator == 1
    return int(nanometres)


def square_tube(side: int = 40, wall: int = 3) -> Section:
    """A stand-in tube with a round figure of 3 kg/m, so that sums can be done in the head."""
    return Section(
        family=Family.SHS,
        designation=f"SHS {side}x{side}x{wall}",
        standard="EN 10219-2",
        height=mm(side),
        width=mm(side),
        thickness=mm(wall),
        area_um2=400_000_000,
        mass_per_metre=3_000_000,
        surface_mm2_per_metre=150_000,
        density=7850,
        source="made up for tests",
    )


def workshop(
    *,
    kerf: float | str = 0,
    end_trim: float | str = 0,
    safe_hold: float | str = 0,
    keep: float | str | None = None,
    offcut_value_per_mm: int = 0,
    merchants: Sequence[Merchant] = (),
    longest_carry: float | str = 0,
    most_kept: int | None = None,
    work: Work = NO_WORK,
    **saw: Any,
) -> Workshop:
    """A workshop whose saw takes nothing unless given."""
    return Workshop(
        saw=Saw(kerf=mm(kerf), end_trim=mm(end_trim), safe_hold=mm(safe_hold), **saw),
        keep=((Family.SHS, mm(keep)),) if keep is not None else (),
        offcut_value_per_mm=((Family.SHS, offcut_value_per_mm),) if offcut_value_per_mm else (),
        merchants=tuple(merchants),
        longest_carry=mm(longest_carry),
        most_kept=most_kept,
        work=work,
    )


def part(mark: str, quantity: int, length: float | str, **other: Any) -> Part:
    """A part of the stand-in tube; ``mitres=(45, 0)`` gives its end angles in degrees."""
    mitres = other.pop("mitres", (0, 0))
    section = other.pop("section", square_tube())
    return Part(
        mark=mark,
        quantity=quantity,
        section=section,
        length=mm(length),
        finish=other.pop("finish", "black"),
        end_a=EndCut(angle=round(mitres[0] * DEGREE)),
        end_b=EndCut(angle=round(mitres[1] * DEGREE)),
        depth=section.height if any(mitres) else 0,
        **other,
    )


def part_of(section: str, length: float | str = 1000, mitres: tuple[float, float] = (0, 0), **other: Any) -> Part:
    """One part A1 of a section as it is sold, with fields set as given."""
    read = read_section(section, standard=None, standard_of=Workshop().standard)
    return replace(part("A1", 1, length, section=read, mitres=mitres), **other)


def offer(id: str, length: float | str, price: float | str | None, **other: Any) -> StockLength:
    """A stock length of the stand-in tube, priced each."""
    section = other.pop("section", square_tube())
    nominal = mm(length)
    money = None if price is None else bar_price(Fraction(str(price)), Basis.EACH, nominal, section)
    return StockLength(
        id=id,
        merchant=other.pop("merchant", "Yard"),
        section=section,
        finish=other.pop("finish", "black"),
        length=nominal,
        counted=mm(other.pop("counted", length)),
        typed_price="" if price is None else str(price),
        bar_price=money,
        **other,
    )


def offcut(mark: str, length: float | str, book: float | str = 0, ends: str = "sawn sawn", **other: Any) -> Offcut:
    """An offcut of the stand-in tube; ``ends`` names both end states."""
    end_a, end_b = (EndState(word) for word in ends.split())
    return Offcut(
        mark=mark,
        section=other.pop("section", square_tube()),
        finish=other.pop("finish", "black"),
        length=mm(length),
        end_a=end_a,
        end_b=end_b,
        book_value=int(Fraction(str(book)) * CURRENCY),
        **other,
    )


def job(parts: Sequence[Part], offers: Sequence[StockLength], offcuts: Sequence[Offcut] = (), **settings: Any) -> Job:
    """A job; ``settings`` go to :func:`workshop` unless one is given as ``at``."""
    at = settings.pop("at", None) or workshop(**settings)
    return Job(name="tiny", parts=tuple(parts), offers=tuple(offers), offcuts=tuple(offcuts), workshop=at)
