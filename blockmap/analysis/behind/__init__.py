"""Reasoning about what is behind the panel: strips, terminals, wires and parts."""
