"""That a command or a search was stopped, in words that are at hand before anything else is loaded."""

NOTHING_WRITTEN = "Stopped; nothing was written."

DONE_BY_THEN = "Stopped when it was done: it is in the ledger. cutplan undo takes it back."
