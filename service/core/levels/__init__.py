"""Core, levels: one level laid out (methods 1 to 8 and 10).

What stands at its corners, the railing along its sides, the leaves of its gates, and all of it
together.
"""
