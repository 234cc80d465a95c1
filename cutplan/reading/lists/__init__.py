"""Lists of parts, prices and the rack: each cell to a value or a Problem."""
