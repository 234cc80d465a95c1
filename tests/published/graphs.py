"""Bars to be filled without waste by the edges of a graph, so that graph theory knows how many are needed.

Of a graph whose every vertex has three edges, each edge is a part 3^u + 3^v long, u and v the numbers of its ends; a
bar is as long as the sum of 3^v over all vertices. All parts together are as long as three bars. A full bar holds
edges that meet every vertex once, a perfect matching: counted in threes, each vertex must give a one, as at most
three edges meet there. So three bars suffice exactly where the edges can be coloured with three colours.

References
----------
Bin packing without the integer round-up property from edge colourings: A. Caprara, M. Dell'Amico, J. C. Diaz-Diaz,
M. Iori, R. Rizzi, Friendly bin packing instances without integer round-up property, Mathematical Programming 150
(2015) 5-17, from memory; the lengths are our own.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cutplan.model import Job
from tests import builders

Edges = Sequence[tuple[int, int]]

OUTER: Edges = [(v, (v + 1) % 5) for v in range(5)]
SPOKES: Edges = [(v, v + 5) for v in range(5)]

PETERSEN: Edges = [*OUTER, *SPOKES, *((5 + v, 5 + (v + 2) % 5) for v in range(5))]
"""Its fifteen edges cannot be coloured with three colours: J. Petersen, Sur le theoreme de Tait, 1898. It has six
perfect matchings, which together hold every edge twice."""

PRISM: Edges = [*OUTER, *SPOKES, *((5 + v, 5 + (v + 1) % 5) for v in range(5))]
"""Two pentagons joined corner by corner: a round trip through all ten corners takes two colours in turn, what is left
the third."""

TIETZE: Edges = [(u, v) for u, v in PETERSEN if 9 not in (u, v)] + [
    *zip((4, 7, 6), (9, 10, 11), strict=True),
    (9, 10), (10, 11), (9, 11),
]  # fmt: skip
"""Tietze's graph: the Petersen graph with a triangle for a vertex. Three colours for it would colour that one too."""


def matching_job(edges: Edges, copies: int = 1) -> Job:
    """So many parts for each edge; a bar costs 1. Lengths in tenths of a millimetre."""
    vertices = 1 + max(max(edge) for edge in edges)
    bar = Fraction(sum(3**v for v in range(vertices)), 10)
    parts = [builders.part(f"E{u}-{v}", copies, str(Fraction(3**u + 3**v, 10))) for u, v in edges]
    return builders.job(parts, [builders.offer("P", str(bar), 1)])
