"""The workshop file: its keys, tables and blocks."""
