"""What is said of a bar at the saw: ends, clamping, strokes, play, what is left of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from cutplan.model import CutBar, Drop, EndState, Fate, Held, Merchant, Offcut, Part, Saw
from cutplan.model.totals import Totals
from cutplan.units import MM, Angle, Length, Printing, angle_text, length_text, mitre_run, rounded_down, stock_text
from cutplan.words.naming import money_words

WIDEST_KERF: Length = 10 * MM
"""No saw of a small workshop takes more; beyond it the largest kerf that works is not worth a figure. From memory."""


def end_text(angle: Angle) -> str:
    """Saw angle of an end: ``square`` or ``45°``."""
    return f"{angle_text(angle)}°" if angle else "square"


def scale_text(angles: Iterable[Angle], saw: Saw) -> str:
    """What the saw's scale reads at the ends of a part: ``scale 60`` or ``scale 60 | 90``; blank where nothing differs.

    A square cut alone is not named: the name of it is the setting.
    """
    told = tuple(angles)
    if not any(told) or all(saw.reading(angle) == angle for angle in told):
        return ""
    return f"scale {' | '.join(dict.fromkeys(angle_text(saw.reading(angle)) for angle in told))}"


def held_text(held: Held, turn: bool) -> str:
    """Which side is clamped, and whether the bar is turned for it."""
    words = {Held.BAR: "bar side", Held.PART: "part side", Held.NOT_CUT: "no cut: ends flush"}[held]
    return f"{words}, TURN THE BAR" if turn else words


def left_over_text(drop: Drop, how: Printing) -> str:
    """``left over: keep 1240 mm, far end mill``: a mill end stays on until the offcut is used."""
    if drop.fate is Fate.NONE:
        return "left over: nothing"
    word = "keep" if drop.fate is Fate.KEEP else "scrap"
    text = f"left over: {word} {length_text(drop.length, how)}"
    if drop.fate is Fate.SCRAP:
        return text
    return f"{text}, far end {drop.far_end.value}"


def slanted_left_over(bar: CutBar, parts: Mapping[str, Part], how: Printing) -> str:
    """How the near end of a left over is, where the last cut is a mitre: its length counts to the short point."""
    longest = long_point_left(bar, parts, how)
    return f"near end at {angle_text(bar.cuts[-1].angle_b)} degrees, {longest}" if longest else ""


def long_point_left(bar: CutBar, parts: Mapping[str, Part], how: Printing) -> str:
    """How long a left over is to its long point; blank where its near end is square."""
    if not bar.cuts or not bar.cuts[-1].angle_b or bar.drop.fate is Fate.NONE:
        return ""
    last = bar.cuts[-1]
    longest = bar.drop.length + mitre_run(parts[last.mark].depth, last.angle_b)
    return f"{length_text(longest, how)} to its long point"


def slanted_offcut(offcut: Offcut, how: Printing, *, begun: bool = False) -> str:
    """How end A of an offcut is, where it is slanted; with the part that is ``begun`` there."""
    if not offcut.tip:
        return ""
    squared = length_text(offcut.length - offcut.tip, how)
    text = f"one end at {angle_text(offcut.angle_a)} degrees, {squared} when that is squared"
    return f"{text}; the first part begins on it as it is" if begun else text


def play_text(slack: Length, kerf: Length | None, how: Printing) -> str:
    """What a bar forgives: its slack, and the largest kerf with which it still works."""
    any_works = kerf is None or kerf > WIDEST_KERF
    words = "any kerf works" if any_works else f"kerf at most {rounded_down(kerf or 0, how.fine)}"
    return f"slack {rounded_down(slack, how.fine)}, {words}"


def shared_text(totals: Totals, how: Printing, currency: str) -> str:
    """What mitres save that share a cut; blank where none does."""
    if not totals.cuts_shared:
        return ""
    cuts = "1 cut parts two mitres" if totals.cuts_shared == 1 else f"{totals.cuts_shared} cuts part two mitres each"
    worth = f", {money_words(totals.nested_value, currency)} at the price of the bars" if totals.nested_value else ""
    strokes = "a stroke" if totals.cuts_shared == 1 else f"{totals.cuts_shared} strokes"
    return f"{cuts}: {stock_text(totals.nested_length, how)} of steel{worth} and {strokes} saved"


def strokes_text(totals: Totals) -> str:
    """How many strokes of the saw a plan takes, and how many of them merchants make."""
    noun = "stroke" if totals.cuts == 1 else "strokes"
    theirs = sum(order.cuts for order in totals.orders)
    made = ", all made by merchants" if theirs == totals.cuts else f", {theirs} of them made by merchants"
    return f"{totals.cuts} {noun} of the saw, squaring included{made if theirs else ''}"


def trim_text(bar: CutBar, offcut: Offcut | None, terms: Merchant | None, how: Printing) -> str:
    """What is done at START before the first part; a mitre there is its only stroke.

    A piece of a length that was cut for the carry comes from a merchant of ``terms``.
    """
    if not bar.cuts:
        return "nothing is cut from it: put it away whole"
    if bar.starts_on_slant:
        return (
            f"START is the end at {angle_text(bar.cuts[0].angle_a)} degrees: the first part begins on it, nothing off"
        )
    if bar.start_trim and bar.cuts[0].angle_a:
        return (
            f"START is not squared: the long point of the first mitre lies {length_text(bar.start_trim, how)} from it"
        )
    if bar.start_trim and offcut is not None and offcut.tip:
        off = length_text(bar.start_trim, how)
        return f"START is the end at {angle_text(offcut.angle_a)} degrees: square it at its short point, {off} off"
    if bar.start_trim:
        return f"square START first: {length_text(bar.start_trim, how)} off, the squaring cut included"
    if bar.piece_of is not None:
        end = _begun_at(bar, terms)
        return f"START is {end}: nothing off" if end else "nothing comes off START"
    if offcut is not None and EndState.SAWN in (offcut.end_a, offcut.end_b):
        return "START is the sawn end: nothing off"
    return "START is the mill end as it is: nothing off"


def start_words(bar: CutBar, offcut: Offcut | None, terms: Merchant | None, how: Printing) -> str:
    """What :func:`trim_text` says, in as few words as a heading has room for."""
    if not bar.cuts:
        return "left whole"
    if bar.starts_on_slant:
        return f"START is the end at {end_text(bar.cuts[0].angle_a)}"
    if bar.start_trim and bar.cuts[0].angle_a:
        return f"first long point at {length_text(bar.start_trim, how, with_unit=False)}"
    if bar.start_trim:
        return f"square START: {length_text(bar.start_trim, how, with_unit=False)} off"
    if bar.piece_of is not None:
        end = _begun_at(bar, terms)
        return f"START is {end}, nothing off" if end else "nothing off START"
    if offcut is not None and EndState.SAWN in (offcut.end_a, offcut.end_b):
        return "START is the sawn end"
    return "START is the mill end"


def _begun_at(bar: CutBar, terms: Merchant | None) -> str:
    """Which end of a piece is START where it loses nothing and the far end does; blank where the ends are alike."""
    if terms is None or not bar.far_trim:
        return ""
    return "its mill end" if terms.carry_cuts_squared else "the end that the merchant cut"


def kerf_words(kerf: Length | None, how: Printing) -> str:
    """The largest kerf with which a bar still works; beyond any of a small workshop's saws it is ``any``."""
    return "any" if kerf is None or kerf > WIDEST_KERF else rounded_down(kerf, how.fine)
