"""Every sentence, and the text and JSON of results: faces, sheets and files only choose among them."""
