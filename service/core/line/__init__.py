"""Core, line: from what was measured to stretches of railing line (methods 1, 2 and 10).

An outline and its sides, straight and bowed; the line set in from each; where it begins and ends at
corners, walls, openings and obstructions; what stands at a corner.
"""
