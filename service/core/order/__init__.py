"""Core, order: what a layout takes to build: lists, whole sticks, parts, prices, quote (method 12).

The entry point is `ordering`. The layout itself uses `lists` too.
"""
