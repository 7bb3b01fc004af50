"""Bytes to maps and back: YAML, tables, saving.

Nothing here knows what a property means; model/schema.py does.
"""
