"""Data: the shipped kits and codes, read and checked once at start. Sees wire, core and rules.

A new kit or code edition is a new JSON file here; it takes no Python.
"""
