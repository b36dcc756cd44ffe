"""Core: the method, pure. It sees the standard library, shapely and itself, nothing else.

No HTTP, no JSON, no clock, no environment, no randomness: the same deck, kit and code give
the same layout on every machine.
"""
