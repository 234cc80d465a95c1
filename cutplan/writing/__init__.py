"""What a person fills in or adds to: lists with rows appended, blank forms, a job turned from one form into another."""
