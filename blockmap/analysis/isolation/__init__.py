"""Finds the fault: the feed network, its suspects, and where to put the probe next."""
