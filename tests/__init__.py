"""The tests, and programs that try more of the same."""

import os
import sys
from pathlib import Path

if sys.dont_write_bytecode:
    # Where nothing is to be written beside the source, every worker and every command would compile all of it again:
    # a third of what a plain run takes. Here, because whatever is imported before this is compiled each time.
    sys.dont_write_bytecode, sys.pycache_prefix = False, str(Path(__file__).parents[1] / ".pytest_cache" / "bytecode")
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    os.environ["PYTHONPYCACHEPREFIX"] = sys.pycache_prefix
