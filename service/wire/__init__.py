"""Wire: JSON in, records; records, JSON out; and the schemas that say so.

Sees core and rules. Marshmallow defines each object once; the published JSON Schema is made
from it, compiled once, and is the gate of the hot path.
"""
