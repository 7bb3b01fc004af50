"""Fault isolation in the window: the notebook, the suspects, the next reading."""
