"""What measurements say of the figures in the workshop file, in words and as values for JSON, which say the same."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from cutplan.model import Workshop
from cutplan.rack.learned import FEWEST, KerfFound, Learned, LengthsFound
from cutplan.units import INCH, MM, Length, counted, mm_text
from cutplan.units.quantities import fixed_text


def learned_lines(found: Learned, workshop: Workshop) -> list[str]:
    """A line for each figure that something was measured of; what is to change stands as the workshop file has it."""
    lines = [_kerf_line(each, workshop) for each in found.kerfs]
    if found.passed_over:
        lines.append(
            f"  {counted(found.passed_over, 'more bar')} measured, but not how long before the cuts, or with an end "
            "trimmed: they show no kerf"
        )
    lines += [_lengths_line(each, workshop) for each in found.lengths]
    return ["What was measured says of the figures in the workshop file:", *lines] if lines else []


def _kerf_line(each: KerfFound, workshop: Workshop) -> str:
    unit = workshop.figures.unit
    middle, low, high = (_fine(length, unit) for length in (each.middle, each.low, each.high))
    took = f"a cut took {middle} {unit}, in the middle half {low} to {high}"
    rests = f"it rests on {counted(each.bars, 'bar')} with {counted(each.cuts, 'cut')}"
    return f"  {_head('saw.kerf', each.now, each.better, each.bars, workshop, each.saw)}: {took}; {rests}"


def _lengths_line(each: LengthsFound, workshop: Workshop) -> str:
    unit = workshop.figures.unit
    shortest, middle, longest = (_signed(length, unit) for length in (each.shortest, each.middle, each.longest))
    came = f"lengths came {shortest} to {longest} {unit} beside the nominal one, the middle one {middle}"
    head = _head(f"minus_tolerance.{each.family}", each.now, each.better, each.counted, workshop)
    return f"  {head}: {came}; it rests on {counted(each.counted, 'length')}"


def _head(key: str, now: Length, better: Length | None, records: int, workshop: Workshop, saw: str = "") -> str:
    typed = workshop.figures.typed_length
    if better is not None:
        value = f'"{typed(better)}"'
        return f"{pasted(key, value, saw)}, now {typed(now)}"
    key += f" of {saw}" if saw else ""
    if records < FEWEST:
        return f"{key}, now {typed(now)}, not judged before {FEWEST}"
    return f"{key} stays {typed(now)}"


def pasted(key: str, value: str, saw: str = "") -> str:
    """A figure as a line of a workshop file that may stand there as it is, with the heading that it goes below."""
    table, _, name = key.partition(".")
    heading = f'the [[saw]] named "{saw}"' if saw else f"[{table}]"
    return f"{name} = {value}  # in {heading}"


def _fine(length: Length, unit: str = "mm") -> str:
    """A length to what a tape does not show: hundredths of a millimetre, thousandths of an inch."""
    return fixed_text(Fraction(length, INCH), 3) if unit == "in" else fixed_text(Fraction(length, MM), 2)


def _signed(length: Length, unit: str = "mm") -> str:
    figure = fixed_text(Fraction(length, INCH), 2) if unit == "in" else fixed_text(Fraction(length, MM), 1)
    return f"{'+' if length > 0 else ''}{figure}"


def learned_values(found: Learned) -> dict[str, Any]:
    """The same for JSON; a figure that is to stay, or is not judged yet, has null for what is suggested."""
    return {
        "bars_passed_over": found.passed_over,
        "kerfs": [
            {
                "saw": each.saw,
                "now_mm": mm_text(each.now),
                "suggested_mm": _mm(each.better),
                "median_mm": _fine(each.middle),
                "middle_half_mm": [_fine(each.low), _fine(each.high)],
                "bars": each.bars,
                "cuts": each.cuts,
            }
            for each in found.kerfs
        ],
        "lengths": [
            {
                "key": f"minus_tolerance.{each.family}",
                "now_mm": mm_text(each.now),
                "suggested_mm": _mm(each.better),
                "shortest_mm": _signed(each.shortest),
                "median_mm": _signed(each.middle),
                "longest_mm": _signed(each.longest),
                "lengths": each.counted,
            }
            for each in found.lengths
        ],
    }


def _mm(length: Length | None) -> str | None:
    return None if length is None else mm_text(length)
