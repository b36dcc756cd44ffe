"""Core: the method, pure: a deck, a kit and a code in, a layout out (`engine.lay_out`).

It imports the standard library, shapely and itself, and nothing else: no HTTP, no JSON, no clock,
no environment, no randomness. The same deck, kit and code give the same layout on every machine.

The words used throughout, from the ground up. A level's outline has edges, as the caller numbers
them; edges that lie in one line and are alike make a side. The railing line runs along a side, set
in from it (or out), and t is a place along that line. Openings and obstructions cut the line into
stretches, each between two terminals: a post or a wall's face. A stretch divided by marks is a run.
What lies between two marks is a bay, unless it is too small to rail. A draft is what is laid out
but has no id yet.
"""
