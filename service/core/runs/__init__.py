"""Core, runs: a stretch of line divided into bays, and what each is cut to (methods 3 to 8, 10).

This covers marks, rail cuts, pickets, panels, supports and weep holes.
"""
