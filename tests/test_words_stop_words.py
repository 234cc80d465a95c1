"""That something was stopped: at hand before all else, so that Ctrl-C is seen to soon."""

from __future__ import annotations

import json
import subprocess
import sys


def test_nothing_else_is_loaded_with_these_words() -> None:
    script = (
        "import json, sys\n"
        "before = set(sys.modules)\n"
        "from cutplan.words import stop_words\n"
        "print(json.dumps(sorted(set(sys.modules) - before)))\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert set(json.loads(done.stdout)) <= {"cutplan", "cutplan.words", "cutplan.words.stop_words"}
