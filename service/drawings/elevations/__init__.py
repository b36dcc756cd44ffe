"""Drawings: the elevations: runs, flights and gates to scale, each as seen from outside.

From outside a run's marks run left to right, as outlines are walked counter-clockwise.
"""
