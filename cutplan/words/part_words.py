"""What is said of a part beyond its figures: how it lies, what is added, what is coped, which hand it is."""

from __future__ import annotations

from cutplan.model import Heel, Job, Lean, Part
from cutplan.model.kits import unit_of
from cutplan.units import Printing, length_text

AFTER_FIT_UP = "CUT AFTER FIT-UP"


def remark(part: Part, how: Printing) -> str:
    """All that the person at the saw has to know of a part beside length and angles; blank when there is nothing."""
    words = []
    if part.allowances:
        finished = f"finished {length_text(part.finished, how)}, sawn with {allowance_words(part, how)}"
        words.append(f"{AFTER_FIT_UP}: {finished}" if part.cut_to_fit else finished)
    if part.opposite_hand:
        words.append("OPPOSITE HAND: mirror image of the part drawn")
    words += ends_words(part, how)
    if part.cope:
        words.append(f"cope: {part.cope}")
    return "; ".join(words)


def unit_text(job: Job, part: Part, copy: int) -> str:
    """``unit 3 of 6``, where a copy goes of an assembly made several times; blank where nobody knows, as in a rest."""
    unit = unit_of(part, copy) if job.earlier is None else 0
    return f"unit {unit} of {part.assemblies}" if unit else ""


ONE_JIG = "Same holes from end A: one drilling jig serves them all."
"""Of parts that are drilled alike."""


def note_words(part: Part) -> str:
    """The note of a part and what is stamped on it; blank where there is neither."""
    return ". ".join(text for text in (part.note, part.stamps and f"stamp {'; '.join(part.stamps)}") if text)


def allowance_words(part: Part, how: Printing) -> str:
    """``20 mm for fit-up, 1 mm for grinding``; blank when nothing is added."""
    return ", ".join(f"{length_text(each.length, how)} for {each.purpose.value}" for each in part.allowances)


def sawn_words(part: Part, how: Printing) -> tuple[str, ...]:
    """The sawn length of a part where it is longer than the finished one, and when such a part is cut to fit."""
    if not part.allowances:
        return ()
    sawn = f"sawn {length_text(part.length, how)}"
    return (sawn, AFTER_FIT_UP) if part.cut_to_fit else (sawn,)


def ends_words(part: Part, how: Printing) -> list[str]:
    """How two mitres lean, which face lies on the table, where the heel is; only what is not plain by itself."""
    return [text for text in (_lean(part), on_table(part, how), _heel(part)) if text]


def _lean(part: Part) -> str:
    """That two mitres are parallel; opposite ones, which the drawing of a frame shows, are not said."""
    if part.lean is Lean.PARALLEL:
        return "ends lean PARALLEL: long points on opposite sides"
    return ""


def on_table(part: Part, how: Printing) -> str:
    """Which face lies on the table at a mitre, where two differ."""
    if not part.mitred or len(part.section.mitre_depths) == 1:
        return ""
    return f"{length_text(part.depth, how)} face on the table"


def _heel(part: Part) -> str:
    """On which side the heel of an angle lies; with parallel mitres that of end A is named."""
    if part.heel is Heel.NOT_ASKED:
        return ""
    end = f" of end {'A' if part.end_a.angle else 'B'}" if part.lean is Lean.PARALLEL or not part.end_a.angle else ""
    return f"heel at the {part.heel.value}{end}"
