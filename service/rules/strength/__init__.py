"""Rules: the sums of the preliminary strength check. Pure functions, one set of units each.

Every function takes units that go together: in, lbf and psi, or mm, N and MPa. Where a formula
or a table is printed in one of the two alone, its docstring says so.
"""
