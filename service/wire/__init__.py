"""Wire: JSON read into records, records written as JSON, and the published schemas of both.

Sees core, rules and the kinds of refusals. Marshmallow defines each object once. The published JSON
Schema is made from these definitions and compiled once; every request has to pass it.
"""
