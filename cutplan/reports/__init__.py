"""What a person reads: plain rows and one bar drawing, shown on the terminal and in a workbook."""
