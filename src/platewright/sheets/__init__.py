"""Sheets: templates, check sheets, forms and what else is printed."""
