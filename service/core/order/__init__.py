"""Core, order: what a layout takes: lists, whole sticks by part, parts, prices, quote (method 12).

`ordering` is its door; `lists` is there for the layout too.
"""
