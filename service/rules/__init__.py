"""Rules: what a code, a kit and a survey say of a layout. Pure; sees core only.

Each check is one comparison and its sentence; judge.py runs them all.
"""
