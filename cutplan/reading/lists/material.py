"""What a line is made of: section, standard, grade and finish, read alike in all three lists."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from cutplan.model import Workshop
from cutplan.problems import Refused, nearest
from cutplan.reading.sheets.raw_cells import refuse
from cutplan.reading.sheets.tables import Row
from cutplan.sections import finish_in_name, material_in_name, material_of_grade, read_section
from cutplan.sections.section import Family, Section
from cutplan.sections.standards import steel_named

SECTION_FORMS = "a section such as SHS 40x40x3, EA 50x50x5, FL 50x6 or RD 12"

_SAME_FINISH = {"galvanized": "galvanised", "galv": "galvanised", "gal": "galvanised"}

MOST_NAMES = 20_000
"""Different sections read in one file: they take a quarter of a millisecond each, and no workshop has more."""
MOST_HINTS = 200
"""Near names looked for in one file; each search goes through the whole price list."""


def tidy_finish(text: str) -> str:
    """A finish as groups are keyed by it: lower case, one spelling of galvanised."""
    plain = " ".join(text.lower().split())
    return _SAME_FINISH.get(plain, plain)


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """Section, grade and finish of a line, and which of them were stated rather than taken from the workshop."""

    section: Section
    grade: str
    finish: str
    standard_stated: bool
    finish_stated: bool

    @property
    def key(self) -> tuple[str, str]:
        """Section to its standard, and finish: what a part and a bar must share."""
        return self.section.key, self.finish


@dataclass(slots=True)
class MaterialReader:
    """Reads the material of rows for one workshop, remembering every name it has read.

    ``offered`` are the names that an unknown one is compared with for a hint.
    """

    workshop: Workshop
    offered: Iterable[str] = ()
    _known: dict[tuple[str, str, str], tuple[Section, bool, str] | Refused] = field(default_factory=dict)
    _hints: dict[str, str] = field(default_factory=dict)

    def read(self, row: Row) -> Material | None:
        """The material of a row; None with a problem noted when it cannot be understood."""
        name = row.needed("Section", str, SECTION_FORMS)
        standard = row.words("Standard")
        grade = row.words("Grade").upper()
        finish = tidy_finish(row.words("Finish"))
        if name is None:
            return None
        material = material_of_grade(grade)
        if len(self._known) > MOST_NAMES:
            found = f"more than {MOST_NAMES} different sections"
            raise refuse(
                row.table.place(row.number, "Section"), found, f"at most {MOST_NAMES} in a list", code="list.sections"
            )
        read = self._section(name, standard, material)
        if isinstance(read, Refused):
            if read.found == material:
                row.refuse("Grade", grade, read.accepted, read.hint, code=read.code)
            elif standard and read.found == standard:
                row.refuse("Standard", standard, read.accepted, read.hint, code=read.code)
            else:
                row.refuse("Section", name, read.accepted, self._best_hint(name, read), code=read.code)
            return None
        section, standard_stated, finish_named = read
        if finish and finish_named and finish != finish_named:
            row.refuse(
                "Finish",
                finish,
                f'the finish of the section\'s name, "{finish_named}", or a blank cell',
                code="finish.named",
            )
            return None
        steel = steel_named(standard, section.standard)
        if steel and not grade.startswith(steel):
            grade = f"{steel} {grade}".strip()
        stated = finish or finish_named
        return Material(
            section=section,
            grade=grade,
            finish=stated or self.workshop.default_finish,
            standard_stated=standard_stated,
            finish_stated=bool(stated),
        )

    def section(self, name: str) -> Section:
        """The section of a name with no standard beside it; raises Refused."""
        read = self._section(name, "")
        if isinstance(read, Refused):
            raise Refused(read.found, read.accepted, self._best_hint(name, read), code=read.code)
        return read[0]

    def _section(self, name: str, standard: str, material: str = "") -> tuple[Section, bool, str] | Refused:
        """The section of a name; ``material`` is the one its grade belongs to."""
        known = self._known.get((name, standard, material))
        if known is None:
            asked: list[Family] = []
            try:
                section = read_section(
                    self._of_material(name, material),
                    standard=standard,
                    standard_of=self._default_standard(asked),
                    density=self.workshop.density,
                    notation=self.workshop.notation,
                )
                known = (section, not asked, finish_in_name(name, self.workshop.notation))
            except Refused as refused:
                known = refused
            self._known[name, standard, material] = known
        return known

    def _of_material(self, name: str, material: str) -> str:
        """The name with the material of its grade, which the name may say too but not contradict."""
        if not material:
            return name
        named = material_in_name(name, self.workshop.notation)
        if named and named != material:
            raise Refused(
                material, f"a grade of {named}, which the section's name says, or a blank cell", code="grade.named"
            )
        return name if named else f"{name} {material}"

    def _default_standard(self, asked: list[Family]) -> Callable[[Family], str]:
        def standard_of(family: Family) -> str:
            asked.append(family)
            return self.workshop.standard(family)

        return standard_of

    def _best_hint(self, name: str, refused: Refused) -> str:
        """What is known to be wrong, such as a gauge number; else the nearest name offered; else the nearest of all."""
        if refused.hint and not refused.hint.startswith("did you mean"):
            return refused.hint
        return self._hint(name) or refused.hint

    def _hint(self, name: str) -> str:
        if name not in self._hints and len(self._hints) < MOST_HINTS:
            self._hints[name] = nearest(name[:80], self.offered)
        return self._hints.get(name, "")
