"""Headings and a row of the smallest parts list, and the lengths read from one."""

from __future__ import annotations

from cutplan.model import Job

H = ("Quantity", "Section", "Length")
ONE = (1, "SHS 40x40x3", 1200)


def lengths(job: Job) -> list[int]:
    return [part.length // 1_000_000 for part in job.parts]
