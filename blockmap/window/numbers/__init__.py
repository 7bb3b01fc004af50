"""The numbers in the window: figures of what is selected, limits, calculator."""
