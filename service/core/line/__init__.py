"""Core, line: from a measured outline to stretches of railing line (methods 1, 2 and 10).

The modules read an outline into sides, straight and bowed, set a railing line in from each, find
where it begins and ends at corners, walls, openings and obstructions, and say what stands at each
corner.
"""
