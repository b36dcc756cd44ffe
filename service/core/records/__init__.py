"""Core, records: what goes in and what comes out, frozen, and the closed vocabulary of figures.

A deck, a kit, a code, a layout. Records hold values and answer simple questions about them; the
method is not here.
"""
