"""Core: the method, pure: a deck, a kit and a code in, a layout out (`engine.lay_out`).

It sees the standard library, shapely and itself, nothing else: no HTTP, no JSON, no clock, no
environment, no randomness. The same deck, kit and code give the same layout on every machine.

Its words, from the ground up. A level's outline has edges, as the caller numbers them; edges in one
line and alike are a side. The railing line runs along a side, set in from it (or out); t is a place
along it. Openings and obstructions cut the line into stretches, each between two terminals: a post
or a wall's face. A stretch divided by marks is a run, and between two marks is a bay, if it is not
too small to rail. What is laid out but has no number yet is a draft.
"""
