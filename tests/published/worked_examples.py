"""Worked examples of cutting stock from books, papers and the manuals of modelling languages.

Facts only, each with its source. "Recomputed" marks an optimum that the source
does not print: all patterns were listed and the integer program over them was
solved to proof by two solvers (HiGHS and CP-SAT), before this program existed.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from cutplan.model import Job
from cutplan.units import CURRENCY
from tests import builders


@dataclass(frozen=True)
class Example:
    """One example as printed, lengths in its own unit.

    ``stock`` lists length@price, price 1 where the fewest bars are asked for;
    ``wanted`` lists length x quantity; ``optimum`` is the least total price.
    """

    name: str
    source: str
    unit_mm: Fraction
    stock: str
    wanted: str
    optimum: int

    @property
    def least_cost(self) -> int:
        """The optimum in millionths of the currency."""
        return self.optimum * CURRENCY

    @property
    def shortest(self) -> Fraction:
        """The shortest part. [mm]"""
        return min(int(entry.split("x")[0]) for entry in self.wanted.split()) * self.unit_mm

    def job(self, *, shift: Fraction = Fraction(0), count_shift: Fraction = Fraction(0), **settings: Any) -> Job:
        """The example as a job: every part and the length every bar is counted on changed by so many mm."""
        parts = [entry.split("x") for entry in self.wanted.split()]
        stock = [entry.split("@") for entry in self.stock.split()]
        return builders.job(
            [builders.part(f"M{n}", int(count), str(int(n) * self.unit_mm + shift)) for n, count in parts],
            [
                builders.offer(
                    f"P{n}", length := str(int(n) * self.unit_mm), price, counted=str(Fraction(length) + count_shift)
                )
                for n, price in stock
            ],
            **settings,
        )


EXAMPLES = (
    Example(
        name="paper_5600",
        source=(
            "J. Kantor and others, Hands-on mathematical optimization with Python, extra material on cutting "
            "stock: 73 printed"
        ),
        unit_mm=Fraction("1"),
        stock="5600@1",
        wanted=(
            "2200x20 2150x18 2140x16 2100x14 2050x12 2000x10 1930x20 1880x18 1820x18 1710x14 1560x12 1520x25 1380x22"
        ),
        optimum=73,
    ),
    Example(
        name="chvatal_100",
        source=(
            "V. Chvatal, Linear Programming, Freeman 1983, ch. 13, p. 195, in inches: 452.25 and 453 from "
            "memory, recomputed"
        ),
        unit_mm=Fraction("25.4"),
        stock="100@1",
        wanted="45x97 36x610 31x395 14x211",
        optimum=453,
    ),
    Example(
        name="chvatal_100_sas",
        source=(
            "SAS/OR User's Guide: Mathematical Programming, OPTMODEL example Multiple Subproblems (35 in for "
            "Chvatal's 36): recomputed"
        ),
        unit_mm=Fraction("25.4"),
        stock="100@1",
        wanted="45x97 35x610 31x395 14x211",
        optimum=453,
    ),
    Example(
        name="chvatal_90",
        source=(
            "V. Chvatal, Linear Programming, Freeman 1983, as restated in the AMPL examples, quarters of a "
            "unit: recomputed"
        ),
        unit_mm=Fraction("25.4") / 4,
        stock="360@1",
        wanted="240x3 120x21 102x94 80x50 69x288 60x178 51x112 40x144",
        optimum=164,
    ),
    Example(
        name="winston_17",
        source=(
            "W. L. Winston, Operations Research, column generation, in feet, as restated in lecture notes "
            "MIE376 (2011): recomputed"
        ),
        unit_mm=Fraction("304.8"),
        stock="17@1",
        wanted="9x15 5x20 3x25",
        optimum=19,
    ),
    Example(
        name="ampl_110",
        source=(
            "R. Fourer, D. Gay, B. Kernighan, AMPL, 2nd ed., ch. 14, in inches: 46.25 and 47 from memory, recomputed"
        ),
        unit_mm=Fraction("25.4"),
        stock="110@1",
        wanted="75x8 55x10 50x24 45x35 20x48",
        optimum=47,
    ),
    Example(
        name="ampl_6450",
        source="AMPL examples, widths in hundredths: recomputed",
        unit_mm=Fraction("1"),
        stock="6450@1",
        wanted="1876x10 1746x33 756x40 677x10",
        optimum=18,
    ),
    Example(
        name="jump_100",
        source=("JuMP documentation, tutorial Column generation, in tenths: 334 printed as the best found, recomputed"),
        unit_mm=Fraction("1"),
        stock="1000@1",
        wanted=(
            "750x189 538x33 530x36 510x41 502x35 322x37 308x44 298x49 201x37 162x36 145x42 110x33 86x47 "
            "82x35 66x49 51x42"
        ),
        optimum=334,
    ),
    Example(
        name="haessler_172",
        source=(
            "R. W. Haessler, Management Science 34 (1988) 1460-1471, Table 2, in eighths of an inch, plain: recomputed"
        ),
        unit_mm=Fraction("25.4") / 8,
        stock="1376@1",
        wanted=("200x5 198x73 144x14 140x4 124x23 123x5 111x29 100x87 98x9 96x31 82x6 81x14 80x43 70x15 68x21 62x5"),
        optimum=33,
    ),
    Example(
        name="schrage_349",
        source="AMPL examples, ten close widths in quarters of a unit: recomputed",
        unit_mm=Fraction("1"),
        stock="1396@1",
        wanted="183x26 179x13 169x19 167x47 163x58 159x39 155x10 151x31 139x23 135x23",
        optimum=34,
    ),
    Example(
        name="matlab_40",
        source=(
            "MathWorks Optimization Toolbox documentation, Cutting Stock Problem: Solver-Based, in feet: recomputed"
        ),
        unit_mm=Fraction("304.8"),
        stock="40@1",
        wanted="20x30 16x55 12x111 8x90",
        optimum=89,
    ),
    Example(
        name="bellows_25",
        source=("C. Ragsdale, Spreadsheet Modeling and Decision Analysis, exercise, in feet, second-hand: recomputed"),
        unit_mm=Fraction("304.8"),
        stock="25@1",
        wanted="11x300 9x1200 7x5000",
        optimum=2167,
    ),
    Example(
        name="taylor_25a",
        source="B. Taylor, Introduction to Management Science, exercise, in feet, second-hand: recomputed",
        unit_mm=Fraction("304.8"),
        stock="25@1",
        wanted="10x500 9x1200 7x700",
        optimum=875,
    ),
    Example(
        name="fico_100",
        source="FICO Xpress Python examples, cutting stock with column generation: recomputed",
        unit_mm=Fraction("1"),
        stock="100@1",
        wanted="91x10 87x18 74x15 69x14 56x5 49x20 42x8 33x12 30x25 28x19 24x17 21x30 17x20 11x6 6x9",
        optimum=97,
    ),
    Example(
        name="fico_94",
        source="FICO Xpress Python examples, older data, in halves: recomputed",
        unit_mm=Fraction("12.7"),
        stock="188@1",
        wanted="59x227 48x108 45x48 42x96 34x150",
        optimum=161,
    ),
    Example(
        name="minizinc_10",
        source="MiniZinc benchmark model cutstock (J. Puchinger, 2007): recomputed",
        unit_mm=Fraction("10"),
        stock="10@1",
        wanted="7x2 5x2 3x4",
        optimum=4,
    ),
    Example(
        name="fieldhouse_132",
        source=("M. Fieldhouse, The duality gap in trim problems, SICUP Bulletin 5(4), 1990, from memory: recomputed"),
        unit_mm=Fraction("1"),
        stock="132@1",
        wanted="44x2 33x3 12x6",
        optimum=3,
    ),
    Example(
        name="ortools_100",
        source="OR-Tools documentation, The Bin Packing Problem, from memory: 4 printed",
        unit_mm=Fraction("1"),
        stock="100@1",
        wanted="48x1 42x2 36x3 30x2 27x1 24x1 19x1",
        optimum=4,
    ),
    Example(
        name="gg_5_6_9",
        source="J. Kantor and others, as above, crediting Gilmore and Gomory 1961: 170 printed",
        unit_mm=Fraction("100"),
        stock="9@10 6@7 5@6",
        wanted="4x20 3x10 2x20",
        optimum=170,
    ),
    Example(
        name="desk_legs",
        source=(
            "C. Gueret, C. Prins, M. Sevaux, Applications of Optimization with Xpress-MP, 2002, in cm, price "
            "as length: recomputed"
        ),
        unit_mm=Fraction("10"),
        stock="200@200 150@150",
        wanted="70x400 60x500 40x432",
        optimum=75300,
    ),
    Example(
        name="lindo_72_48_36",
        source=(
            "LINDO model library, cutting stock with remnant inventory, in inches, no credit for surplus: recomputed"
        ),
        unit_mm=Fraction("25.4"),
        stock="72@28 48@19 36@15",
        wanted="60x500 56x400 42x300 38x450 34x350 24x100 15x800 10x1000",
        optimum=46602,
    ),
    Example(
        name="steel_mill_100_80_55",
        source="Frontline Systems example Cutting stock (steel mill), in inches, price as length: recomputed",
        unit_mm=Fraction("25.4"),
        stock="100@100 80@80 55@55",
        wanted="45x150 30x200 18x175",
        optimum=16575,
    ),
    Example(
        name="qian_74",
        source=(
            "Qian Songdi and others, Operations Research (in Chinese), steel frames from bars of 7.4 m, 100 each of "
            "2.9, 2.1 and 1.5 m: data and 90 from memory, recomputed"
        ),
        unit_mm=Fraction("100"),
        stock="74@1",
        wanted="29x100 21x100 15x100",
        optimum=90,
    ),
    Example(
        name="cellulose_100",
        source="Textbook exercise on reels of 100 in, second-hand: recomputed",
        unit_mm=Fraction("25.4"),
        stock="100@1",
        wanted="60x30 48x50 36x25 24x90",
        optimum=77,
    ),
    Example(
        name="milton_20",
        source="Textbook exercise on boards of 20 ft, second-hand: recomputed",
        unit_mm=Fraction("304.8"),
        stock="20@1",
        wanted="10x70 8x15 4x25 3x50",
        optimum=54,
    ),
    Example(
        name="taylor_25b",
        source="B. Taylor, Introduction to Management Science, exercise with 300 of 10 ft, second-hand: recomputed",
        unit_mm=Fraction("304.8"),
        stock="25@1",
        wanted="10x300 9x1200 7x700",
        optimum=775,
    ),
)
