"""Paper: the printed plan, set by typst from templates and plain data."""
