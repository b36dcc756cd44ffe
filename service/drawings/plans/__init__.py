"""Drawings, plans: what a plan shows of a level, each kind of thing by a module of its own."""
