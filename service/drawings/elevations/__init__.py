"""Drawings: the elevations: runs, flights and gates to scale, each as seen from outside.

Seen from outside, the marks of a run go from left to right, as outlines are walked
counter-clockwise.
"""
