"""Wire, forms: each document that is sent or replied, defined once, for reading and publishing.

Marshmallow schemas of strict fields (`strict`, `nested`, and `reply` for what is replied). They
know nothing of records.
"""
