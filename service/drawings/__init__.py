"""Drawings: sheets of a layout, for the yard, the saw and the site.

A sheet is made of parts, drawings and tables, that know nothing of any file format; `writers/`
turn parts into SVG, PDF, DXF, CSV and HTML. Of the service this room sees core and cells alone,
and only the web room sees it.
"""
