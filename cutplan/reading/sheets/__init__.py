"""Files as sheets of raw cells, and sheets as rows under known headings."""
