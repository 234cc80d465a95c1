"""Parts typed on the spot are planned like a list, and become a folder that gives the same plan."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from cutplan import actions

TEXT = "SHS 40x40x3: 4 @ 1200, 2 @ 850; flat 50x6: 300 x 8"


@pytest.mark.parametrize("settings", [{}, {"kerf": "1 mm"}, {"unit": "mm", "kerf": "3"}])
def test_a_saved_folder_gives_the_same_plan(settings: dict[str, str], tmp_path: Path) -> None:
    (tmp_path / "workshop.toml").write_text('[saw]\nend_trim = "12 mm"\n')
    read = actions.read_quick(TEXT, stock=["6000"], folder=tmp_path, **settings)
    files = actions.save_quick(read, tmp_path / "gate")
    job = actions.read_job(files[0])
    assert job.workshop == read.job.workshop
    assert (job.parts, job.offers) == (read.job.parts, read.job.offers)
    assert actions.plan(job) == actions.plan(replace(read.job, name=job.name))
