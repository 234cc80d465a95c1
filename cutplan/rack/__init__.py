"""The rack: what lies on it, and every movement that made it so. sqlite3 is known here alone.

Movements are only ever added; what is on the rack is their replay. A table of what is on hand stands beside them so
that nobody waits for the replay, and :mod:`cutplan.rack.replay` can check and rebuild it.
"""
