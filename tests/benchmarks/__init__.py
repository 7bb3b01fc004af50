"""Timings, as ratios against a bare lower bound within one run; never asserted."""
