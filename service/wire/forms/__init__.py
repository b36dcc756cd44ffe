"""Wire, forms: each document that is sent or replied, defined once, for reading and publishing.

Forms are marshmallow schemas of strict fields (`strict`, `nested`, and `reply` for replies). They
know nothing of records. The docstring of a form is published as its description in the schema.
"""
