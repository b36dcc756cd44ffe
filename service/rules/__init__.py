"""Rules: what a code, a kit and a survey say of a layout (`judge.judge`). Pure; sees core only.

A rule has a row in `table` and a check in `checks/`. The check compares readings of the layout with
a limit and says a sentence of each; `judge` runs all checks and returns their findings.
"""
