"""What stands on labels: one for each part and each left over to keep, one for small parts in a bag, one for each piece
of the rack.

The text of a code is a URI, every value percent-encoded as UTF-8 (RFC 3986):
``cutplan:part?plan=0a1b2c3d&mark=T1&copy=2`` names one copy of a part,
``cutplan:offcut?plan=0a1b2c3d&bar=6&mark=K7`` a left over; ``mark`` is missing
there while none is given. ``plan`` is the fingerprint on every sheet.
``cutplan:rack?mark=K7`` names what lies on the rack under a mark.
With the address of a server, ``https://bench:8321/code/`` stands in the place of ``cutplan:``, for any camera to open.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from urllib.parse import quote

from cutplan.model import CutBar, Fate, Job, Offcut, Part, Plan, SourceKind, StockLength, own_name
from cutplan.reports import extent
from cutplan.reports.paper.label_sheets import Label, write_labels
from cutplan.units import Length, Printing, length_text
from cutplan.words.cutting import end_text, long_point_left
from cutplan.words.naming import grade_text, section_names
from cutplan.words.part_words import sawn_words, unit_text

CODE_PATH = "/code/"
"""Where the server answers a code, behind its address."""
_BAG_LINES = 6
"""Parts on a label for a bag; what is beyond goes on the next."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Which labels of a plan are wanted.

    ``skip`` are numbers of bars whose labels are left out; parts shorter than ``at_least`` [nm] share the labels of a
    bag; ``marks`` are those that left overs were given since the plan was made, by bar. ``address`` is that of the
    server whose pages codes lead to; blank leaves codes to ``cutplan code``. Of several jobs planned together,
    ``list_name`` has labels for the parts of one alone; blank is all, left overs too.
    """

    skip: Collection[int] = ()
    at_least: Length = 0
    marks: Mapping[int, str] = field(default_factory=dict)
    address: str = ""
    list_name: str = ""


ALL = Wanted()


def labels_of(job: Job, plan: Plan, fingerprint: str, wanted: Wanted = ALL) -> Iterator[Label]:
    """A label for each part in the order in which they leave the saw, each bar's left over to keep behind them; last
    those for bags."""
    known = _Known(job, plan, fingerprint, wanted.address)
    small: Counter[str] = Counter()
    for bar in (bar for group in plan.groups for bar in group.bars if bar.number not in wanted.skip):
        for cut in bar.cuts:
            part = known.parts[cut.mark]
            if wanted.list_name not in ("", part.list_name):
                continue
            if part.length < wanted.at_least:
                small[cut.mark] += 1
            else:
                yield known.of_part(part, cut.copy, bar)
        if bar.drop.fate is Fate.KEEP and not wanted.list_name:
            yield known.of_left_over(bar, bar.drop.mark or wanted.marks.get(bar.number, ""))
    yield from known.of_bags(small)


class _Known:
    """What labels of one plan have to know."""

    def __init__(self, job: Job, plan: Plan, fingerprint: str, address: str) -> None:
        self.job, self.plan, self.address = job, fingerprint, address
        self.how: Printing = job.workshop.printing
        self.parts = {part.mark: part for part in job.parts}
        self.sources: dict[str, Offcut | StockLength] = {each.mark: each for each in job.offcuts}
        self.offers: dict[str, Offcut | StockLength] = {each.id: each for each in job.offers}
        self.names = section_names(job)
        self.copies: dict[str, int] = {}
        for group in plan.groups:
            for cut in (cut for bar in group.bars for cut in bar.cuts):
                # In a plan of the rest the numbers go on from those that were made.
                self.copies[cut.mark] = max(cut.copy, self.copies.get(cut.mark, 0))

    def _of_bar(self, bar: CutBar) -> tuple[str, tuple[str, str]]:
        """Section and grade of a bar, and its heat number or room for it."""
        source = (self.offers if bar.kind is SourceKind.BOUGHT else self.sources)[bar.source]
        section = ", ".join(text for text in (self.names[source.section.key], grade_text(source.grade, "")) if text)
        heat = source.heat_number if isinstance(source, Offcut) else ""
        return section, _heat(heat)

    def of_part(self, part: Part, copy: int, bar: CutBar) -> Label:
        section, heat = self._of_bar(bar)
        stamp = part.stamps if len(part.stamps) == 1 else ()
        lines = [
            ("section", section),
            ("copy", f"part {copy} of {self.copies[part.mark]}, bar {bar.number}{_piece(bar)}"),
            ("ends", f"ends {end_text(part.end_a.angle)} | {end_text(part.end_b.angle)}" if part.mitred else ""),
            ("stamp", f"stamp {stamp[0]}" if stamp else ""),
            ("job", ", ".join(text for text in (part.list_name or self.job.name, self._assembly(part, copy)) if text)),
            ("sawn", ", ".join(sawn_words(part, self.how))),
            ("note", part.note),
            heat,
            ("plan", f"plan {self.plan}"),
        ]
        return Label(
            code=uri("part", self.address, plan=self.plan, mark=part.mark, copy=str(copy)),
            mark=part.mark,
            length=length_text(part.finished, self.how),
            lines=_filled(lines),
        )

    def _assembly(self, part: Part, copy: int) -> str:
        """The assembly, and which unit of it where it is made several times."""
        return " ".join(filter(None, (own_name(part.assembly, part.list_name), unit_text(self.job, part, copy))))

    def of_left_over(self, bar: CutBar, mark: str) -> Label:
        section, heat = self._of_bar(bar)
        slanted = long_point_left(bar, self.parts, self.how)
        near = [f"near end {end_text(bar.cuts[-1].angle_b)}"] if slanted else []
        lines = [
            ("section", section),
            ("copy", f"left over of bar {bar.number}{_piece(bar)}"),
            ("slant", slanted),
            ("ends", ", ".join([*near, f"far end {bar.drop.far_end.value}"])),
            ("job", self.job.name),
            heat,
            ("plan", f"plan {self.plan}"),
        ]
        return Label(
            code=uri("offcut", self.address, plan=self.plan, bar=str(bar.number), mark=mark),
            mark=mark or f"left over {bar.number}",
            length=length_text(bar.drop.length, self.how),
            lines=_filled(lines),
        )

    def of_bags(self, small: Counter[str]) -> Iterator[Label]:
        """Lists of the parts too small for a label of their own, to stick on their bag."""
        listed = [f"{count} x {mark}, {self._short(mark)}" for mark, count in small.items()]
        bags = -(-len(listed) // _BAG_LINES)
        for bag in range(bags):
            held = listed[bag * _BAG_LINES : (bag + 1) * _BAG_LINES]
            yield Label(
                code="",
                mark="bag" if bags == 1 else f"bag list {bag + 1} of {bags}",
                length="",
                lines=(*(("listed", text) for text in held), ("plan", f"{self.job.name}, plan {self.plan}")),
            )

    def _short(self, mark: str) -> str:
        part = self.parts[mark]
        return f"{length_text(part.finished, self.how)} {self.names[part.section.key]}"


@dataclass(frozen=True, slots=True, kw_only=True)
class RackPiece:
    """A piece of the rack as its label shows it: texts, blank where not known, and the length. [nm]"""

    mark: str
    length: Length
    section: str
    grade: str
    finish: str
    heat_number: str
    ends: str
    slant: str = ""


def rack_label(piece: RackPiece, how: Printing, address: str = "") -> Label:
    """The label of a piece of the rack; ``address`` as in :class:`Wanted`."""
    lines = [
        ("section", ", ".join(text for text in (piece.section, grade_text(piece.grade, "grade unknown")) if text)),
        ("job", piece.finish),
        ("slant", piece.slant),
        ("ends", piece.ends),
        _heat(piece.heat_number),
    ]
    return Label(
        code=uri("rack", address, mark=piece.mark),
        mark=piece.mark,
        length=length_text(piece.length, how),
        lines=_filled(lines),
    )


def _filled(lines: Iterable[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    return tuple((field, text) for field, text in lines if text)


def _piece(bar: CutBar) -> str:
    """Which piece of a length the merchant cut for the carry a bar is; blank where it is none."""
    piece = bar.piece_of
    return f", piece {piece.number} of {len(piece.ordered)}" if piece else ""


def _heat(heat_number: str) -> tuple[str, str]:
    if heat_number:
        return "heat number", f"heat number {heat_number}"
    return "heat number to write", "heat number . . . . . . . . . ."


def uri(kind: str, address: str = "", **values: str) -> str:
    """The text of a code; ``address`` is that of a server, with no stroke at its end."""
    before = f"{address}{CODE_PATH}" if address else "cutplan:"
    return f"{before}{kind}?" + "&".join(f"{name}={quote(value, safe='')}" for name, value in values.items() if value)


def write_labels_pdf(
    job: Job,
    plan: Plan,
    path: Path,
    fingerprint: str,
    *,
    size: str = "",
    start: int = 1,
    first: int = 1,
    wanted: Wanted = ALL,
) -> None:
    """Write labels, at most :data:`~cutplan.reports.extent.MOST_LABELS`; an empty page where there is none to print.

    Parameters
    ----------
    size
        Blank is the workshop's.
    start
        The place on the first sheet, counted along its rows from 1.
    first
        The label to begin with, counted from 1 over the whole plan.

    Raises
    ------
    OSError
        When the file cannot be written.
    """
    chosen = islice(labels_of(job, plan, fingerprint, wanted), first - 1, first - 1 + extent.MOST_LABELS)
    write_labels(chosen, size or job.workshop.labels, path, job.name, start=start)
