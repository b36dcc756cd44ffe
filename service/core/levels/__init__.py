"""Core, levels: what stands at the corners of a level, the railing along its sides, the leaves
of its gates, and all of it together (methods 1 to 8 and 10)."""
