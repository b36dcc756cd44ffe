"""Drawings: the sheets of a layout, for the yard, the saw and the site.

A sheet is made of parts (pages of drawings, and tables) that know nothing of any file format;
`writers/` turns parts into SVG, PDF, DXF, CSV and HTML. `sheets.make_sheet` is the main entry. This
room imports only `core` and `cells` from the service, and only the web room imports it.
"""
