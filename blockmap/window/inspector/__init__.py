"""The inspector: every property of what is selected, generated from the schema."""
