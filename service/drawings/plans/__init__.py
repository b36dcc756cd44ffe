"""Drawings, plans: what a plan shows of a level, with a module for each kind of thing."""
