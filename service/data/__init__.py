"""Data: the shipped kits and codes, read and checked once at start. Sees wire and below.

A new kit or code edition is a new JSON file here and no Python.
"""
