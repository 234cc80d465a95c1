"""A file or folder as it is typed on the command line: refused at once where it is none that a system could have."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import typer


def as_path(text: str) -> Path:
    """The path that a word of the command line names; it need not be there.

    An empty word would be the current folder, and a variable that is not set in a script would write there.
    """
    if not text.strip():
        raise typer.BadParameter("nothing is named; name a file or a folder ('.' is the current one)")
    try:
        os.lstat(text)
    except ValueError:
        raise typer.BadParameter("no system has files of that name") from None
    except OSError as error:
        if error.errno == errno.ENAMETOOLONG:
            raise typer.BadParameter(f"a name of {len(text)} characters, more than this system has") from None
    return Path(text)
