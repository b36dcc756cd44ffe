"""Core, records: what goes in and what comes out, frozen; and the closed vocabulary of figures.

A deck, a kit, a code, a layout. They hold values and say simple things of them; no method is here.
"""
