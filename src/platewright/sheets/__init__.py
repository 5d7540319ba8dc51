"""Paper: drawing lists, the PDF writer, templates, check sheets, forms."""
