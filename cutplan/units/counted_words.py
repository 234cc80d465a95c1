"""A number of things with their noun, in the singular where it is one."""

from __future__ import annotations


def counted(number: int, noun: str, plural: str = "") -> str:
    """``1 part``, ``12 parts``, ``1,200 parts``; ``plural`` where it is not the noun with an s."""
    return f"{number:,} {noun if number == 1 else plural or noun + 's'}"
